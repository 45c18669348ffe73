-- Few numbers from which planning reads what a visit on a day takes off a site's exposure; null: scored before they were kept.
alter table "site_exposure" add column "visit_gain" jsonb;
