-- What was published, when, by whom, and what changed against the plan before: a record, whatever happens to the plan later.
create table "publication" (
    "company_id" uuid not null,
    "id" uuid not null,
    "plan_id" uuid not null,
    "replaced_plan_id" uuid,
    "week_start" date not null,
    "at" timestamptz(3) not null,
    "by_id" uuid,
    "by_name" text not null,
    "rounds" jsonb not null,
    "unplaced" jsonb not null,
    "cost" jsonb not null,
    "changes" jsonb not null,
    constraint "publication_pkey" primary key ("company_id", "id")
);
create index "publication_company_id_week_start_idx" on "publication" ("company_id", "week_start");
alter table "publication" add constraint "publication_company_id_plan_id_fkey" foreign key ("company_id", "plan_id") references "week_plan" ("company_id", "id") on delete restrict on update cascade;
alter table publication enable row level security;
alter table publication force row level security;
create policy own_company on publication to bellround_app using (company_id = current_company()) with check (company_id = current_company());
grant select, insert on publication to bellround_app;
create trigger append_only before update or delete on publication for each row execute function refuse_change();
create trigger append_only_truncate before truncate on publication for each statement execute function refuse_change();

-- Travel of one day that takes longer or shorter for everybody (a storm, a closed bridge), in percent of the usual.
create table "day_travel" (
    "company_id" uuid not null,
    "day" date not null,
    "percent" integer not null,
    "reason" text not null,
    "entered_at" timestamptz(3) not null,
    "entered_by" uuid,
    constraint "day_travel_pkey" primary key ("company_id", "day"),
    constraint "day_travel_percent_known" check ("percent" between 50 and 500)
);
alter table day_travel enable row level security;
alter table day_travel force row level security;
create policy own_company on day_travel to bellround_app using (company_id = current_company()) with check (company_id = current_company());
grant select, insert, update, delete on day_travel to bellround_app;

-- What made a draft, in words ('Tess away 2 Mar'), and the plan it was made from.
alter table "week_plan" add column "label" text not null default '';
alter table "week_plan" add column "made_from" uuid;

-- An urgent visit asks for skills and a last day of its own: it has no duty that would say so.
alter table "visit" add column "skills" text[] not null default '{}';
alter table "visit" add column "must_by" date;

-- A draft can be put aside: it stays in the record and off the lists.
alter table week_plan drop constraint state_known;
alter table week_plan add constraint state_known check (state in ('computing', 'draft', 'published', 'superseded', 'dropped', 'failed', 'cancelled'));
