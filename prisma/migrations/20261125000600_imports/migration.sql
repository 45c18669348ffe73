-- What a fleet's files say beyond the first model, and ids for rows that one statement makes by the thousand.
alter table "device" add column "supply_mv" integer;
alter table "device" add column "lat" double precision;
alter table "device" add column "lon" double precision;
alter table "device" add constraint place_real check ((lat is null) = (lon is null) and lat between -90 and 90 and lon between -180 and 180);
alter table "device" add constraint supply_positive check (supply_mv >= 0);
alter table "battery" add column "nominal_mv" integer;
alter table "battery" add constraint nominal_positive check (nominal_mv >= 0);
create index "device_company_id_serial_idx" on "device" ("company_id", "serial");

-- Stored problems stop at a limit; the count does not.
alter table "import_run" add column "problems_total" integer not null default 0;

-- Two stations may use one account number for different sites: a difference belongs to its station.
alter table "list_difference" add column "station_key" text not null default '';
drop index "list_difference_company_id_kind_account_number_key";
create unique index "list_difference_company_id_kind_station_key_account_number_key" on "list_difference" ("company_id", "kind", "station_key", "account_number");

-- UUID version 7 (RFC 9562 section 5.7): milliseconds, then the random digits of a version 4.
create function new_uuid7(at timestamptz) returns uuid language sql volatile parallel safe as $$
  select (lpad(to_hex((extract(epoch from at) * 1000)::bigint), 12, '0') || '7' || substr(replace(gen_random_uuid()::text, '-', ''), 14))::uuid $$;
