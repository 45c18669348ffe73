-- The round trip of a visit: what an event is, the zone lists that were read, reports held back on purpose, and how a
-- station's history is read.
ALTER TABLE "station_event" ADD COLUMN "kind" TEXT;
ALTER TABLE "station_event" ADD COLUMN "qualifier" TEXT;

CREATE TABLE "zone_list" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "system_id" UUID NOT NULL,
    "list" TEXT NOT NULL,
    "rows" JSONB NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "by_id" UUID NOT NULL,

    CONSTRAINT "zone_list_pkey" PRIMARY KEY ("company_id","id")
);
CREATE TABLE "delayed_report" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "check_id" UUID NOT NULL,
    "account_number" TEXT NOT NULL,
    "what" TEXT NOT NULL,
    "kinds" TEXT[],
    "from_at" TIMESTAMPTZ(3) NOT NULL,
    "due_at" TIMESTAMPTZ(3) NOT NULL,
    "state" TEXT NOT NULL,
    "event_id" UUID,
    "deficiency_id" UUID,
    "settled_at" TIMESTAMPTZ(3),

    CONSTRAINT "delayed_report_pkey" PRIMARY KEY ("company_id","id")
);
CREATE TABLE "station_mapping" (
    "company_id" UUID NOT NULL,
    "station_id" UUID NOT NULL,
    "mapping" JSONB NOT NULL,
    "saved_at" TIMESTAMPTZ(3) NOT NULL,
    "saved_by" UUID NOT NULL,

    CONSTRAINT "station_mapping_pkey" PRIMARY KEY ("company_id","station_id")
);
CREATE INDEX "zone_list_company_id_system_id_list_recorded_at_idx" ON "zone_list"("company_id", "system_id", "list", "recorded_at");
CREATE INDEX "delayed_report_company_id_state_due_at_idx" ON "delayed_report"("company_id", "state", "due_at");
CREATE UNIQUE INDEX "delayed_report_company_id_check_id_what_key" ON "delayed_report"("company_id", "check_id", "what");
ALTER TABLE "zone_list" ADD CONSTRAINT "zone_list_company_id_system_id_fkey" FOREIGN KEY ("company_id", "system_id") REFERENCES "system"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "delayed_report" ADD CONSTRAINT "delayed_report_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "delayed_report" ADD CONSTRAINT "delayed_report_company_id_check_id_fkey" FOREIGN KEY ("company_id", "check_id") REFERENCES "check_record"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "delayed_report" ADD CONSTRAINT "delayed_report_company_id_event_id_fkey" FOREIGN KEY ("company_id", "event_id") REFERENCES "station_event"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "delayed_report" ADD CONSTRAINT "delayed_report_company_id_deficiency_id_fkey" FOREIGN KEY ("company_id", "deficiency_id") REFERENCES "deficiency"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "station_mapping" ADD CONSTRAINT "station_mapping_company_id_station_id_fkey" FOREIGN KEY ("company_id", "station_id") REFERENCES "station"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

do $$
declare t text;
begin
  foreach t in array array['zone_list', 'delayed_report', 'station_mapping']
  loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy own_company on %I to bellround_app using (company_id = current_company()) with check (company_id = current_company())', t);
    execute format('grant select, insert on %I to bellround_app', t);
  end loop;
end $$;
grant update on delayed_report, station_mapping to bellround_app;
alter table zone_list add constraint list_known check (list in ('panel', 'station'));
alter table delayed_report add constraint state_known check (state in ('waiting', 'heard', 'missing'));
alter table delayed_report add constraint ends_after_start check (due_at > from_at);

-- What a list said when it was read is never altered: it is read again.
create trigger append_only before update or delete on zone_list for each row execute function refuse_change();
create trigger append_only_truncate before truncate on zone_list for each statement execute function refuse_change();
