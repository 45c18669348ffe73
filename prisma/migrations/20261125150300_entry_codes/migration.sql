-- Codes that open a site, sealed by the door before they come here, and each sight of one. Both are records: a code is
-- changed by a further row, ended by one without a text, and a sight is never taken back.
CREATE TABLE "entry_code" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "key_id" UUID NOT NULL,
    "sealed" TEXT,
    "digest" TEXT NOT NULL,
    "set_at" TIMESTAMPTZ(3) NOT NULL,
    "set_by" UUID NOT NULL,

    CONSTRAINT "entry_code_pkey" PRIMARY KEY ("company_id","id")
);
CREATE TABLE "code_sight" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "code_id" UUID NOT NULL,
    "visit_id" UUID NOT NULL,
    "user_id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "code_sight_pkey" PRIMARY KEY ("company_id","id")
);
CREATE INDEX "entry_code_company_id_key_id_set_at_idx" ON "entry_code"("company_id", "key_id", "set_at");
CREATE INDEX "code_sight_company_id_code_id_idx" ON "code_sight"("company_id", "code_id");
CREATE INDEX "code_sight_company_id_user_id_at_idx" ON "code_sight"("company_id", "user_id", "at");
ALTER TABLE "entry_code" ADD CONSTRAINT "entry_code_company_id_key_id_fkey" FOREIGN KEY ("company_id", "key_id") REFERENCES "site_key"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "entry_code" ADD CONSTRAINT "entry_code_company_id_set_by_fkey" FOREIGN KEY ("company_id", "set_by") REFERENCES "app_user"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "code_sight" ADD CONSTRAINT "code_sight_company_id_code_id_fkey" FOREIGN KEY ("company_id", "code_id") REFERENCES "entry_code"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "code_sight" ADD CONSTRAINT "code_sight_company_id_visit_id_fkey" FOREIGN KEY ("company_id", "visit_id") REFERENCES "visit"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "code_sight" ADD CONSTRAINT "code_sight_company_id_user_id_fkey" FOREIGN KEY ("company_id", "user_id") REFERENCES "app_user"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

do $$
declare t text;
begin
  foreach t in array array['entry_code', 'code_sight']
  loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy own_company on %I to bellround_app using (company_id = current_company()) with check (company_id = current_company())', t);
    execute format('grant select, insert on %I to bellround_app', t);
    execute format('create trigger append_only before update or delete on %I for each row execute function refuse_change()', t);
    execute format('create trigger append_only_truncate before truncate on %I for each statement execute function refuse_change()', t);
  end loop;
end $$;
-- Only what a door has sealed can be stored: version, nonce, tag and text (apps/api/src/identity/sealing.ts).
alter table entry_code add constraint sealed_by_a_door check (sealed ~ '^v1\.[A-Za-z0-9_-]+\.[A-Za-z0-9_-]+\.[A-Za-z0-9_-]+$');
