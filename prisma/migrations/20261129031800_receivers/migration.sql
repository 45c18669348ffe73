-- Where test signals are heard besides the station: a company's receivers, the keys of their accounts (sealed by a door before
-- they come here), and what the listener says of each. Settings change in place, each change is in the activity; a key is never
-- changed, only followed by another and given an end.
CREATE TABLE "receiver" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "host" TEXT NOT NULL,
    "port" INTEGER NOT NULL,
    "udp" BOOLEAN NOT NULL,
    "lines" JSONB NOT NULL,
    "require_key" BOOLEAN NOT NULL,
    "per_minute" INTEGER NOT NULL,
    "most_connections" INTEGER NOT NULL,
    "is_on" BOOLEAN NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "created_by" UUID NOT NULL,
    "changed_at" TIMESTAMPTZ(3) NOT NULL,
    "retired_at" TIMESTAMPTZ(3),

    CONSTRAINT "receiver_pkey" PRIMARY KEY ("company_id","id")
);
CREATE TABLE "receiver_key" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "receiver_id" UUID NOT NULL,
    "account" TEXT NOT NULL,
    "sealed" TEXT NOT NULL,
    "digest" TEXT NOT NULL,
    "bits" INTEGER NOT NULL,
    "set_at" TIMESTAMPTZ(3) NOT NULL,
    "set_by" UUID NOT NULL,
    "ends_at" TIMESTAMPTZ(3),
    "good" INTEGER NOT NULL DEFAULT 0,
    "refused" INTEGER NOT NULL DEFAULT 0,
    "last_good_at" TIMESTAMPTZ(3),

    CONSTRAINT "receiver_key_pkey" PRIMARY KEY ("company_id","id")
);
CREATE TABLE "receiver_state" (
    "company_id" UUID NOT NULL,
    "receiver_id" UUID NOT NULL,
    "seen_at" TIMESTAMPTZ(3) NOT NULL,
    "listening_port" INTEGER,
    "trouble" TEXT,
    "connections" INTEGER NOT NULL,
    "good" BIGINT NOT NULL,
    "again" BIGINT NOT NULL,
    "refused" BIGINT NOT NULL,
    "damaged" BIGINT NOT NULL,
    "held_back" BIGINT NOT NULL,
    "last_good_at" TIMESTAMPTZ(3),
    "last_refused_at" TIMESTAMPTZ(3),
    "last_refusal" TEXT,

    CONSTRAINT "receiver_state_pkey" PRIMARY KEY ("company_id","receiver_id")
);
CREATE INDEX "receiver_key_company_id_receiver_id_account_idx" ON "receiver_key"("company_id", "receiver_id", "account");
ALTER TABLE "receiver" ADD CONSTRAINT "receiver_company_id_created_by_fkey" FOREIGN KEY ("company_id", "created_by") REFERENCES "app_user"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "receiver_key" ADD CONSTRAINT "receiver_key_company_id_receiver_id_fkey" FOREIGN KEY ("company_id", "receiver_id") REFERENCES "receiver"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "receiver_key" ADD CONSTRAINT "receiver_key_company_id_set_by_fkey" FOREIGN KEY ("company_id", "set_by") REFERENCES "app_user"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "receiver_state" ADD CONSTRAINT "receiver_state_company_id_receiver_id_fkey" FOREIGN KEY ("company_id", "receiver_id") REFERENCES "receiver"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

do $$
declare t text;
begin
  foreach t in array array['receiver', 'receiver_key', 'receiver_state']
  loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy own_company on %I to bellround_app using (company_id = current_company()) with check (company_id = current_company())', t);
    execute format('grant select, insert on %I to bellround_app', t);
  end loop;
end $$;
grant update on receiver, receiver_state to bellround_app;
-- Of a key only its end and its counts change: neither its text nor its account.
grant update (ends_at, good, refused, last_good_at) on receiver_key to bellround_app;
alter table receiver_key add constraint sealed_by_a_door check (sealed ~ '^v1\.[A-Za-z0-9_-]+\.[A-Za-z0-9_-]+\.[A-Za-z0-9_-]+$');
alter table receiver add constraint a_port check (port between 1 and 65535);
