-- When each round of a plan ends on a usual and on a bad day, as it was simulated when the plan was saved.
alter table "week_plan" add column "finishes" jsonb not null default '[]';
