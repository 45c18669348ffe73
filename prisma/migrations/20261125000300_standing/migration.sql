-- Standing of a whole fleet on any day: which window governs is a range scan, and what the calendar changes is found by day.
CREATE TABLE "duty_turn" (
    "company_id" UUID NOT NULL,
    "duty_id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "turns_on" DATE NOT NULL,

    CONSTRAINT "duty_turn_pkey" PRIMARY KEY ("company_id","duty_id")
);
CREATE INDEX "duty_turn_company_id_turns_on_idx" ON "duty_turn"("company_id", "turns_on");
ALTER TABLE "duty_turn" ADD CONSTRAINT "duty_turn_company_id_duty_id_fkey" FOREIGN KEY ("company_id", "duty_id") REFERENCES "duty"("company_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;

alter table duty_turn enable row level security;
alter table duty_turn force row level security;
create policy own_company on duty_turn to bellround_app using (company_id = current_company()) with check (company_id = current_company());
grant select, insert, update, delete on duty_turn to bellround_app;

CREATE INDEX "duty_window_company_id_governs_to_idx" ON "duty_window"("company_id", "governs_to");
-- The windows that govern until further notice, with all that today's standing reads: no visit to the table itself.
create index duty_window_governing on duty_window (company_id, site_id, governs_from) include (duty_id, opens, due, lapses, carried) where governs_to is null;
-- A correction is looked up by the check it corrects.
create index check_record_corrects on check_record (company_id, corrects_id) where corrects_id is not null;
