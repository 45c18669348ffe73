-- The rounds as the engine computed them (times of leaving and return, break, waiting), kept whole for the record;
-- plan_stop holds the same stops as rows that other records point at.
alter table "week_plan" add column "rounds" jsonb not null default '[]';

-- Who meets the duty: what an occupant does every week is no technician's visit.
alter table "duty" add column "by_whom" text not null default 'technician';
alter table duty add constraint by_whom_known check (by_whom in ('occupant', 'technician', 'licensed'));
