-- A read-only address for an auditor, and the sites that it opens. Its secret is kept as a digest only.
CREATE TABLE "auditor_link" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "token_hash" TEXT NOT NULL,
    "for_whom" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "created_by" UUID NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "revoked_at" TIMESTAMPTZ(3),

    CONSTRAINT "auditor_link_pkey" PRIMARY KEY ("company_id","id")
);
CREATE TABLE "auditor_link_site" (
    "company_id" UUID NOT NULL,
    "link_id" UUID NOT NULL,
    "site_id" UUID NOT NULL,

    CONSTRAINT "auditor_link_site_pkey" PRIMARY KEY ("company_id","link_id","site_id")
);
CREATE UNIQUE INDEX "auditor_link_token_hash_key" ON "auditor_link"("token_hash");
CREATE INDEX "auditor_link_company_id_created_at_idx" ON "auditor_link"("company_id", "created_at" DESC);
CREATE INDEX "auditor_link_site_company_id_site_id_idx" ON "auditor_link_site"("company_id", "site_id");
ALTER TABLE "auditor_link_site" ADD CONSTRAINT "auditor_link_site_company_id_link_id_fkey" FOREIGN KEY ("company_id", "link_id") REFERENCES "auditor_link"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "auditor_link_site" ADD CONSTRAINT "auditor_link_site_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

do $$
declare t text;
begin
  foreach t in array array['auditor_link', 'auditor_link_site']
  loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy own_company on %I to bellround_app using (company_id = current_company()) with check (company_id = current_company())', t);
    execute format('grant select, insert on %I to bellround_app', t);
  end loop;
end $$;
grant update on auditor_link to bellround_app;
alter table auditor_link add constraint ends_after_start check (expires_at > created_at);

-- Which sites an address opens is never altered: another choice is another address.
create trigger append_only before update or delete on auditor_link_site for each row execute function refuse_change();
create trigger append_only_truncate before truncate on auditor_link_site for each statement execute function refuse_change();
-- An address is revoked, never lengthened, given to somebody else, or taken out of the history.
create function refuse_auditor_link_change() returns trigger language plpgsql as $$
begin
  if new.token_hash <> old.token_hash or new.for_whom <> old.for_whom or new.expires_at <> old.expires_at or new.created_at <> old.created_at or old.revoked_at is not null then
    raise exception 'an auditor''s address can only be revoked, once; make another for other terms' using errcode = 'restrict_violation';
  end if;
  return new;
end $$;
create trigger only_revoked before update on auditor_link for each row execute function refuse_auditor_link_change();

-- The door: one narrow answer for a secret's digest.
grant select on auditor_link to bellround_door;
create policy door_reads on auditor_link for select to bellround_door using (true);
create function door_auditor(given_hash text, at timestamptz) returns table (company_id uuid, link_id uuid)
  language sql stable security definer set search_path = public as $$
  select l.company_id, l.id from auditor_link l where l.token_hash = given_hash and l.revoked_at is null and l.expires_at > at $$;
do $$
begin
  alter function door_auditor(text, timestamptz) owner to bellround_door;
  revoke all on function door_auditor(text, timestamptz) from public;
  grant execute on function door_auditor(text, timestamptz) to bellround_app;
end $$;
