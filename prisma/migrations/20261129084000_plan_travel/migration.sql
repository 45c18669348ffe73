-- What a plan's travel was counted with: model (learned or not), how many trips it was learned from, how many of its legs are estimates, and why.
-- Questions to the plan count with the same. Null: a plan of before.
alter table "week_plan" add column "travel" jsonb;

-- Each writing of a place's minutes counts up, so that what was read before is known to be current without reading it again.
-- Of the minutes: null was never answered, -2 has no way between the two.
alter table "travel_row" add column "version" integer not null default 1;
