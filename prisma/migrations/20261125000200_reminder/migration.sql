-- That a duty's window was spoken of at a stage; a record, so append-only like the others.
create table "reminder" (
    "company_id" uuid not null,
    "duty_id" uuid not null,
    "lapses" date not null,
    "stage_days" integer not null,
    "message_id" uuid not null,
    "created_at" timestamptz(3) not null,
    constraint "reminder_pkey" primary key ("company_id", "duty_id", "lapses", "stage_days")
);
create index "reminder_company_id_message_id_idx" on "reminder" ("company_id", "message_id");
alter table "reminder" add constraint "reminder_company_id_message_id_fkey" foreign key ("company_id", "message_id") references "message" ("company_id", "id") on delete restrict on update cascade;
alter table reminder enable row level security;
alter table reminder force row level security;
create policy own_company on reminder to bellround_app using (company_id = current_company()) with check (company_id = current_company());
grant select, insert on reminder to bellround_app;
create trigger append_only before update or delete on reminder for each row execute function refuse_change();
create trigger append_only_truncate before truncate on reminder for each statement execute function refuse_change();
