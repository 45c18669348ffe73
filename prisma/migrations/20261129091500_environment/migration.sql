-- What parts live in: it moves their failure rates. Null: nobody recorded it, and exposure counts the harsh side.
alter table "site" add column "environment" text;
alter table "site" add constraint "site_environment_known" check ("environment" in ('mild', 'harsh'));
alter table "device" add column "environment" text;
alter table "device" add constraint "device_environment_known" check ("environment" in ('mild', 'harsh'));
