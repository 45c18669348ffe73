import type { Tx } from '../scoped.js';

type Sql = Pick<Tx, 'sql'>;

export interface SharedDays { kind: 'closed' | 'noise'; from: string; to: string; reason: string; authority: string; occupancy: string | null }

/** What closes many sites at once: the company's own region of public holidays, and days it entered for all or for one occupancy. */
export async function companyDays(tx: Sql): Promise<{ region: string | null; shared: SharedDays[] }> {
  const [company] = await tx.sql<{ region: string | null }>(`select settings->>'holidayRegion' as region from company where id = current_company()`);
  const shared = await tx.sql<SharedDays>(`select kind, from_day::text as "from", to_day::text as "to", reason, authority, occupancy
    from closed_days where company_id = current_company() order by from_day, id`);
  return { region: company?.region ?? null, shared };
}

export interface SiteDays { siteId: string; occupancy: string; region: string | null; accessHours: { weekday: number; from: string; to: string }[]; noiseHours: { weekday: number; from: string; to: string }[] | null }

/** What of these sites decides on which days they can be entered and be loud. */
export function siteDays(tx: Sql, siteIds: readonly string[]): Promise<SiteDays[]> {
  return tx.sql(`select id as "siteId", occupancy, holiday_region as region, access_hours as "accessHours", noise_hours as "noiseHours"
    from site where company_id = current_company() and id = any($1::uuid[])`, [siteIds]);
}

export interface NeighbourSite { siteId: string; name: string; km: number }

/** Open sites around one, nearest first, by the great circle (mean earth radius 6371 km); the site itself is not among them. */
export function neighboursOf(tx: Sql, siteId: string, withinKm: number, day: string, limit: number): Promise<NeighbourSite[]> {
  return tx.sql(`with here as (select lat, lon from site where company_id = current_company() and id = $1::uuid)
    select * from (
      select s.id as "siteId", s.name, 6371 * 2 * asin(least(1, sqrt(power(sin(radians(s.lat - h.lat) / 2), 2) + cos(radians(h.lat)) * cos(radians(s.lat)) * power(sin(radians(s.lon - h.lon) / 2), 2)))) as km
      from site s, here h
      where s.company_id = current_company() and s.id <> $1::uuid and s.lat between h.lat - $2::float8 / 110 and h.lat + $2::float8 / 110
        and (s.closed_on is null or s.closed_on > $3::date) and (s.taken_over_on is null or s.taken_over_on <= $3::date)
    ) around where km <= $2::float8 order by km, name, "siteId" limit $4`, [siteId, withinKm, day, limit]);
}

export interface UnprovenSite {
  siteId: string; siteName: string; clientName: string; locality: string | null; takenOverOn: string | null; duties: number; mandated: number; minutes: number; lapses: string | null;
  score: number | null; exposurePerYearH: number | null; reasons: string[]; total: number;
}

/**
 * Sites with duties of which nothing is known on a day, that only a technician on site can prove. The same check on the same
 * subject counts its minutes once, however many regimes ask for it. A suspended site owes nothing and is left out.
 */
export function unprovenSites(tx: Sql, day: string, limit: number): Promise<UnprovenSite[]> {
  return tx.sql(`with unknown as (
      select d.site_id, d.id, d.mandated, d.minutes, d.subject_id, d.check_kinds, w.lapses
      from windows_between($1::date, $1::date) w join duty d on d.company_id = current_company() and d.id = w.duty_id
      where w.company_id = current_company()
        and standing_on(w.opens, w.due, w.lapses, w.carried, $1::date) = 'cant-tell' and not d.remotely and d.by_whom <> 'occupant'
        and not exists (select 1 from site_blackout x where x.company_id = current_company() and x.site_id = d.site_id and x.kind = 'suspended' and x.from_day <= $1::date and (x.to_day is null or x.to_day >= $1::date))
    ), work as (
      select site_id, sum(minutes)::int as minutes from (select site_id, max(minutes) as minutes from unknown group by site_id, subject_id, check_kinds) once group by site_id
    ), of_site as (
      select site_id, count(*)::int as duties, count(*) filter (where mandated)::int as mandated, min(lapses) as lapses from unknown group by site_id
    )
    select s.id as "siteId", s.name as "siteName", c.name as "clientName", s.locality, s.taken_over_on::text as "takenOverOn", o.duties, o.mandated, k.minutes,
      case when o.lapses < date '9999-12-31' then o.lapses::text end as lapses, x.score, x.exposure_per_year_h as "exposurePerYearH",
      coalesce((select array_agg(reason) from jsonb_array_elements_text(case when jsonb_typeof(x.detail->'reasons') = 'array' then x.detail->'reasons' else '[]' end) reason), '{}') as reasons, count(*) over ()::int as total
    from of_site o join work k on k.site_id = o.site_id join site s on s.company_id = current_company() and s.id = o.site_id join client c on c.company_id = s.company_id and c.id = s.client_id
      left join site_exposure x on x.company_id = s.company_id and x.site_id = s.id
    where (s.closed_on is null or s.closed_on > $1::date) and (s.taken_over_on is null or s.taken_over_on <= $1::date)
    order by x.score desc nulls first, o.lapses, s.id limit $2`, [day, limit]);
}

/** Open sites on which no duty was ever laid: nobody is due to prove them, so no catch-up can hold them. */
export async function sitesWithoutDuties(tx: Sql, day: string): Promise<number> {
  const [row] = await tx.sql<{ n: number }>(`select count(*)::int as n from site s where s.company_id = current_company() and (s.closed_on is null or s.closed_on > $1::date)
    and (s.taken_over_on is null or s.taken_over_on <= $1::date) and not exists (select 1 from duty d where d.company_id = s.company_id and d.site_id = s.id)`, [day]);
  return row?.n ?? 0;
}

export interface DueWindow { dutyId: string; n: number; title: string; regime: string; basisOn: string | null; unknown: boolean; unmetLapsed: string | null; lastProof: string | null; said: string | null; cadence: unknown; opens: string; due: string; lapses: string; standing: string; siteName: string; address: string; subject: string; lat: number | null; lon: number | null; total: number }

/** Windows that are still to be met and whose due day lies in a stretch (overdue ones count as due on its first day), with what a calendar shows of them. */
export function dueWindows(tx: Sql, siteId: string | null, today: string, to: string, limit: number): Promise<DueWindow[]> {
  return tx.sql(`with owed as (
      select w.duty_id, w.n, w.opens, w.due, w.lapses, d.cadence, standing_on(w.opens, w.due, w.lapses, w.carried, $2::date) as standing, d.title, d.regime, d.system_id, d.subject_kind, d.subject_id, s.name, s.address, s.lat, s.lon
      from windows_between($2::date, date '9999-12-31') w join duty d on d.company_id = current_company() and d.id = w.duty_id join site s on s.company_id = current_company() and s.id = w.site_id
      where w.company_id = current_company() and ($1::uuid is null or w.site_id = $1::uuid) and w.met_on is null and w.due <= $3::date
        and (d.valid_to is null or d.valid_to >= $2::date) and (s.closed_on is null or s.closed_on > $2::date)
        and not exists (select 1 from site_blackout x where x.company_id = current_company() and x.site_id = w.site_id and x.kind = 'suspended' and x.from_day <= $2::date and (x.to_day is null or x.to_day >= $2::date))
    ), page as (select owed.*, count(*) over ()::int as total from owed order by due, name, title, duty_id, n limit $4)
    select p.duty_id as "dutyId", p.n, p.title, p.regime, z.basis_on::text as "basisOn", z.unknown, z.unmet_lapsed::text as "unmetLapsed", z.last_proof::text as "lastProof", z.said, p.cadence, p.opens::text, p.due::text, p.lapses::text, p.standing, p.name as "siteName", p.address, p.lat, p.lon, p.total, coalesce(v.label, h.label, b.label, y.name) as subject
    from page p join duty_window z on z.company_id = current_company() and z.duty_id = p.duty_id and z.n = p.n
      join system y on y.company_id = current_company() and y.id = p.system_id
      left join device v on v.company_id = current_company() and v.id = p.subject_id and p.subject_kind = 'device'
      left join path h on h.company_id = current_company() and h.id = p.subject_id and p.subject_kind = 'path'
      left join battery b on b.company_id = current_company() and b.id = p.subject_id and p.subject_kind = 'battery'
    order by p.due, p.name, p.title, p.duty_id, p.n`, [siteId, today, to, limit]);
}
