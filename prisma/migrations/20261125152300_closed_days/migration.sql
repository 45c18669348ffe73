-- Whose public holidays close a site (ISO 3166 code such as ES or ES-MD); null: as the company, 'none': none do.
alter table "site" add column "holiday_region" text;

-- Days on which many sites are closed or must stay silent at once: school terms, exams, a works holiday.
create table "closed_days" (
    "company_id" uuid not null,
    "id" uuid not null,
    "kind" text not null,
    "from_day" date not null,
    "to_day" date not null,
    "reason" text not null,
    "authority" text not null,
    "occupancy" text,
    "entered_at" timestamptz(3) not null,
    constraint "closed_days_pkey" primary key ("company_id", "id"),
    constraint "closed_days_kind_known" check ("kind" in ('closed', 'noise')),
    constraint "closed_days_ordered" check ("from_day" <= "to_day")
);
create index "closed_days_company_id_from_day_idx" on "closed_days" ("company_id", "from_day");
alter table closed_days enable row level security;
alter table closed_days force row level security;
create policy own_company on closed_days to bellround_app using (company_id = current_company()) with check (company_id = current_company());
grant select, insert, update, delete on closed_days to bellround_app;
