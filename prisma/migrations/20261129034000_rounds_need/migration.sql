-- What a round needs to know of a site, a visit, a van and a promise, so that the planner can be given it.

-- Notice that must be given so many days before anybody comes; equipment that the site asks for (a lift, a long ladder).
alter table "site" add column "notice_days" integer not null default 0;
alter table "site" add column "equipment" text[] default array[]::text[];
alter table "site" add constraint "site_notice_days_known" check ("notice_days" between 0 and 90);

-- A permit without which nobody may work there; from null: asked for, not granted yet; to null: without end.
create table "site_permit" (
    "company_id" uuid not null,
    "id" uuid not null,
    "site_id" uuid not null,
    "name" text not null,
    "from_day" date,
    "to_day" date,
    "entered_at" timestamptz(3) not null,
    constraint "site_permit_pkey" primary key ("company_id", "id")
);
create index "site_permit_company_id_site_id_idx" on "site_permit" ("company_id", "site_id");
alter table "site_permit" add constraint "site_permit_company_id_site_id_fkey" foreign key ("company_id", "site_id") references "site" ("company_id", "id") on delete restrict on update cascade;
alter table site_permit enable row level security;
alter table site_permit force row level security;
create policy own_company on site_permit to bellround_app using (company_id = current_company()) with check (company_id = current_company());
grant select, insert, update, delete on site_permit to bellround_app;

-- A key that must be collected on the way: where, in whose hours, how long it takes, and whether it is brought back the same day.
alter table "site_key" add column "needed" boolean not null default false;
alter table "site_key" add column "collect_at" text;
alter table "site_key" add column "collect_lat" double precision;
alter table "site_key" add column "collect_lon" double precision;
alter table "site_key" add column "collect_hours" jsonb;
alter table "site_key" add column "hand_min" integer not null default 10;
alter table "site_key" add column "brought_back" boolean not null default true;

-- Where a technician's round begins and ends, and what is always on the van.
alter table "technician" add column "starts_at" text not null default 'home';
alter table "technician" add column "ends_at" text not null default 'home';
alter table "technician" add column "equipment" text[] default array[]::text[];
alter table "technician" add constraint "technician_ends_known" check ("starts_at" in ('home', 'depot') and "ends_at" in ('home', 'depot'));

-- Parts on the van that are used up: how many, as counted last.
create table "van_stock" (
    "company_id" uuid not null,
    "technician_id" uuid not null,
    "part" text not null,
    "quantity" integer not null,
    "counted_at" timestamptz(3) not null,
    constraint "van_stock_pkey" primary key ("company_id", "technician_id", "part"),
    constraint "van_stock_quantity_known" check ("quantity" between 0 and 100000)
);
alter table "van_stock" add constraint "van_stock_company_id_technician_id_fkey" foreign key ("company_id", "technician_id") references "technician" ("company_id", "id") on delete restrict on update cascade;
alter table van_stock enable row level security;
alter table van_stock force row level security;
create policy own_company on van_stock to bellround_app using (company_id = current_company()) with check (company_id = current_company());
grant select, insert, update, delete on van_stock to bellround_app;

-- Of a visit: minutes that are heard (null: as its duties say), equipment of its own, the day on which notice was given, where its minutes come from.
alter table "visit" add column "sounding_min" integer;
alter table "visit" add column "equipment" text[] default array[]::text[];
alter table "visit" add column "notice_given_on" date;
alter table "visit" add column "minutes_from" text;

-- A promise is hard, or broken at a price in travel minutes.
alter table "promise" add column "price_min" integer;
alter table "promise" add constraint "promise_price_min_known" check ("price_min" between 0 and 100000);

-- A visit may stand on two rounds, its silent and its sounding part; its key is collected and returned at stops of their own.
alter table "plan_stop" add column "part" text not null default '';
alter table "plan_stop" drop constraint "plan_stop_pkey";
alter table "plan_stop" add constraint "plan_stop_pkey" primary key ("company_id", "plan_id", "visit_id", "part");

-- What a plan was computed with that the dispatcher must be told: travel that was estimated, slack that could not be kept.
alter table "week_plan" add column "told" jsonb not null default '[]';

-- Which publication's changes a technician has seen on the round. Append-only: it says when somebody knew.
create table "round_seen" (
    "company_id" uuid not null,
    "technician_id" uuid not null,
    "publication_id" uuid not null,
    "seen_at" timestamptz(3) not null,
    constraint "round_seen_pkey" primary key ("company_id", "technician_id", "publication_id")
);
alter table "round_seen" add constraint "round_seen_company_id_technician_id_fkey" foreign key ("company_id", "technician_id") references "technician" ("company_id", "id") on delete restrict on update cascade;
alter table "round_seen" add constraint "round_seen_company_id_publication_id_fkey" foreign key ("company_id", "publication_id") references "publication" ("company_id", "id") on delete restrict on update cascade;
alter table round_seen enable row level security;
alter table round_seen force row level security;
create policy own_company on round_seen to bellround_app using (company_id = current_company()) with check (company_id = current_company());
grant select, insert on round_seen to bellround_app;
create trigger append_only before update or delete on round_seen for each row execute function refuse_change();
create trigger append_only_truncate before truncate on round_seen for each statement execute function refuse_change();

-- Travel by road as a table service gave it: places of the company by number, and per place its minutes to all others (null: never answered).
create table "travel_place" (
    "company_id" uuid not null,
    "n" integer not null,
    "lat" double precision not null,
    "lon" double precision not null,
    constraint "travel_place_pkey" primary key ("company_id", "n")
);
create unique index "travel_place_company_id_lat_lon_key" on "travel_place" ("company_id", "lat", "lon");
alter table travel_place enable row level security;
alter table travel_place force row level security;
create policy own_company on travel_place to bellround_app using (company_id = current_company()) with check (company_id = current_company());
grant select, insert, update, delete on travel_place to bellround_app;

create table "travel_row" (
    "company_id" uuid not null,
    "from_n" integer not null,
    "minutes" integer[],
    "asked_at" timestamptz(3) not null,
    constraint "travel_row_pkey" primary key ("company_id", "from_n")
);
alter table "travel_row" add constraint "travel_row_company_id_from_n_fkey" foreign key ("company_id", "from_n") references "travel_place" ("company_id", "n") on delete restrict on update cascade;
alter table travel_row enable row level security;
alter table travel_row force row level security;
create policy own_company on travel_row to bellround_app using (company_id = current_company()) with check (company_id = current_company());
grant select, insert, update, delete on travel_row to bellround_app;
