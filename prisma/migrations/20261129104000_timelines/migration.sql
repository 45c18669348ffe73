-- One row per duty in place of one per window, credit and turn: a fleet of 100,000 sites has over a million duties and ten
-- million windows, and writing a row (with its keys and references) for each of those cost most of a sweep.
--
-- The last window stands in columns of its own, because what is asked of a whole fleet is nearly always asked of today. All
-- windows, the last one too, stand in `starts` and `packed`: day numbers since 1970-01-01, eight numbers a window (see
-- the view below). Nobody reads those but the view duty_window and windows_between().
CREATE TABLE "duty_timeline" (
    "company_id" UUID NOT NULL,
    "duty_id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "turns_on" DATE,
    "digest" TEXT NOT NULL DEFAULT '',
    "n" INTEGER,
    "opens" DATE,
    "due" DATE,
    "lapses" DATE,
    "governs_from" DATE,
    "governs_to" DATE,
    "met_on" DATE,
    "carried" TEXT,
    "starts" INTEGER[] DEFAULT ARRAY[]::INTEGER[],
    "packed" INTEGER[] DEFAULT ARRAY[]::INTEGER[],
    "check_ids" UUID[] DEFAULT ARRAY[]::UUID[],
    "credited" INTEGER NOT NULL DEFAULT 0,
    "unmet" INTEGER[] DEFAULT ARRAY[]::INTEGER[],
    "said" TEXT,

    CONSTRAINT "duty_timeline_pkey" PRIMARY KEY ("company_id","duty_id")
);

-- Day number to date; 2147483647 stands for none.
create function day_of(number int) returns date language sql immutable parallel safe as $$ select date '1970-01-01' + nullif(number, 2147483647) $$;
create function day_number(day date) returns int language sql immutable parallel safe as $$ select day - date '1970-01-01' $$;

-- What was materialised so far is kept, window by window and credit by credit. Its digest is left empty and every duty turns
-- at once, so that the next sweep looks at it again and adds what a window carrying lapsed is told with.
insert into duty_timeline (company_id, duty_id, site_id, turns_on, n, opens, due, lapses, governs_from, governs_to, met_on, carried, starts, packed, check_ids, credited, said)
select d.company_id, d.id, coalesce(t.site_id, l.site_id, d.site_id), date '2000-01-01', l.n, l.opens, l.due, l.lapses, l.governs_from, l.governs_to, l.met_on, l.carried,
  coalesce(w.starts, '{}'), coalesce(w.packed, '{}'), c.ids, c.credited, w.said
from duty d left join duty_turn t on t.company_id = d.company_id and t.duty_id = d.id
  cross join lateral (
    select coalesce(array_agg(x.check_id order by x.credited desc, x.check_id), '{}') as ids, count(*) filter (where x.credited)::int as credited
    from (select check_id, bool_or(credited) as credited from (
      select check_id, true as credited from credit where company_id = d.company_id and duty_id = d.id
      union all select met_by, false from duty_window where company_id = d.company_id and duty_id = d.id and met_by is not null) y group by check_id) x
  ) c
  left join lateral (
    select array_agg(day_number(w.governs_from) order by w.n) as starts,
      (select array_agg(p.value order by o.n, p.at) from duty_window o cross join lateral unnest(array[day_number(o.opens), day_number(o.due), day_number(o.lapses), coalesce(day_number(o.governs_to), 2147483647),
        coalesce(day_number(o.met_on), 2147483647), coalesce(day_number(o.basis_on), 2147483647), coalesce(array_position(c.ids, o.met_by), 0),
        case o.carried when 'proven' then 0 when 'lapsed' then 1 else 2 end + case o.outcome when 'on-time' then 4 when 'late' then 8 when 'missed' then 12 else 0 end + case when o.why like 'inherited, unproven:%' then 16 else 0 end]) with ordinality as p(value, at)
        where o.company_id = d.company_id and o.duty_id = d.id) as packed,
      max(w.why) filter (where w.why like 'cannot be computed from what is recorded:%') as said
    from duty_window w where w.company_id = d.company_id and w.duty_id = d.id
  ) w on true
  left join lateral (select * from duty_window w where w.company_id = d.company_id and w.duty_id = d.id order by w.n desc limit 1) l on true
where t.duty_id is not null or l.duty_id is not null;

drop table credit;
drop table duty_window;
drop table duty_turn;

CREATE INDEX "duty_timeline_company_id_turns_on_idx" ON "duty_timeline"("company_id", "turns_on");
CREATE INDEX "duty_timeline_company_id_governs_from_idx" ON "duty_timeline"("company_id", "governs_from");
ALTER TABLE "duty_timeline" ADD CONSTRAINT "duty_timeline_company_id_duty_id_fkey" FOREIGN KEY ("company_id", "duty_id") REFERENCES "duty"("company_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;
-- Today's standing of a fleet is read from this index alone.
create index duty_timeline_governing on duty_timeline (company_id, site_id, governs_from) include (duty_id, opens, due, lapses, governs_to, carried) where n is not null;
alter table duty_timeline add constraint window_ordered check (opens <= due and due <= lapses);
alter table duty_timeline add constraint carried_known check (carried in ('proven', 'lapsed', 'cant-tell'));
alter table duty_timeline add constraint window_numbers check (cardinality(packed) = 8 * cardinality(starts) and coalesce(n, -1) = cardinality(starts) - 1 and credited <= cardinality(check_ids));

alter table duty_timeline enable row level security;
alter table duty_timeline force row level security;
create policy own_company on duty_timeline to bellround_app using (company_id = current_company()) with check (company_id = current_company());
grant select, insert, update, delete on duty_timeline to bellround_app;

-- One window in columns, out of its eight numbers: opens, due, lapses, governs to, met on, basis, place of the check that met it
-- (0: none), and a mark (carried 0 to 2; outcome times 4; 16 when nothing was known to count from; and 32 times the place in `unmet`,
-- from 1, of the two numbers that a window which carries lapsed is told with: the last day of the one that nothing met, and the last proof).
-- Views ask with the rights of whoever asks, so the walls between companies hold for them too.
create view duty_window with (security_invoker = true) as
select t.company_id, t.duty_id, i::int - 1 as n, t.site_id,
  date '1970-01-01' + t.packed[8 * i - 7] as opens, date '1970-01-01' + t.packed[8 * i - 6] as due, date '1970-01-01' + t.packed[8 * i - 5] as lapses,
  date '1970-01-01' + u.start as governs_from, day_of(t.packed[8 * i - 4]) as governs_to,
  day_of(t.packed[8 * i - 3]) as met_on, case when t.packed[8 * i - 1] > 0 then t.check_ids[t.packed[8 * i - 1]] end as met_by,
  (array['on-time', 'late', 'missed'])[(t.packed[8 * i] >> 2) & 3] as outcome,
  case when t.packed[8 * i - 3] <> 2147483647 then greatest(t.packed[8 * i - 3] - t.packed[8 * i - 5], 0) else 0 end as late_days,
  (array['proven', 'lapsed', 'cant-tell'])[1 + (t.packed[8 * i] & 3)] as carried,
  day_of(t.packed[8 * i - 2]) as basis_on, t.packed[8 * i] & 16 <> 0 as unknown,
  date '1970-01-01' + t.unmet[2 * (t.packed[8 * i] >> 5) - 1] as unmet_lapsed, day_of(t.unmet[2 * (t.packed[8 * i] >> 5)]) as last_proof, t.said
from duty_timeline t cross join lateral unnest(t.starts) with ordinality as u(start, i);

-- Which check is credited to which duty.
create view credit with (security_invoker = true) as
select t.company_id, t.duty_id, t.site_id, u.check_id from duty_timeline t cross join lateral unnest(t.check_ids[1 : t.credited]) as u(check_id);
grant select on duty_window, credit to bellround_app;

-- Windows that govern on a day of a stretch. One that governs until further notice is read from the columns; an earlier one is
-- found by halving the sorted starts, and only where the last window began to govern after the stretch did.
-- One select and no more, so that the planner folds it into the query that uses it.
create function windows_between(first date, last date)
  returns table (company_id uuid, duty_id uuid, n int, site_id uuid, opens date, due date, lapses date, governs_from date, governs_to date, met_on date, carried text)
  language sql stable parallel safe as $$
  select t.company_id, t.duty_id, t.n, t.site_id, t.opens, t.due, t.lapses, t.governs_from, t.governs_to, t.met_on, t.carried
  from duty_timeline t where t.n is not null and t.governs_from <= last and (t.governs_to is null or t.governs_to >= first)
  union all
  select t.company_id, t.duty_id, i - 1, t.site_id,
    date '1970-01-01' + t.packed[8 * i - 7], date '1970-01-01' + t.packed[8 * i - 6], date '1970-01-01' + t.packed[8 * i - 5],
    date '1970-01-01' + u.start, day_of(t.packed[8 * i - 4]), day_of(t.packed[8 * i - 3]), (array['proven', 'lapsed', 'cant-tell'])[1 + (t.packed[8 * i] & 3)]
  from duty_timeline t
    cross join lateral (select greatest(1, width_bucket(day_number(first), t.starts)) as low, least(cardinality(t.starts) - 1, width_bucket(day_number(last), t.starts)) as high) span
    cross join lateral unnest(t.starts[span.low : span.high]) with ordinality as u(start, at)
    cross join lateral (select span.low + u.at::int - 1 as i) place
  where t.governs_from > first and t.packed[8 * i - 4] <> 2147483647 and t.packed[8 * i - 4] >= day_number(first) $$;

create or replace function refresh_statistics() returns void language plpgsql volatile security definer set search_path = public as $$
begin
  analyze client, site, system, zone, device, battery, path, account, contact, visit, check_record, reading, deficiency, duty, duty_timeline, list_entry, programme_application;
end $$;
