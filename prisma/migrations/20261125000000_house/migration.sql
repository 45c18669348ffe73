-- CreateSchema
CREATE SCHEMA IF NOT EXISTS "public";

-- CreateTable
CREATE TABLE "company" (
    "id" UUID NOT NULL,
    "slug" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "time_zone" TEXT NOT NULL,
    "settings" JSONB NOT NULL DEFAULT '{}',
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "company_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "app_user" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "email" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "role" TEXT NOT NULL,
    "password_hash" TEXT NOT NULL,
    "technician_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "disabled_at" TIMESTAMPTZ(3),

    CONSTRAINT "app_user_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "session" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "user_id" UUID NOT NULL,
    "token_hash" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "revoked_at" TIMESTAMPTZ(3),

    CONSTRAINT "session_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "sign_in_attempt" (
    "id" BIGSERIAL NOT NULL,
    "key" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "good" BOOLEAN NOT NULL,

    CONSTRAINT "sign_in_attempt_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "calendar_feed" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "technician_id" UUID NOT NULL,
    "token_hash" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "created_by" UUID NOT NULL,
    "revoked_at" TIMESTAMPTZ(3),

    CONSTRAINT "calendar_feed_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "activity" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "actor_id" UUID,
    "actor_name" TEXT NOT NULL,
    "act" TEXT NOT NULL,
    "subject_kind" TEXT NOT NULL,
    "subject_id" UUID,
    "site_id" UUID,
    "summary" TEXT NOT NULL,

    CONSTRAINT "activity_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "client" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "external_key" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "email" TEXT,
    "phone" TEXT,
    "billing_ref" TEXT,
    "notes" TEXT,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "client_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "site" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "external_key" TEXT NOT NULL,
    "client_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "address" TEXT NOT NULL,
    "locality" TEXT,
    "postcode" TEXT,
    "lat" DOUBLE PRECISION,
    "lon" DOUBLE PRECISION,
    "time_zone" TEXT NOT NULL,
    "occupancy" TEXT NOT NULL,
    "sleeping_risk" BOOLEAN NOT NULL DEFAULT false,
    "access_hours" JSONB NOT NULL,
    "noise_hours" JSONB,
    "access_notes" TEXT,
    "notes" TEXT,
    "taken_over_on" DATE,
    "closed_on" DATE,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "site_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "site_blackout" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "from_day" DATE NOT NULL,
    "to_day" DATE,
    "reason" TEXT NOT NULL,
    "authority" TEXT NOT NULL,
    "entered_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "site_blackout_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "contact" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "roles" TEXT[],
    "email" TEXT,
    "phone" TEXT,
    "language" TEXT,
    "valid_from" DATE NOT NULL,
    "valid_to" DATE,

    CONSTRAINT "contact_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "site_key" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "label" TEXT NOT NULL,

    CONSTRAINT "site_key_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "custody" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "key_id" UUID NOT NULL,
    "holder_kind" TEXT NOT NULL,
    "technician_id" UUID,
    "holder_name" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "until" TIMESTAMPTZ(3),
    "recorded_by" TEXT NOT NULL,

    CONSTRAINT "custody_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "system" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "external_key" TEXT NOT NULL,
    "site_id" UUID NOT NULL,
    "account_id" UUID,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "grade" TEXT,
    "standard_edition" TEXT,
    "control_unit" TEXT,
    "firmware" TEXT,
    "installed_on" DATE,
    "standby_ma" INTEGER,
    "alarm_ma" INTEGER,
    "standby_hours" DOUBLE PRECISION,
    "alarm_min" DOUBLE PRECISION,
    "retired_on" DATE,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "system_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "zone" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "system_id" UUID NOT NULL,
    "number" INTEGER NOT NULL,
    "text_panel" TEXT,
    "text_ours" TEXT NOT NULL,
    "text_station" TEXT,

    CONSTRAINT "zone_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "device" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "external_key" TEXT NOT NULL,
    "system_id" UUID NOT NULL,
    "zone_id" UUID,
    "kind" TEXT NOT NULL,
    "link" TEXT NOT NULL,
    "label" TEXT NOT NULL,
    "room" TEXT,
    "height_m" DOUBLE PRECISION,
    "serial" TEXT,
    "made_on" DATE,
    "made_on_state" TEXT NOT NULL DEFAULT 'not-asked',
    "installed_on" DATE,
    "first_seen_on" DATE,
    "removed_on" DATE,
    "replaced_by_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "device_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "battery" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "external_key" TEXT NOT NULL,
    "system_id" UUID NOT NULL,
    "device_id" UUID,
    "label" TEXT NOT NULL,
    "chemistry" TEXT NOT NULL,
    "rated_mah" INTEGER,
    "made_on" DATE,
    "made_on_state" TEXT NOT NULL DEFAULT 'not-asked',
    "fitted_on" DATE,
    "first_seen_on" DATE,
    "temperature_c" DOUBLE PRECISION,
    "removed_on" DATE,
    "replaced_by_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "battery_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "path" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "external_key" TEXT NOT NULL,
    "system_id" UUID NOT NULL,
    "rank" INTEGER NOT NULL,
    "technology" TEXT NOT NULL,
    "label" TEXT NOT NULL,
    "receiver_address" TEXT,
    "category" TEXT,
    "supervision_s" INTEGER,
    "test_interval_min" INTEGER,
    "registered" BOOLEAN NOT NULL DEFAULT true,
    "contract_ends_on" DATE,
    "technology_ends_on" DATE,
    "installed_on" DATE,
    "removed_on" DATE,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "path_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "station" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "external_key" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "phone" TEXT,

    CONSTRAINT "station_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "account" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "station_id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "number" TEXT NOT NULL,
    "status" TEXT NOT NULL,
    "valid_from" DATE,
    "valid_to" DATE,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "account_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "revision" (
    "company_id" UUID NOT NULL,
    "id" BIGSERIAL NOT NULL,
    "subject_kind" TEXT NOT NULL,
    "subject_id" UUID NOT NULL,
    "entered_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "actor_id" UUID,
    "before" JSONB NOT NULL,
    "after" JSONB NOT NULL,

    CONSTRAINT "revision_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "import_run" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "file_name" TEXT NOT NULL,
    "digest" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "rows_read" INTEGER NOT NULL DEFAULT 0,
    "rows_good" INTEGER NOT NULL DEFAULT 0,
    "rows_held" INTEGER NOT NULL DEFAULT 0,
    "rows_new" INTEGER NOT NULL DEFAULT 0,
    "rows_changed" INTEGER NOT NULL DEFAULT 0,
    "rows_same" INTEGER NOT NULL DEFAULT 0,
    "started_at" TIMESTAMPTZ(3) NOT NULL,
    "ended_at" TIMESTAMPTZ(3),
    "started_by" UUID NOT NULL,

    CONSTRAINT "import_run_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "import_problem" (
    "company_id" UUID NOT NULL,
    "run_id" UUID NOT NULL,
    "n" INTEGER NOT NULL,
    "row" INTEGER NOT NULL,
    "column" TEXT NOT NULL,
    "value" TEXT NOT NULL,
    "problem" TEXT NOT NULL,
    "accepted" TEXT NOT NULL,

    CONSTRAINT "import_problem_pkey" PRIMARY KEY ("company_id","run_id","n")
);

-- CreateTable
CREATE TABLE "list_import" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "station_id" UUID,
    "listed_on" DATE NOT NULL,
    "file_name" TEXT NOT NULL,
    "digest" TEXT NOT NULL,
    "imported_at" TIMESTAMPTZ(3) NOT NULL,
    "imported_by" UUID NOT NULL,

    CONSTRAINT "list_import_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "list_entry" (
    "company_id" UUID NOT NULL,
    "list_id" UUID NOT NULL,
    "row" INTEGER NOT NULL,
    "account_number" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "address" TEXT,
    "status" TEXT NOT NULL DEFAULT 'live',

    CONSTRAINT "list_entry_pkey" PRIMARY KEY ("company_id","list_id","row")
);

-- CreateTable
CREATE TABLE "list_difference" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "account_number" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "site_id" UUID,
    "first_seen_on" DATE NOT NULL,
    "last_seen_on" DATE NOT NULL,
    "assignee_id" UUID,
    "settled_at" TIMESTAMPTZ(3),
    "settled_by" UUID,
    "settlement" TEXT,
    "gone_on" DATE,

    CONSTRAINT "list_difference_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "technician" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "external_key" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "email" TEXT,
    "phone" TEXT,
    "home_lat" DOUBLE PRECISION,
    "home_lon" DOUBLE PRECISION,
    "time_zone" TEXT NOT NULL,
    "shifts" JSONB NOT NULL,
    "skills" TEXT[],
    "pair_only" BOOLEAN NOT NULL DEFAULT false,
    "max_overtime_min" INTEGER NOT NULL DEFAULT 60,
    "active_from" DATE,
    "active_to" DATE,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "technician_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "licence" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "technician_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "number" TEXT,
    "body" TEXT,
    "valid_from" DATE,
    "valid_to" DATE,

    CONSTRAINT "licence_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "absence" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "technician_id" UUID NOT NULL,
    "from_day" DATE NOT NULL,
    "to_day" DATE NOT NULL,
    "reason" TEXT NOT NULL,
    "entered_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "absence_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "instrument" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "serial" TEXT NOT NULL,
    "calibrated_from" DATE,
    "calibrated_to" DATE,
    "technician_id" UUID,

    CONSTRAINT "instrument_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "programme" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "key" TEXT NOT NULL,
    "version" INTEGER NOT NULL,
    "title" TEXT NOT NULL,
    "body" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "created_by" UUID,

    CONSTRAINT "programme_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "programme_application" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "programme_id" UUID NOT NULL,
    "system_id" UUID NOT NULL,
    "valid_from" DATE NOT NULL,
    "valid_to" DATE,
    "applied_at" TIMESTAMPTZ(3) NOT NULL,
    "applied_by" UUID,

    CONSTRAINT "programme_application_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "duty" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "application_id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "system_id" UUID NOT NULL,
    "subject_kind" TEXT NOT NULL,
    "subject_id" UUID NOT NULL,
    "rule_key" TEXT NOT NULL,
    "title" TEXT NOT NULL,
    "regime" TEXT NOT NULL,
    "mandated" BOOLEAN NOT NULL,
    "cadence" JSONB NOT NULL,
    "basis_on" DATE,
    "check_kinds" TEXT[],
    "minutes" INTEGER NOT NULL,
    "skills" TEXT[],
    "licences" TEXT[],
    "remotely" BOOLEAN NOT NULL DEFAULT false,
    "sounds" BOOLEAN NOT NULL DEFAULT false,
    "valid_from" DATE NOT NULL,
    "valid_to" DATE,

    CONSTRAINT "duty_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "duty_window" (
    "company_id" UUID NOT NULL,
    "duty_id" UUID NOT NULL,
    "n" INTEGER NOT NULL,
    "site_id" UUID NOT NULL,
    "opens" DATE NOT NULL,
    "due" DATE NOT NULL,
    "lapses" DATE NOT NULL,
    "governs_from" DATE NOT NULL,
    "governs_to" DATE,
    "met_on" DATE,
    "met_by" UUID,
    "outcome" TEXT,
    "late_days" INTEGER NOT NULL DEFAULT 0,
    "carried" TEXT NOT NULL,
    "basis_on" DATE,
    "why" TEXT NOT NULL,

    CONSTRAINT "duty_window_pkey" PRIMARY KEY ("company_id","duty_id","n")
);

-- CreateTable
CREATE TABLE "credit" (
    "company_id" UUID NOT NULL,
    "duty_id" UUID NOT NULL,
    "check_id" UUID NOT NULL,
    "credited_on" DATE NOT NULL,

    CONSTRAINT "credit_pkey" PRIMARY KEY ("company_id","duty_id","check_id")
);

-- CreateTable
CREATE TABLE "week_plan" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "week_start" DATE NOT NULL,
    "state" TEXT NOT NULL,
    "revision" INTEGER NOT NULL DEFAULT 1,
    "seed" INTEGER NOT NULL,
    "cost" JSONB NOT NULL DEFAULT '[]',
    "progress" JSONB,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "created_by" UUID,
    "published_at" TIMESTAMPTZ(3),
    "published_by" UUID,

    CONSTRAINT "week_plan_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "plan_stop" (
    "company_id" UUID NOT NULL,
    "plan_id" UUID NOT NULL,
    "visit_id" UUID NOT NULL,
    "technician_id" UUID NOT NULL,
    "second_technician_id" UUID,
    "day" DATE NOT NULL,
    "arrive_min" INTEGER NOT NULL,
    "start_min" INTEGER NOT NULL,
    "end_min" INTEGER NOT NULL,
    "travel_min" INTEGER NOT NULL,
    "pinned" BOOLEAN NOT NULL DEFAULT false,

    CONSTRAINT "plan_stop_pkey" PRIMARY KEY ("company_id","plan_id","visit_id")
);

-- CreateTable
CREATE TABLE "plan_unplaced" (
    "company_id" UUID NOT NULL,
    "plan_id" UUID NOT NULL,
    "visit_id" UUID NOT NULL,
    "rule" TEXT NOT NULL,
    "words" TEXT NOT NULL,
    "lapses" BOOLEAN NOT NULL,

    CONSTRAINT "plan_unplaced_pkey" PRIMARY KEY ("company_id","plan_id","visit_id")
);

-- CreateTable
CREATE TABLE "promise" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "visit_id" UUID,
    "day" DATE,
    "from_min" INTEGER,
    "to_min" INTEGER,
    "technician_id" UUID,
    "words" TEXT NOT NULL,
    "made_to" TEXT NOT NULL,
    "made_by" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "withdraws_id" UUID,

    CONSTRAINT "promise_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "visit" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "title" TEXT NOT NULL,
    "service_min" INTEGER NOT NULL,
    "persons" INTEGER NOT NULL DEFAULT 1,
    "parent_id" UUID,
    "day" DATE,
    "start_min" INTEGER,
    "technician_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "opened_at" TIMESTAMPTZ(3),
    "closed_at" TIMESTAMPTZ(3),

    CONSTRAINT "visit_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "visit_duty" (
    "company_id" UUID NOT NULL,
    "visit_id" UUID NOT NULL,
    "duty_id" UUID NOT NULL,

    CONSTRAINT "visit_duty_pkey" PRIMARY KEY ("company_id","visit_id","duty_id")
);

-- CreateTable
CREATE TABLE "visit_deficiency" (
    "company_id" UUID NOT NULL,
    "visit_id" UUID NOT NULL,
    "deficiency_id" UUID NOT NULL,

    CONSTRAINT "visit_deficiency_pkey" PRIMARY KEY ("company_id","visit_id","deficiency_id")
);

-- CreateTable
CREATE TABLE "visit_fact" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "visit_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "by_id" UUID NOT NULL,
    "detail" JSONB NOT NULL DEFAULT '{}',

    CONSTRAINT "visit_fact_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "hold" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "account_id" UUID NOT NULL,
    "visit_id" UUID NOT NULL,
    "parts" TEXT[],
    "station_reference" TEXT NOT NULL,
    "operator_name" TEXT NOT NULL,
    "opened_at" TIMESTAMPTZ(3) NOT NULL,
    "until_at" TIMESTAMPTZ(3) NOT NULL,
    "opened_by" UUID NOT NULL,
    "closed_at" TIMESTAMPTZ(3),
    "closed_by" UUID,
    "close_confirmed_by" TEXT,
    "signals_received" INTEGER,

    CONSTRAINT "hold_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "hold_fact" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "hold_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "by_id" UUID,
    "detail" JSONB NOT NULL DEFAULT '{}',

    CONSTRAINT "hold_fact_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "put_back" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "visit_id" UUID NOT NULL,
    "what" TEXT NOT NULL,
    "taken_out_at" TIMESTAMPTZ(3) NOT NULL,
    "by_check_id" UUID,
    "put_back_at" TIMESTAMPTZ(3),
    "handed_to" TEXT,
    "handed_reason" TEXT,

    CONSTRAINT "put_back_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "check_record" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "body_digest" TEXT NOT NULL,
    "visit_id" UUID,
    "site_id" UUID NOT NULL,
    "system_id" UUID NOT NULL,
    "subject_kind" TEXT NOT NULL,
    "subject_id" UUID NOT NULL,
    "check_kind" TEXT NOT NULL,
    "performed_on" DATE NOT NULL,
    "performed_at" TIMESTAMPTZ(3) NOT NULL,
    "device_clock_at" TIMESTAMPTZ(3),
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "technician_id" UUID,
    "recorded_by" UUID,
    "verdict" TEXT NOT NULL,
    "computed_verdict" TEXT,
    "reason" TEXT NOT NULL,
    "margin_value" DOUBLE PRECISION,
    "margin_unit" TEXT,
    "limit_source" TEXT,
    "overrule_reason" TEXT,
    "excuse_code" TEXT,
    "evidence" TEXT NOT NULL,
    "source" TEXT NOT NULL,
    "hold_id" UUID,
    "corrects_id" UUID,
    "notes" TEXT,

    CONSTRAINT "check_record_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "reading" (
    "company_id" UUID NOT NULL,
    "check_id" UUID NOT NULL,
    "key" TEXT NOT NULL,
    "unit" TEXT,
    "number" DOUBLE PRECISION,
    "flag" BOOLEAN,
    "text" TEXT,
    "instrument_id" UUID,
    "reliable" BOOLEAN,

    CONSTRAINT "reading_pkey" PRIMARY KEY ("company_id","check_id","key")
);

-- CreateTable
CREATE TABLE "attempt" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "body_digest" TEXT NOT NULL,
    "site_id" UUID NOT NULL,
    "visit_id" UUID,
    "how" TEXT NOT NULL,
    "outcome" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "by_id" UUID NOT NULL,
    "lat" DOUBLE PRECISION,
    "lon" DOUBLE PRECISION,
    "waited_min" INTEGER,
    "photo_id" UUID,
    "words" TEXT NOT NULL,
    "preventable_by" TEXT NOT NULL,

    CONSTRAINT "attempt_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "attachment" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "digest" TEXT NOT NULL,
    "mime" TEXT NOT NULL,
    "bytes" INTEGER NOT NULL,
    "content" BYTEA NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "created_by" UUID NOT NULL,

    CONSTRAINT "attachment_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "deficiency" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "system_id" UUID NOT NULL,
    "subject_kind" TEXT NOT NULL,
    "subject_id" UUID NOT NULL,
    "check_kind" TEXT NOT NULL,
    "severity" TEXT NOT NULL,
    "title" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "raised_at" TIMESTAMPTZ(3) NOT NULL,
    "raised_by_check_id" UUID NOT NULL,
    "due_on" DATE NOT NULL,
    "closed_at" TIMESTAMPTZ(3),
    "closed_by_check_id" UUID,
    "accepted_until" DATE,

    CONSTRAINT "deficiency_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "deficiency_fact" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "deficiency_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "by_id" UUID,
    "check_id" UUID,
    "words" TEXT NOT NULL,
    "detail" JSONB NOT NULL DEFAULT '{}',

    CONSTRAINT "deficiency_fact_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "station_event" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "station_id" UUID,
    "account_number" TEXT NOT NULL,
    "account_id" UUID,
    "received_at" TIMESTAMPTZ(3) NOT NULL,
    "code" TEXT NOT NULL,
    "zone" TEXT,
    "text" TEXT,
    "path" TEXT,
    "raw" TEXT NOT NULL,
    "raw_digest" TEXT NOT NULL,
    "source" TEXT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "station_event_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "message" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "dedupe_key" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "to_name" TEXT NOT NULL,
    "to_email" TEXT NOT NULL,
    "subject" TEXT NOT NULL,
    "body" TEXT NOT NULL,
    "site_id" UUID,
    "state" TEXT NOT NULL,
    "attempts" INTEGER NOT NULL DEFAULT 0,
    "claimed_at" TIMESTAMPTZ(3),
    "sent_at" TIMESTAMPTZ(3),
    "last_error" TEXT,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "message_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "outbox_job" (
    "company_id" UUID NOT NULL,
    "id" BIGSERIAL NOT NULL,
    "job" TEXT NOT NULL,
    "payload" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "enqueued_at" TIMESTAMPTZ(3),

    CONSTRAINT "outbox_job_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "sweep_run" (
    "company_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "day" DATE NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "result" JSONB NOT NULL,

    CONSTRAINT "sweep_run_pkey" PRIMARY KEY ("company_id","kind","day")
);

-- CreateTable
CREATE TABLE "risk_model" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "fitted_at" TIMESTAMPTZ(3) NOT NULL,
    "from_day" DATE,
    "to_day" DATE NOT NULL,
    "model" JSONB NOT NULL,
    "report" JSONB NOT NULL DEFAULT '{}',
    "promoted" BOOLEAN NOT NULL DEFAULT false,

    CONSTRAINT "risk_model_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "site_exposure" (
    "company_id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "model_id" UUID NOT NULL,
    "scored_on" DATE NOT NULL,
    "exposure_h" DOUBLE PRECISION NOT NULL,
    "exposure_per_year_h" DOUBLE PRECISION NOT NULL,
    "score" DOUBLE PRECISION NOT NULL,
    "percentile" DOUBLE PRECISION,
    "detail" JSONB NOT NULL,

    CONSTRAINT "site_exposure_pkey" PRIMARY KEY ("company_id","site_id")
);

-- CreateTable
CREATE TABLE "ledger_leaf" (
    "company_id" UUID NOT NULL,
    "index" BIGINT NOT NULL,
    "record_kind" TEXT NOT NULL,
    "record_id" UUID NOT NULL,
    "leaf_hash" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "ledger_leaf_pkey" PRIMARY KEY ("company_id","index")
);

-- CreateTable
CREATE TABLE "ledger_frontier" (
    "company_id" UUID NOT NULL,
    "size" BIGINT NOT NULL,
    "frontier" JSONB NOT NULL,

    CONSTRAINT "ledger_frontier_pkey" PRIMARY KEY ("company_id")
);

-- CreateTable
CREATE TABLE "ledger_head" (
    "company_id" UUID NOT NULL,
    "size" BIGINT NOT NULL,
    "root_hash" TEXT NOT NULL,
    "signature" TEXT NOT NULL,
    "public_key" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "ledger_head_pkey" PRIMARY KEY ("company_id","size")
);

-- CreateIndex
CREATE UNIQUE INDEX "company_slug_key" ON "company"("slug");

-- CreateIndex
CREATE INDEX "app_user_email_idx" ON "app_user"("email");

-- CreateIndex
CREATE UNIQUE INDEX "app_user_company_id_email_key" ON "app_user"("company_id", "email");

-- CreateIndex
CREATE UNIQUE INDEX "session_token_hash_key" ON "session"("token_hash");

-- CreateIndex
CREATE INDEX "session_company_id_user_id_idx" ON "session"("company_id", "user_id");

-- CreateIndex
CREATE INDEX "sign_in_attempt_key_at_idx" ON "sign_in_attempt"("key", "at");

-- CreateIndex
CREATE UNIQUE INDEX "calendar_feed_token_hash_key" ON "calendar_feed"("token_hash");

-- CreateIndex
CREATE INDEX "calendar_feed_company_id_technician_id_idx" ON "calendar_feed"("company_id", "technician_id");

-- CreateIndex
CREATE INDEX "activity_company_id_at_idx" ON "activity"("company_id", "at" DESC);

-- CreateIndex
CREATE INDEX "activity_company_id_site_id_at_idx" ON "activity"("company_id", "site_id", "at" DESC);

-- CreateIndex
CREATE UNIQUE INDEX "client_company_id_external_key_key" ON "client"("company_id", "external_key");

-- CreateIndex
CREATE INDEX "site_company_id_client_id_idx" ON "site"("company_id", "client_id");

-- CreateIndex
CREATE INDEX "site_company_id_name_idx" ON "site"("company_id", "name");

-- CreateIndex
CREATE UNIQUE INDEX "site_company_id_external_key_key" ON "site"("company_id", "external_key");

-- CreateIndex
CREATE INDEX "site_blackout_company_id_site_id_idx" ON "site_blackout"("company_id", "site_id");

-- CreateIndex
CREATE INDEX "contact_company_id_site_id_idx" ON "contact"("company_id", "site_id");

-- CreateIndex
CREATE INDEX "site_key_company_id_site_id_idx" ON "site_key"("company_id", "site_id");

-- CreateIndex
CREATE INDEX "custody_company_id_key_id_at_idx" ON "custody"("company_id", "key_id", "at");

-- CreateIndex
CREATE INDEX "system_company_id_site_id_idx" ON "system"("company_id", "site_id");

-- CreateIndex
CREATE UNIQUE INDEX "system_company_id_external_key_key" ON "system"("company_id", "external_key");

-- CreateIndex
CREATE UNIQUE INDEX "zone_company_id_system_id_number_key" ON "zone"("company_id", "system_id", "number");

-- CreateIndex
CREATE INDEX "device_company_id_system_id_idx" ON "device"("company_id", "system_id");

-- CreateIndex
CREATE UNIQUE INDEX "device_company_id_external_key_key" ON "device"("company_id", "external_key");

-- CreateIndex
CREATE INDEX "battery_company_id_system_id_idx" ON "battery"("company_id", "system_id");

-- CreateIndex
CREATE UNIQUE INDEX "battery_company_id_external_key_key" ON "battery"("company_id", "external_key");

-- CreateIndex
CREATE INDEX "path_company_id_system_id_idx" ON "path"("company_id", "system_id");

-- CreateIndex
CREATE UNIQUE INDEX "path_company_id_external_key_key" ON "path"("company_id", "external_key");

-- CreateIndex
CREATE UNIQUE INDEX "station_company_id_external_key_key" ON "station"("company_id", "external_key");

-- CreateIndex
CREATE INDEX "account_company_id_site_id_idx" ON "account"("company_id", "site_id");

-- CreateIndex
CREATE UNIQUE INDEX "account_company_id_station_id_number_key" ON "account"("company_id", "station_id", "number");

-- CreateIndex
CREATE INDEX "revision_company_id_subject_kind_subject_id_idx" ON "revision"("company_id", "subject_kind", "subject_id");

-- CreateIndex
CREATE INDEX "import_run_company_id_started_at_idx" ON "import_run"("company_id", "started_at" DESC);

-- CreateIndex
CREATE INDEX "list_import_company_id_kind_listed_on_idx" ON "list_import"("company_id", "kind", "listed_on" DESC);

-- CreateIndex
CREATE INDEX "list_entry_company_id_list_id_account_number_idx" ON "list_entry"("company_id", "list_id", "account_number");

-- CreateIndex
CREATE UNIQUE INDEX "list_difference_company_id_kind_account_number_key" ON "list_difference"("company_id", "kind", "account_number");

-- CreateIndex
CREATE UNIQUE INDEX "technician_company_id_external_key_key" ON "technician"("company_id", "external_key");

-- CreateIndex
CREATE UNIQUE INDEX "licence_company_id_technician_id_kind_key" ON "licence"("company_id", "technician_id", "kind");

-- CreateIndex
CREATE INDEX "absence_company_id_technician_id_idx" ON "absence"("company_id", "technician_id");

-- CreateIndex
CREATE UNIQUE INDEX "instrument_company_id_serial_key" ON "instrument"("company_id", "serial");

-- CreateIndex
CREATE UNIQUE INDEX "programme_company_id_key_version_key" ON "programme"("company_id", "key", "version");

-- CreateIndex
CREATE INDEX "programme_application_company_id_system_id_idx" ON "programme_application"("company_id", "system_id");

-- CreateIndex
CREATE UNIQUE INDEX "programme_application_company_id_programme_id_system_id_val_key" ON "programme_application"("company_id", "programme_id", "system_id", "valid_from");

-- CreateIndex
CREATE INDEX "duty_company_id_site_id_idx" ON "duty"("company_id", "site_id");

-- CreateIndex
CREATE INDEX "duty_company_id_subject_id_idx" ON "duty"("company_id", "subject_id");

-- CreateIndex
CREATE UNIQUE INDEX "duty_company_id_application_id_rule_key_subject_id_key" ON "duty"("company_id", "application_id", "rule_key", "subject_id");

-- CreateIndex
CREATE INDEX "duty_window_company_id_site_id_governs_from_idx" ON "duty_window"("company_id", "site_id", "governs_from");

-- CreateIndex
CREATE INDEX "duty_window_company_id_lapses_idx" ON "duty_window"("company_id", "lapses");

-- CreateIndex
CREATE INDEX "duty_window_company_id_opens_idx" ON "duty_window"("company_id", "opens");

-- CreateIndex
CREATE INDEX "credit_company_id_check_id_idx" ON "credit"("company_id", "check_id");

-- CreateIndex
CREATE INDEX "week_plan_company_id_week_start_idx" ON "week_plan"("company_id", "week_start");

-- CreateIndex
CREATE INDEX "plan_stop_company_id_technician_id_day_idx" ON "plan_stop"("company_id", "technician_id", "day");

-- CreateIndex
CREATE INDEX "promise_company_id_site_id_idx" ON "promise"("company_id", "site_id");

-- CreateIndex
CREATE INDEX "visit_company_id_site_id_idx" ON "visit"("company_id", "site_id");

-- CreateIndex
CREATE INDEX "visit_company_id_state_idx" ON "visit"("company_id", "state");

-- CreateIndex
CREATE INDEX "visit_company_id_technician_id_day_idx" ON "visit"("company_id", "technician_id", "day");

-- CreateIndex
CREATE INDEX "visit_duty_company_id_duty_id_idx" ON "visit_duty"("company_id", "duty_id");

-- CreateIndex
CREATE INDEX "visit_fact_company_id_visit_id_recorded_at_idx" ON "visit_fact"("company_id", "visit_id", "recorded_at");

-- CreateIndex
CREATE INDEX "hold_company_id_visit_id_idx" ON "hold"("company_id", "visit_id");

-- CreateIndex
CREATE INDEX "hold_fact_company_id_hold_id_idx" ON "hold_fact"("company_id", "hold_id");

-- CreateIndex
CREATE INDEX "put_back_company_id_visit_id_idx" ON "put_back"("company_id", "visit_id");

-- CreateIndex
CREATE INDEX "check_record_company_id_subject_id_check_kind_performed_on_idx" ON "check_record"("company_id", "subject_id", "check_kind", "performed_on");

-- CreateIndex
CREATE INDEX "check_record_company_id_site_id_performed_on_idx" ON "check_record"("company_id", "site_id", "performed_on");

-- CreateIndex
CREATE INDEX "check_record_company_id_visit_id_idx" ON "check_record"("company_id", "visit_id");

-- CreateIndex
CREATE INDEX "attempt_company_id_site_id_at_idx" ON "attempt"("company_id", "site_id", "at");

-- CreateIndex
CREATE INDEX "deficiency_company_id_site_id_idx" ON "deficiency"("company_id", "site_id");

-- CreateIndex
CREATE INDEX "deficiency_company_id_state_due_on_idx" ON "deficiency"("company_id", "state", "due_on");

-- CreateIndex
CREATE INDEX "deficiency_fact_company_id_deficiency_id_recorded_at_idx" ON "deficiency_fact"("company_id", "deficiency_id", "recorded_at");

-- CreateIndex
CREATE INDEX "station_event_company_id_account_id_received_at_idx" ON "station_event"("company_id", "account_id", "received_at");

-- CreateIndex
CREATE UNIQUE INDEX "station_event_company_id_account_number_received_at_raw_dig_key" ON "station_event"("company_id", "account_number", "received_at", "raw_digest");

-- CreateIndex
CREATE INDEX "message_company_id_state_idx" ON "message"("company_id", "state");

-- CreateIndex
CREATE INDEX "message_company_id_created_at_idx" ON "message"("company_id", "created_at" DESC);

-- CreateIndex
CREATE UNIQUE INDEX "message_company_id_dedupe_key_key" ON "message"("company_id", "dedupe_key");

-- CreateIndex
CREATE INDEX "risk_model_company_id_fitted_at_idx" ON "risk_model"("company_id", "fitted_at" DESC);

-- CreateIndex
CREATE INDEX "site_exposure_company_id_score_idx" ON "site_exposure"("company_id", "score" DESC);

-- CreateIndex
CREATE UNIQUE INDEX "ledger_leaf_company_id_record_kind_record_id_key" ON "ledger_leaf"("company_id", "record_kind", "record_id");

-- AddForeignKey
ALTER TABLE "app_user" ADD CONSTRAINT "app_user_company_id_technician_id_fkey" FOREIGN KEY ("company_id", "technician_id") REFERENCES "technician"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "session" ADD CONSTRAINT "session_company_id_user_id_fkey" FOREIGN KEY ("company_id", "user_id") REFERENCES "app_user"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "calendar_feed" ADD CONSTRAINT "calendar_feed_company_id_technician_id_fkey" FOREIGN KEY ("company_id", "technician_id") REFERENCES "technician"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "site" ADD CONSTRAINT "site_company_id_client_id_fkey" FOREIGN KEY ("company_id", "client_id") REFERENCES "client"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "site_blackout" ADD CONSTRAINT "site_blackout_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "contact" ADD CONSTRAINT "contact_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "site_key" ADD CONSTRAINT "site_key_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "custody" ADD CONSTRAINT "custody_company_id_key_id_fkey" FOREIGN KEY ("company_id", "key_id") REFERENCES "site_key"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "custody" ADD CONSTRAINT "custody_company_id_technician_id_fkey" FOREIGN KEY ("company_id", "technician_id") REFERENCES "technician"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "system" ADD CONSTRAINT "system_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "system" ADD CONSTRAINT "system_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "zone" ADD CONSTRAINT "zone_company_id_system_id_fkey" FOREIGN KEY ("company_id", "system_id") REFERENCES "system"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "device" ADD CONSTRAINT "device_company_id_system_id_fkey" FOREIGN KEY ("company_id", "system_id") REFERENCES "system"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "device" ADD CONSTRAINT "device_company_id_zone_id_fkey" FOREIGN KEY ("company_id", "zone_id") REFERENCES "zone"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "device" ADD CONSTRAINT "device_company_id_replaced_by_id_fkey" FOREIGN KEY ("company_id", "replaced_by_id") REFERENCES "device"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "battery" ADD CONSTRAINT "battery_company_id_system_id_fkey" FOREIGN KEY ("company_id", "system_id") REFERENCES "system"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "battery" ADD CONSTRAINT "battery_company_id_device_id_fkey" FOREIGN KEY ("company_id", "device_id") REFERENCES "device"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "battery" ADD CONSTRAINT "battery_company_id_replaced_by_id_fkey" FOREIGN KEY ("company_id", "replaced_by_id") REFERENCES "battery"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "path" ADD CONSTRAINT "path_company_id_system_id_fkey" FOREIGN KEY ("company_id", "system_id") REFERENCES "system"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "account" ADD CONSTRAINT "account_company_id_station_id_fkey" FOREIGN KEY ("company_id", "station_id") REFERENCES "station"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "account" ADD CONSTRAINT "account_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "import_problem" ADD CONSTRAINT "import_problem_company_id_run_id_fkey" FOREIGN KEY ("company_id", "run_id") REFERENCES "import_run"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "list_import" ADD CONSTRAINT "list_import_company_id_station_id_fkey" FOREIGN KEY ("company_id", "station_id") REFERENCES "station"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "list_entry" ADD CONSTRAINT "list_entry_company_id_list_id_fkey" FOREIGN KEY ("company_id", "list_id") REFERENCES "list_import"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "licence" ADD CONSTRAINT "licence_company_id_technician_id_fkey" FOREIGN KEY ("company_id", "technician_id") REFERENCES "technician"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "absence" ADD CONSTRAINT "absence_company_id_technician_id_fkey" FOREIGN KEY ("company_id", "technician_id") REFERENCES "technician"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "programme_application" ADD CONSTRAINT "programme_application_company_id_programme_id_fkey" FOREIGN KEY ("company_id", "programme_id") REFERENCES "programme"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "programme_application" ADD CONSTRAINT "programme_application_company_id_system_id_fkey" FOREIGN KEY ("company_id", "system_id") REFERENCES "system"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "duty" ADD CONSTRAINT "duty_company_id_application_id_fkey" FOREIGN KEY ("company_id", "application_id") REFERENCES "programme_application"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "duty" ADD CONSTRAINT "duty_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "duty" ADD CONSTRAINT "duty_company_id_system_id_fkey" FOREIGN KEY ("company_id", "system_id") REFERENCES "system"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "duty_window" ADD CONSTRAINT "duty_window_company_id_duty_id_fkey" FOREIGN KEY ("company_id", "duty_id") REFERENCES "duty"("company_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "credit" ADD CONSTRAINT "credit_company_id_duty_id_fkey" FOREIGN KEY ("company_id", "duty_id") REFERENCES "duty"("company_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "credit" ADD CONSTRAINT "credit_company_id_check_id_fkey" FOREIGN KEY ("company_id", "check_id") REFERENCES "check_record"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "plan_stop" ADD CONSTRAINT "plan_stop_company_id_plan_id_fkey" FOREIGN KEY ("company_id", "plan_id") REFERENCES "week_plan"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "plan_stop" ADD CONSTRAINT "plan_stop_company_id_visit_id_fkey" FOREIGN KEY ("company_id", "visit_id") REFERENCES "visit"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "plan_stop" ADD CONSTRAINT "plan_stop_company_id_technician_id_fkey" FOREIGN KEY ("company_id", "technician_id") REFERENCES "technician"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "plan_unplaced" ADD CONSTRAINT "plan_unplaced_company_id_plan_id_fkey" FOREIGN KEY ("company_id", "plan_id") REFERENCES "week_plan"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "plan_unplaced" ADD CONSTRAINT "plan_unplaced_company_id_visit_id_fkey" FOREIGN KEY ("company_id", "visit_id") REFERENCES "visit"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "promise" ADD CONSTRAINT "promise_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "visit" ADD CONSTRAINT "visit_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "visit" ADD CONSTRAINT "visit_company_id_parent_id_fkey" FOREIGN KEY ("company_id", "parent_id") REFERENCES "visit"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "visit_duty" ADD CONSTRAINT "visit_duty_company_id_visit_id_fkey" FOREIGN KEY ("company_id", "visit_id") REFERENCES "visit"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "visit_duty" ADD CONSTRAINT "visit_duty_company_id_duty_id_fkey" FOREIGN KEY ("company_id", "duty_id") REFERENCES "duty"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "visit_deficiency" ADD CONSTRAINT "visit_deficiency_company_id_visit_id_fkey" FOREIGN KEY ("company_id", "visit_id") REFERENCES "visit"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "visit_deficiency" ADD CONSTRAINT "visit_deficiency_company_id_deficiency_id_fkey" FOREIGN KEY ("company_id", "deficiency_id") REFERENCES "deficiency"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "visit_fact" ADD CONSTRAINT "visit_fact_company_id_visit_id_fkey" FOREIGN KEY ("company_id", "visit_id") REFERENCES "visit"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "hold" ADD CONSTRAINT "hold_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "hold" ADD CONSTRAINT "hold_company_id_visit_id_fkey" FOREIGN KEY ("company_id", "visit_id") REFERENCES "visit"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "hold_fact" ADD CONSTRAINT "hold_fact_company_id_hold_id_fkey" FOREIGN KEY ("company_id", "hold_id") REFERENCES "hold"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "put_back" ADD CONSTRAINT "put_back_company_id_visit_id_fkey" FOREIGN KEY ("company_id", "visit_id") REFERENCES "visit"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "check_record" ADD CONSTRAINT "check_record_company_id_visit_id_fkey" FOREIGN KEY ("company_id", "visit_id") REFERENCES "visit"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "check_record" ADD CONSTRAINT "check_record_company_id_corrects_id_fkey" FOREIGN KEY ("company_id", "corrects_id") REFERENCES "check_record"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "reading" ADD CONSTRAINT "reading_company_id_check_id_fkey" FOREIGN KEY ("company_id", "check_id") REFERENCES "check_record"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "attempt" ADD CONSTRAINT "attempt_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "attempt" ADD CONSTRAINT "attempt_company_id_visit_id_fkey" FOREIGN KEY ("company_id", "visit_id") REFERENCES "visit"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "deficiency" ADD CONSTRAINT "deficiency_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "deficiency" ADD CONSTRAINT "deficiency_company_id_raised_by_check_id_fkey" FOREIGN KEY ("company_id", "raised_by_check_id") REFERENCES "check_record"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "deficiency_fact" ADD CONSTRAINT "deficiency_fact_company_id_deficiency_id_fkey" FOREIGN KEY ("company_id", "deficiency_id") REFERENCES "deficiency"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
