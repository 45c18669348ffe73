import type { Tx } from '../scoped.js';

// Travel by road as a table service gave it, by numbered places of a company, and trips as they really went.

export interface RoadPoint { readonly lat: number; readonly lon: number }
/** `version` and `asked_at` null: nothing was ever answered from there. */
export interface KnownPlace { n: number; lat: number; lon: number; version: number | null; asked_at: Date | null }

/** Those of the points that have a number, with the state of their minutes. */
export async function knownPlaces(tx: Tx, points: readonly RoadPoint[]): Promise<KnownPlace[]> {
  if (points.length === 0) return [];
  return tx.sql<KnownPlace>(`
    select p.n, p.lat, p.lon, r.version, r.asked_at
    from unnest($1::float8[], $2::float8[]) as asked(lat, lon)
    join travel_place p on p.company_id = current_company() and p.lat = asked.lat and p.lon = asked.lon
    left join travel_row r on r.company_id = current_company() and r.from_n = p.n`, [points.map((one) => one.lat), points.map((one) => one.lon)]);
}

/** One writer of a company's road times at a time, until the transaction ends. */
export async function lockTravel(tx: Tx): Promise<void> {
  await tx.sql(`select pg_advisory_xact_lock(hashtextextended('travel ' || current_company()::text, 0))::text`);
}

/** Numbers the points that have none yet. Call `lockTravel` before. */
export async function numberPlaces(tx: Tx, points: readonly RoadPoint[]): Promise<void> {
  await tx.sql(`
    insert into travel_place (company_id, n, lat, lon)
    select current_company(), coalesce((select max(n) + 1 from travel_place where company_id = current_company()), 0) + row_number() over () - 1, lat, lon
    from (select distinct lat, lon from unnest($1::float8[], $2::float8[]) as asked(lat, lon)) fresh
    where not exists (select 1 from travel_place p where p.company_id = current_company() and p.lat = fresh.lat and p.lon = fresh.lon)`, [points.map((one) => one.lat), points.map((one) => one.lon)]);
}

/** Minutes from each place to all others by number, as text between commas: empty where nothing was answered. */
export async function travelRows(tx: Tx, from: readonly number[]): Promise<{ n: number; minutes: string }[]> {
  if (from.length === 0) return [];
  return tx.sql(`select from_n as n, array_to_string(minutes, ',', '') as minutes from travel_row where company_id = current_company() and from_n = any ($1::int[])`, [[...from]]);
}

/** Writes whole rows, in the same text. */
export async function keepTravelRows(tx: Tx, rows: readonly { n: number; minutes: string }[], now: Date): Promise<void> {
  await tx.sql(`
    insert into travel_row (company_id, from_n, minutes, asked_at)
    select current_company(), kept.n, string_to_array(kept.minutes, ',', '')::int[], $3::timestamptz from unnest($1::int[], $2::text[]) as kept(n, minutes)
    on conflict (company_id, from_n) do update set minutes = excluded.minutes, asked_at = excluded.asked_at, version = travel_row.version + 1`, [rows.map((row) => row.n), rows.map((row) => row.minutes), now]);
}

/** How many places have a number, and of their pairs how many were answered and how many have no way. */
export async function travelKept(tx: Tx): Promise<{ places: number; pairs: number; no_way: number }> {
  const [row] = await tx.sql<{ places: number; pairs: number; no_way: number }>(`
    select (select count(*) from travel_place where company_id = current_company())::int as places, coalesce(sum(answered), 0)::float8 as pairs, coalesce(sum(none), 0)::float8 as no_way
    from travel_row r cross join lateral (select count(m) as answered, count(*) filter (where m < 0) as none from unnest(r.minutes) with ordinality as u(m, i) where u.i <> r.from_n + 1) counted
    where r.company_id = current_company()`);
  return row!;
}

export async function forgetTravelRows(tx: Tx): Promise<number> {
  const gone = await tx.sql('delete from travel_row where company_id = current_company() returning from_n');
  await tx.sql('delete from travel_place where company_id = current_company()');
  return gone.length;
}

/** From the end of one visit to the beginning of the next of the same technician and day. */
export interface TripDriven { from_lat: number; from_lon: number; lat: number; lon: number; minutes: number }

/** Trips of two years, newest first. Where the rounds of that day had a wait or a break between the two, it is no trip to learn from. */
export async function tripsDriven(tx: Tx, today: string): Promise<TripDriven[]> {
  return tx.sql<TripDriven>(`
    with gone as (
      select v.id, v.technician_id, v.day, s.lat, s.lon, v.opened_at, lag(v.id) over turn as before_id, lag(s.lat) over turn as from_lat, lag(s.lon) over turn as from_lon,
        extract(epoch from v.opened_at - lag(v.closed_at) over turn)::float8 / 60 as minutes
      from visit v join site s on s.company_id = v.company_id and s.id = v.site_id
      where v.company_id = current_company() and v.technician_id is not null and v.opened_at is not null and v.closed_at is not null and v.day between $1::date - 730 and $1::date
      window turn as (partition by v.technician_id, v.day order by v.opened_at, v.id)
    )
    select g.from_lat, g.from_lon, g.lat, g.lon, g.minutes from gone g
    where g.minutes > 0 and g.minutes < 240 and g.lat is not null and g.lon is not null and g.from_lat is not null and g.from_lon is not null and (g.lat, g.lon) <> (g.from_lat, g.from_lon)
      and not exists (
        select 1 from plan_stop p join week_plan w on w.company_id = p.company_id and w.id = p.plan_id and w.state in ('published', 'superseded')
        join plan_stop b on b.company_id = p.company_id and b.plan_id = p.plan_id and b.visit_id = g.before_id and b.technician_id = p.technician_id and b.day = p.day
        where p.company_id = current_company() and p.visit_id = g.id and p.technician_id = g.technician_id and p.day = g.day and p.start_min - b.end_min > p.travel_min + 5)
    order by g.opened_at desc limit 20000`, [today]);
}
