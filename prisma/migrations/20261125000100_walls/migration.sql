-- The walls between companies, the append-only records, and the few narrow doors through the walls.
-- Roles bellround_app, bellround_queue (logins) and bellround_door (no login) are made before migrations run.

-- ── who is asking ──────────────────────────────────────────────────────────
create function current_company() returns uuid language sql stable parallel safe
  return nullif(current_setting('app.company_id', true), '')::uuid;

create function current_actor() returns uuid language sql stable parallel safe
  return nullif(current_setting('app.actor_id', true), '')::uuid;

grant usage on schema public to bellround_app, bellround_door;

-- ── row-level security, forced, on every tenant table ──────────────────────
do $$
declare t text;
begin
  for t in
    select c.relname from pg_class c join pg_attribute a on a.attrelid = c.oid
    where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and a.attname = 'company_id'
  loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy own_company on %I to bellround_app using (company_id = current_company()) with check (company_id = current_company())', t);
    execute format('grant select, insert, update, delete on %I to bellround_app', t);
  end loop;
end $$;

alter table company enable row level security;
alter table company force row level security;
create policy own_company on company to bellround_app using (id = current_company()) with check (id = current_company());
grant select, insert, update on company to bellround_app;

-- Rate limits count hashed keys; the table holds nothing of any company.
grant select, insert, delete on sign_in_attempt to bellround_app;
grant usage on all sequences in schema public to bellround_app;

-- ── records that are never altered ─────────────────────────────────────────
create function refuse_change() returns trigger language plpgsql as $$
begin
  raise exception 'append-only: % on % is refused; add a further record that corrects it', tg_op, tg_table_name
    using errcode = 'restrict_violation';
end $$;

do $$
declare t text;
begin
  foreach t in array array['activity', 'revision', 'custody', 'check_record', 'reading', 'visit_fact', 'hold_fact', 'attempt',
    'attachment', 'deficiency_fact', 'station_event', 'ledger_leaf', 'ledger_head', 'promise', 'list_import', 'list_entry',
    'programme', 'import_problem']
  loop
    execute format('create trigger append_only before update or delete on %I for each row execute function refuse_change()', t);
    execute format('create trigger append_only_truncate before truncate on %I for each statement execute function refuse_change()', t);
    execute format('revoke update, delete on %I from bellround_app', t);
  end loop;
end $$;

-- ── the history of what is installed, where, and who works ─────────────────
create function keep_revision() returns trigger language plpgsql as $$
begin
  insert into revision (company_id, subject_kind, subject_id, actor_id, before, after)
  values (old.company_id, tg_table_name, old.id, current_actor(), to_jsonb(old), to_jsonb(new));
  return new;
end $$;

do $$
declare t text;
begin
  foreach t in array array['client', 'site', 'contact', 'site_key', 'system', 'zone', 'device', 'battery', 'path', 'station',
    'account', 'technician', 'licence', 'instrument', 'duty', 'programme_application', 'app_user']
  loop
    execute format('create trigger keep_revision after update on %I for each row when (old.* is distinct from new.*) execute function keep_revision()', t);
  end loop;
end $$;

-- A password's hash is no history worth keeping.
create function keep_user_revision() returns trigger language plpgsql as $$
begin
  insert into revision (company_id, subject_kind, subject_id, actor_id, before, after)
  values (old.company_id, tg_table_name, old.id, current_actor(), to_jsonb(old) - 'password_hash', to_jsonb(new) - 'password_hash');
  return new;
end $$;
drop trigger keep_revision on app_user;
create trigger keep_revision after update on app_user for each row when (old.* is distinct from new.*) execute function keep_user_revision();

-- ── values that cannot be ──────────────────────────────────────────────────
alter table app_user add constraint role_known check (role in ('owner', 'dispatcher', 'technician', 'auditor'));
alter table app_user add constraint email_lower check (email = lower(email));
alter table site add constraint place_real check ((lat is null) = (lon is null) and lat between -90 and 90 and lon between -180 and 180);
alter table duty_window add constraint window_ordered check (opens <= due and due <= lapses);
alter table duty_window add constraint carried_known check (carried in ('proven', 'lapsed', 'cant-tell'));
alter table duty_window add constraint outcome_known check (outcome in ('on-time', 'late', 'missed'));
alter table check_record add constraint verdict_known check (verdict in ('pass', 'marginal', 'fail', 'excused', 'not-done'));
alter table check_record add constraint evidence_known check (evidence in ('A', 'B', 'C', 'D'));
alter table check_record add constraint excuse_given check (verdict <> 'excused' or excuse_code is not null);
alter table visit add constraint state_known check (state in ('wanted', 'planned', 'published', 'open', 'closed', 'stopped', 'no-access', 'cancelled'));
alter table week_plan add constraint state_known check (state in ('computing', 'draft', 'published', 'superseded', 'failed', 'cancelled'));
alter table deficiency add constraint state_known check (state in ('open', 'closed', 'accepted'));
alter table deficiency add constraint severity_known check (severity in ('impairment', 'critical', 'non-critical', 'observation'));
-- A closed deficiency always points to the check that closed it.
alter table deficiency add constraint closed_by_a_check check (state <> 'closed' or (closed_by_check_id is not null and closed_at is not null));
alter table hold add constraint ends_after_start check (until_at > opened_at);
alter table hold add constraint closing_confirmed check (closed_at is null or (close_confirmed_by is not null and signals_received is not null));
alter table message add constraint state_known check (state in ('waiting', 'sending', 'sent', 'kept', 'failed'));
-- Never more than one open hold per account, never two computed or published plans of one week at a time.
create unique index one_open_hold_per_account on hold (company_id, account_id) where closed_at is null;
create unique index one_published_plan_per_week on week_plan (company_id, week_start) where state = 'published';

-- ── standing on a day, the same rule as packages/recurrence standingOn ─────
create function standing_on(opens date, due date, lapses date, carried text, day date) returns text
  language sql immutable parallel safe
  return case
    when day < opens then carried
    when day > lapses then 'lapsed'
    when carried <> 'proven' then carried
    when day <= due then 'open'
    else 'late' end;

-- Worst first: what a site shows is the worst of its duties.
create function standing_rank(standing text) returns int language sql immutable parallel safe
  return case standing when 'lapsed' then 0 when 'cant-tell' then 1 when 'late' then 2 when 'open' then 3 when 'proven' then 4 else 5 end;

create function standing_of_rank(rank int) returns text language sql immutable parallel safe
  return (array['lapsed', 'cant-tell', 'late', 'open', 'proven', 'not-owed'])[rank + 1];

-- ── live updates: one notice per activity row, carrying ids only ───────────
create function tell_activity() returns trigger language plpgsql as $$
begin
  perform pg_notify('bellround', json_build_object('company', new.company_id, 'about', new.subject_kind, 'site', new.site_id)::text);
  return null;
end $$;
create trigger tell_activity after insert on activity for each row execute function tell_activity();

-- ── doors: the only queries that cross companies, each with one narrow answer ──
grant select on company, app_user, session, calendar_feed to bellround_door;
grant select, update on outbox_job to bellround_door;
create policy door_reads on company for select to bellround_door using (true);
create policy door_reads on app_user for select to bellround_door using (true);
create policy door_reads on session for select to bellround_door using (true);
create policy door_reads on calendar_feed for select to bellround_door using (true);
create policy door_relays on outbox_job to bellround_door using (true) with check (true);

create function door_sign_in(given_email text)
  returns table (company_id uuid, company_slug text, company_name text, user_id uuid, password_hash text)
  language sql stable security definer set search_path = public as $$
  select u.company_id, c.slug, c.name, u.id, u.password_hash
  from app_user u join company c on c.id = u.company_id
  where u.email = lower(given_email) and u.disabled_at is null
  order by c.slug limit 5 $$;

create function door_session(given_hash text, at timestamptz)
  returns table (company_id uuid, company_slug text, company_name text, time_zone text, session_id uuid, user_id uuid, user_name text, email text, role text, technician_id uuid, expires_at timestamptz)
  language sql stable security definer set search_path = public as $$
  select s.company_id, c.slug, c.name, c.time_zone, s.id, u.id, u.name, u.email, u.role, u.technician_id, s.expires_at
  from session s
  join app_user u on u.company_id = s.company_id and u.id = s.user_id
  join company c on c.id = s.company_id
  where s.token_hash = given_hash and s.revoked_at is null and s.expires_at > at and u.disabled_at is null $$;

create function door_feed(given_hash text) returns table (company_id uuid, feed_id uuid, technician_id uuid)
  language sql stable security definer set search_path = public as $$
  select f.company_id, f.id, f.technician_id from calendar_feed f where f.token_hash = given_hash and f.revoked_at is null $$;

create function door_companies() returns table (id uuid, time_zone text)
  language sql stable security definer set search_path = public as $$ select c.id, c.time_zone from company c order by c.id $$;

-- Locks what it returns until the relay's transaction ends, so that two relays never hand over the same row at once.
create function door_waiting_outbox(most int) returns table (company_id uuid, id bigint, job text, payload jsonb)
  language sql volatile security definer set search_path = public as $$
  select o.company_id, o.id, o.job, o.payload from outbox_job o
  where o.enqueued_at is null order by o.id limit most for update skip locked $$;

create function door_mark_outbox(companies uuid[], ids bigint[], at timestamptz) returns void
  language sql volatile security definer set search_path = public as $$
  update outbox_job o set enqueued_at = at from unnest(companies, ids) as done(company_id, id)
  where o.company_id = done.company_id and o.id = done.id $$;

create index outbox_job_waiting on outbox_job (id) where enqueued_at is null;

do $$
declare f text;
begin
  foreach f in array array['door_sign_in(text)', 'door_session(text, timestamptz)', 'door_feed(text)', 'door_companies()',
    'door_waiting_outbox(int)', 'door_mark_outbox(uuid[], bigint[], timestamptz)']
  loop
    execute format('alter function %s owner to bellround_door', f);
    execute format('revoke all on function %s from public', f);
    execute format('grant execute on function %s to bellround_app', f);
  end loop;
end $$;

-- ── the queue keeps to a schema of its own ─────────────────────────────────
create schema if not exists queue authorization bellround_queue;
