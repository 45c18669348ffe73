import type { Tx } from '../scoped.js';

type Sql = Pick<Tx, 'sql'>;

/** A search text as an ILIKE pattern, its own wildcards taken literally. */
const pattern = (search: string | undefined): string | null => (search ? `%${search.replaceAll(/[\\%_]/g, '\\$&')}%` : null);

// Windows that govern on a day ($1).
const GOVERNED = `select w.site_id, w.duty_id, w.opens, w.due, w.lapses, w.carried from windows_between($1::date, $1::date) w where w.company_id = current_company()`;

const SUSPENDED = `select site_id from site_blackout where company_id = current_company() and kind = 'suspended' and from_day <= $1::date and (to_day is null or to_day >= $1::date)`;

export interface StandingFilter {
  standing?: string | undefined; clientId?: string | undefined; occupancy?: string | undefined; search?: string | undefined;
  /** only these sites */
  siteIds?: readonly string[] | undefined;
  /** only sites with a system of this kind */
  systemKind?: string | undefined;
  /** only sites with a deficiency that was open on the day */
  broken?: boolean | undefined;
  limit: number; offset: number;
}

export interface StandingSite {
  siteId: string; externalKey: string; name: string; address: string; locality: string | null; timeZone: string; occupancy: string; clientId: string; clientName: string; standing: string;
  duties: number; lapsed: number; cantTell: number; late: number; open: number; proven: number; nextLapses: string | null; openDeficiencies: number;
}
export interface StandingCounts { lapsed: number; cantTell: number; late: number; open: number; proven: number; notOwed: number }

/**
 * Standing of every site on a day, one page of it worst first, and the counts of all. One statement over the whole fleet:
 * windows are aggregated once, nothing is asked per site but the deficiencies of the page.
 * A site on which no duty was ever laid can't be told; one whose duties are suspended or not begun owes nothing.
 */
export const STANDING_SQL = `with governed as (${GOVERNED}),
  ranked as (
    -- judged once per window; the fence keeps the judgement from being written out again for each count
    select site_id, lapses, standing_rank(standing_on(opens, due, lapses, carried, $1::date)) as rank from governed offset 0
  ), of_site as (
    select site_id, min(rank) as rank, count(*)::int as duties,
      count(*) filter (where rank = 0)::int as lapsed, count(*) filter (where rank = 1)::int as cant_tell, count(*) filter (where rank = 2)::int as late,
      count(*) filter (where rank = 3)::int as open, count(*) filter (where rank = 4)::int as proven,
      min(lapses) filter (where lapses < date '9999-12-31') as next_lapses
    from ranked group by site_id
  ), matched as materialized (
    select s.id, s.external_key, s.name, s.address, s.locality, s.time_zone, s.occupancy, s.client_id, c.name as client_name,
      case when x.site_id is not null then 5 when o.site_id is not null then o.rank when exists (select 1 from duty d where d.company_id = current_company() and d.site_id = s.id) then 5 else 1 end as rank,
      coalesce(o.duties, 0) as duties, coalesce(o.lapsed, 0) as lapsed, coalesce(o.cant_tell, 0) as cant_tell, coalesce(o.late, 0) as late, coalesce(o.open, 0) as open, coalesce(o.proven, 0) as proven, o.next_lapses
    from site s join client c on c.company_id = s.company_id and c.id = s.client_id
      left join of_site o on o.site_id = s.id left join (${SUSPENDED}) x on x.site_id = s.id
    where s.company_id = current_company() and (s.closed_on is null or s.closed_on > $1::date) and (s.taken_over_on is null or s.taken_over_on <= $1::date)
      and ($2::uuid is null or s.client_id = $2::uuid) and ($3::text is null or s.occupancy = $3)
      and ($4::text is null or s.name ilike $4 or s.address ilike $4 or s.external_key ilike $4 or c.name ilike $4)
      and ($8::uuid[] is null or s.id = any($8::uuid[]))
      and ($9::text is null or exists (select 1 from system y where y.company_id = s.company_id and y.site_id = s.id and y.kind = $9 and (y.retired_on is null or y.retired_on > $1::date)))
      and (not $10::boolean or s.id in (select f.site_id from deficiency f where f.company_id = current_company()
        and (f.raised_at at time zone s.time_zone)::date <= $1::date and (f.closed_at is null or (f.closed_at at time zone s.time_zone)::date > $1::date)))
  ), page as (
    select m.* from matched m where $5::int is null or m.rank = $5::int order by m.rank, m.next_lapses nulls first, m.name, m.id limit $6 offset $7
  )
  select (select json_build_object('lapsed', count(*) filter (where rank = 0), 'cantTell', count(*) filter (where rank = 1), 'late', count(*) filter (where rank = 2),
      'open', count(*) filter (where rank = 3), 'proven', count(*) filter (where rank = 4), 'notOwed', count(*) filter (where rank = 5)) from matched) as counts,
    (select coalesce(json_agg(json_build_object('siteId', p.id, 'externalKey', p.external_key, 'name', p.name, 'address', p.address, 'locality', p.locality, 'timeZone', p.time_zone, 'occupancy', p.occupancy,
      'clientId', p.client_id, 'clientName', p.client_name, 'standing', standing_of_rank(p.rank), 'duties', p.duties, 'lapsed', p.lapsed, 'cantTell', p.cant_tell, 'late', p.late, 'open', p.open, 'proven', p.proven,
      'nextLapses', p.next_lapses, 'openDeficiencies', (select count(*) from deficiency f where f.company_id = current_company() and f.site_id = p.id
        and (f.raised_at at time zone p.time_zone)::date <= $1::date and (f.closed_at is null or (f.closed_at at time zone p.time_zone)::date > $1::date)))
      order by p.rank, p.next_lapses nulls first, p.name, p.id), '[]') from page p) as rows`;

const RANK: Record<string, number> = { lapsed: 0, 'cant-tell': 1, late: 2, open: 3, proven: 4, 'not-owed': 5 };

export async function standingPage(tx: Sql, asOf: string, filter: StandingFilter): Promise<{ counts: StandingCounts; rows: StandingSite[] }> {
  const [answer] = await tx.sql<{ counts: StandingCounts; rows: StandingSite[] }>(STANDING_SQL,
    [asOf, filter.clientId ?? null, filter.occupancy ?? null, pattern(filter.search), filter.standing ? RANK[filter.standing] : null, filter.limit, filter.offset, filter.siteIds ?? null, filter.systemKind ?? null, filter.broken ?? false]);
  return answer!;
}

export interface LaneWindow {
  dutyId: string; siteId: string; n: number; opens: string; due: string; lapses: string; governsFrom: string; governsTo: string | null; metOn: string | null; metBy: string | null;
  outcome: 'on-time' | 'late' | 'missed' | null; lateDays: number; carried: 'proven' | 'lapsed' | 'cant-tell';
  basisOn: string | null; unknown: boolean; unmetLapsed: string | null; lastProof: string | null; said: string | null; cadence: unknown;
}

/** Windows of these sites that touch a stretch of days, in lanes by duty: what proof strips draw. The cadence, out of which a window's reason is told, is left out unless asked. */
export function windowsOfSites(tx: Sql, siteIds: readonly string[], from: string, to: string, withWhy = false): Promise<LaneWindow[]> {
  return tx.sql(`select w.duty_id as "dutyId", w.site_id as "siteId", w.n, w.opens::text, w.due::text, w.lapses::text, w.governs_from::text as "governsFrom", w.governs_to::text as "governsTo",
      w.met_on::text as "metOn", w.met_by as "metBy", w.outcome, w.late_days as "lateDays", w.carried, w.basis_on::text as "basisOn", w.unknown, w.unmet_lapsed::text as "unmetLapsed", w.last_proof::text as "lastProof", w.said,
      case when $4::boolean then (select d.cadence from duty d where d.company_id = w.company_id and d.id = w.duty_id) end as cadence
    from duty_window w where w.company_id = current_company() and w.site_id = any($1::uuid[]) and greatest(w.lapses, w.met_on, w.governs_to) >= $2::date and least(w.opens, w.governs_from) <= $3::date
    order by w.site_id, w.duty_id, w.n`, [siteIds, from, to, withWhy]);
}

export interface LaneDuty {
  id: string; siteId: string; title: string; regime: string; mandated: boolean; systemId: string; systemName: string; subjectKind: string; subjectId: string; subject: string;
  remotely: boolean; sounds: boolean; minutes: number; validFrom: string; validTo: string | null;
}

/** Duties of these sites with their subjects by name. */
export function dutiesOfSites(tx: Sql, siteIds: readonly string[]): Promise<LaneDuty[]> {
  return tx.sql(`select d.id, d.site_id as "siteId", d.title, d.regime, d.mandated, d.system_id as "systemId", y.name as "systemName", d.subject_kind as "subjectKind", d.subject_id as "subjectId",
      coalesce(v.label, p.label, b.label, case when d.subject_kind = 'site' then s.name else y.name end) as subject,
      d.remotely, d.sounds, d.minutes, d.valid_from::text as "validFrom", d.valid_to::text as "validTo"
    from duty d join site s on s.company_id = d.company_id and s.id = d.site_id join system y on y.company_id = d.company_id and y.id = d.system_id
      left join device v on v.company_id = d.company_id and v.id = d.subject_id and d.subject_kind = 'device'
      left join path p on p.company_id = d.company_id and p.id = d.subject_id and d.subject_kind = 'path'
      left join battery b on b.company_id = d.company_id and b.id = d.subject_id and d.subject_kind = 'battery'
    where d.company_id = current_company() and d.site_id = any($1::uuid[]) order by d.site_id, y.name, d.title, subject, d.id`, [siteIds]);
}

export interface OverdueDuty {
  dutyId: string; title: string; regime: string; mandated: boolean; siteId: string; siteName: string; clientName: string; subject: string; standing: string;
  opens: string; due: string; lapses: string; daysOver: number; total: number;
}

/** Duties that are lapsed, can't tell or late on a day: lapsed longest first, then can't tell, then those nearest their lapse. */
export function overduePage(tx: Sql, asOf: string, filter: { search?: string | undefined; standing?: string | undefined; limit: number; offset: number }): Promise<OverdueDuty[]> {
  // A fleet just taken over is overdue as a whole: rows stay narrow until the page is cut, only the page is joined to its duties.
  return tx.sql(`with sites as materialized (
      select s.id, s.name, c.name as client_name from site s join client c on c.company_id = s.company_id and c.id = s.client_id
      where s.company_id = current_company() and (s.closed_on is null or s.closed_on > $1::date) and s.id not in (${SUSPENDED})
    ), owed as materialized (
      select g.site_id, g.duty_id, g.opens, g.due, g.lapses, standing_rank(standing_on(g.opens, g.due, g.lapses, g.carried, $1::date)) as rank, s.name as site_name, s.client_name
      from (${GOVERNED}) g join sites s on s.id = g.site_id
      where standing_on(g.opens, g.due, g.lapses, g.carried, $1::date) in ('lapsed', 'cant-tell', 'late') and ($3::text is null or standing_on(g.opens, g.due, g.lapses, g.carried, $1::date) = $3)
        and ($2::text is null or s.name ilike $2 or s.client_name ilike $2
          or g.duty_id in (select id from duty where company_id = current_company() and (title ilike $2 or regime ilike $2)))
    ), page as (select * from owed order by rank, lapses, site_name, duty_id limit $4 offset $5)
    select p.duty_id as "dutyId", d.title, d.regime, d.mandated, p.site_id as "siteId", p.site_name as "siteName", p.client_name as "clientName",
      coalesce(v.label, h.label, b.label, y.name) as subject, standing_of_rank(p.rank) as standing, p.opens::text, p.due::text, p.lapses::text, greatest($1::date - p.lapses, 0)::int as "daysOver",
      (select count(*)::int from owed) as total
    from page p join duty d on d.company_id = current_company() and d.id = p.duty_id join system y on y.company_id = current_company() and y.id = d.system_id
      left join device v on v.company_id = current_company() and v.id = d.subject_id and d.subject_kind = 'device'
      left join path h on h.company_id = current_company() and h.id = d.subject_id and d.subject_kind = 'path'
      left join battery b on b.company_id = current_company() and b.id = d.subject_id and d.subject_kind = 'battery'
    order by p.rank, p.lapses, p.site_name, p.duty_id`, [asOf, pattern(filter.search), filter.standing ?? null, filter.limit, filter.offset]);
}

// How a closed window ended, as it was known on $3: the month is the one in which it lapsed. Windows whose duty ended, or
// whose site was suspended, before they lapsed were never judged and are left out.
const CLOSED = `select w.duty_id, w.n, w.site_id, w.opens, w.lapses, w.met_on, date_trunc('month', w.lapses::timestamp)::date as month,
    case when w.met_on is not null and w.met_on <= w.lapses then 'on-time'
      when w.met_on is not null and w.met_on <= $3::date then 'late'
      when w.carried = 'cant-tell' then 'unknown' else 'missed' end as outcome
  from duty_window w
  where w.company_id = current_company() and w.lapses between $1::date and $2::date and w.lapses < $3::date
    and not (w.met_on is null and w.governs_to is not null and w.governs_to < w.lapses)`;

export interface MonthOfWindows { month: string; onTime: number; late: number; missed: number; unknown: number }

/** Windows by the month in which they lapsed. */
export function windowsByMonth(tx: Sql, from: string, to: string, asOf: string, regime: string | null): Promise<MonthOfWindows[]> {
  return tx.sql(`with closed as (${CLOSED})
    select to_char(month, 'YYYY-MM') as month, count(*) filter (where outcome = 'on-time')::int as "onTime", count(*) filter (where outcome = 'late')::int as late,
      count(*) filter (where outcome = 'missed')::int as missed, count(*) filter (where outcome = 'unknown')::int as unknown
    from closed where $4::text is null or duty_id in (select id from duty where company_id = current_company() and regime = $4) group by 1 order by 1`, [from, to, asOf, regime]);
}

// The accounts the station listens to: its newest list on or before $3, one per station; where it never gave one, the
// accounts we hold for live (and the answer says so).
const LIVE = `lists as (
    select distinct on (station_id) id, station_id, listed_on from list_import where company_id = current_company() and kind = 'station' and listed_on <= $3::date
    order by station_id, listed_on desc, imported_at desc
  ), live as materialized (
    select e.account_number, e.name, a.id as account_id, a.site_id from lists l join list_entry e on e.company_id = current_company() and e.list_id = l.id
      left join account a on a.company_id = current_company() and a.number = e.account_number and (l.station_id is null or a.station_id = l.station_id) and a.status <> 'cancelled'
    where e.status = 'live'
    union all
    select a.number, s.name, a.id, a.site_id from account a join site s on s.company_id = a.company_id and s.id = a.site_id
    where a.company_id = current_company() and a.status = 'live' and not exists (select 1 from lists)
  ), on_schedule as materialized (
    -- by the system's own account, or by the site where a system names none: two plain joins, which the planner can weigh
    select l.account_id, d.id as duty_id from live l join system y on y.company_id = current_company() and y.account_id = l.account_id
      join duty d on d.company_id = y.company_id and d.system_id = y.id
    union all
    select l.account_id, d.id from live l join system y on y.company_id = current_company() and y.site_id = l.site_id and y.account_id is null
      join duty d on d.company_id = y.company_id and d.system_id = y.id where l.account_id is not null
  )`;

export interface AccountsInTime { month: string | null; onTime: number; late: number; missed: number; unknown: number }
export interface LiveFigures { stationListOn: string | null; live: number; untested: number; untestedNames: { account: string; name: string; siteId: string | null; why: string }[] }

/** Accounts by the worst end of their windows, per month and (month null) over the whole stretch. */
export function accountsByMonth(tx: Sql, from: string, to: string, asOf: string, regime: string | null): Promise<AccountsInTime[]> {
  return tx.sql(`with ${LIVE}, closed as materialized (${CLOSED}),
    ended as (
      select o.account_id, c.month, max(case c.outcome when 'missed' then 4 when 'late' then 3 when 'unknown' then 2 else 1 end) as worst
      from closed c join on_schedule o on o.duty_id = c.duty_id
      where $4::text is null or c.duty_id in (select id from duty where company_id = current_company() and regime = $4)
      group by 1, 2
    ), spans as (select account_id, month, worst from ended union all select account_id, null, max(worst) from ended group by account_id)
    select to_char(month, 'YYYY-MM') as month, count(*) filter (where worst = 1)::int as "onTime", count(*) filter (where worst = 3)::int as late,
      count(*) filter (where worst = 4)::int as missed, count(*) filter (where worst = 2)::int as unknown
    from spans group by 1 order by 1 nulls first`, [from, to, asOf, regime]);
}

/** The honest denominator, and by name the accounts on which nothing is owed: they count as untested. */
export async function liveFigures(tx: Sql, asOf: string): Promise<LiveFigures> {
  const [row] = await tx.sql<LiveFigures>(`with ${LIVE.replaceAll('$3', '$1')},
    untested as (
      select l.account_number, l.name, l.site_id, case when l.account_id is null then 'not on the schedule' else 'on the schedule, but no programme is laid on it' end as why
      from live l where not exists (select 1 from on_schedule o where o.account_id = l.account_id)
    )
    select (select max(listed_on)::text from lists) as "stationListOn", (select count(*)::int from live) as live, (select count(*)::int from untested) as untested,
      (select coalesce(json_agg(json_build_object('account', account_number, 'name', name, 'siteId', site_id, 'why', why)), '[]') from (select * from untested order by account_number limit 500) u) as "untestedNames"`, [asOf]);
  return row!;
}

export interface LateWindow {
  dutyId: string; n: number; title: string; siteId: string; siteName: string; timeZone: string; opens: string; lapses: string; metOn: string | null; outcome: string;
  attempts: { id: string; how: string; outcome: string; on: string; proven: boolean; preventableBy: string; words: string }[]; total: number;
}

/** Windows that ended late or missed in a stretch, each with the tries at access made while it was open. */
export function lateWindows(tx: Sql, from: string, to: string, asOf: string, filter: { search?: string | undefined; limit: number; offset: number }): Promise<LateWindow[]> {
  return tx.sql(`with closed as (${CLOSED}),
    bad as (
      select c.*, d.title, s.name as site_name, s.time_zone from closed c
        join duty d on d.company_id = current_company() and d.id = c.duty_id join site s on s.company_id = current_company() and s.id = c.site_id
      where c.outcome in ('late', 'missed') and ($4::text is null or d.title ilike $4 or s.name ilike $4)
    ), page as (select bad.*, count(*) over ()::int as total from bad order by lapses, site_name, title, duty_id limit $5 offset $6)
    select p.duty_id as "dutyId", p.n, p.title, p.site_id as "siteId", p.site_name as "siteName", p.time_zone as "timeZone", p.opens::text, p.lapses::text, p.met_on::text as "metOn", p.outcome, p.total,
      coalesce((select json_agg(json_build_object('id', t.id, 'how', t.how, 'outcome', t.outcome, 'on', (t.at at time zone p.time_zone)::date, 'proven', t.lat is not null and t.lon is not null and t.photo_id is not null,
          'preventableBy', t.preventable_by, 'words', t.words) order by t.at)
        from attempt t where t.company_id = current_company() and t.site_id = p.site_id and (t.at at time zone p.time_zone)::date between p.opens and coalesce(p.met_on, $3::date)), '[]') as attempts
    from page p order by p.lapses, p.site_name, p.title, p.duty_id`, [from, to, asOf, pattern(filter.search), filter.limit, filter.offset]);
}

/**
 * Late and missed windows of a stretch by who could have prevented them, counted set-wise by the same rule that tells it for
 * one window: `needed` tries at the door with position and picture on one name, else ours.
 */
export async function lateByWhom(tx: Sql, from: string, to: string, asOf: string, needed: number, noEntry: readonly string[], names: readonly string[]): Promise<{ by: string; windows: number }[]> {
  return tx.sql(`with closed as (${CLOSED}), bad as materialized (select * from closed where outcome in ('late', 'missed')),
    tried as (
      select b.duty_id, b.lapses, t.preventable_by as by, count(*) as tries
      from attempt t join site s on s.company_id = t.company_id and s.id = t.site_id join bad b on b.site_id = t.site_id
      where t.company_id = current_company() and t.how = 'at-door' and t.outcome = any($5::text[]) and t.lat is not null and t.lon is not null and t.photo_id is not null
        and t.preventable_by = any($6::text[]) and (t.at at time zone s.time_zone)::date between b.opens and coalesce(b.met_on, $3::date)
      group by 1, 2, 3 having count(*) >= $4::int
    ), named as (select distinct on (duty_id, lapses) duty_id, lapses, by from tried order by duty_id, lapses, tries desc, array_position($6::text[], by))
    select by, count(*)::int as windows from named group by by
    union all select 'ours', ((select count(*) from bad) - (select count(*) from named))::int`, [from, to, asOf, needed, noEntry, names]);
}

export interface CheckBehind {
  id: string; siteId: string; checkKind: string; subjectKind: string; subjectId: string; performedOn: string; verdict: string; evidence: string; source: string; by: string | null; correctedById: string | null;
}

/** Checks of some kinds on some subjects, newest first, with who did them. */
export function checksOn(tx: Sql, siteId: string, subjectIds: readonly string[], kinds: readonly string[], until: string): Promise<CheckBehind[]> {
  return tx.sql(`select c.id, c.site_id as "siteId", c.check_kind as "checkKind", c.subject_kind as "subjectKind", c.subject_id as "subjectId", c.performed_on::text as "performedOn", c.verdict, c.evidence, c.source,
      coalesce(t.name, u.name) as by, (select k.id from check_record k where k.company_id = c.company_id and k.corrects_id = c.id order by k.recorded_at desc limit 1) as "correctedById"
    from check_record c left join technician t on t.company_id = c.company_id and t.id = c.technician_id left join app_user u on u.company_id = c.company_id and u.id = c.recorded_by
    where c.company_id = current_company() and c.site_id = $1::uuid and c.subject_id = any($2::uuid[]) and c.check_kind = any($3::text[]) and c.performed_on <= $4::date
    order by c.performed_on desc, c.id desc limit 500`, [siteId, subjectIds, kinds, until]);
}

/** Tries at access at a site between two local days. */
export function attemptsBetween(tx: Sql, siteId: string, from: string, to: string): Promise<{ how: string; outcome: string; proven: boolean; preventableBy: string }[]> {
  return tx.sql(`select t.how, t.outcome, t.lat is not null and t.lon is not null and t.photo_id is not null as proven, t.preventable_by as "preventableBy"
    from attempt t join site s on s.company_id = t.company_id and s.id = t.site_id
    where t.company_id = current_company() and t.site_id = $1::uuid and (t.at at time zone s.time_zone)::date between $2::date and $3::date order by t.at`, [siteId, from, to]);
}
