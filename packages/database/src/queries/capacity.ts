import type { Tx } from '../scoped.js';

/** Unmet windows of technicians' duties, counted together where cadence, skills and weeks agree; weeks count from the Monday given. */
export interface DemandGroup { cadence: unknown; area: string | null; skills: string[]; licences: string[]; opens_week: number; due_week: number; lapses_week: number | null; due: string; minutes: number; duties: number; visits: number }

/**
 * One statement for the whole fleet. A check that several regimes ask of one subject counts once, in the window that lapses
 * first; a site's duties that are due in one week share one visit, counted with the first of them.
 */
export async function capacityDemand(tx: Tx, today: string, monday: string): Promise<DemandGroup[]> {
  return tx.sql<DemandGroup>(`
    with owed as (
      select distinct on (d.site_id, d.subject_id, array_to_string(d.check_kinds, ',')) d.site_id, s.locality as area, d.cadence, d.skills, d.licences, d.minutes, w.opens, w.due, w.lapses
      from windows_between($1::date, $1::date) w
      join duty d on d.company_id = current_company() and d.id = w.duty_id and d.by_whom <> 'occupant' and not d.remotely
        and d.valid_from <= $1::date and (d.valid_to is null or d.valid_to >= $1::date)
      join site s on s.company_id = current_company() and s.id = d.site_id and s.closed_on is null
      where w.met_on is null
      order by d.site_id, d.subject_id, array_to_string(d.check_kinds, ','), w.lapses
    ), weeks as (
      select o.*, greatest(0, floor((o.opens - $2::date) / 7.0))::int as opens_week, greatest(0, floor((least(o.due, '2200-01-01'::date) - $2::date) / 7.0))::int as due_week,
        case when o.lapses > '2200-01-01'::date then null else greatest(0, floor((o.lapses - $2::date) / 7.0))::int end as lapses_week,
        row_number() over (partition by o.site_id, greatest(0, floor((least(o.due, '2200-01-01'::date) - $2::date) / 7.0)) order by o.lapses) as nth
      from owed o
    )
    select cadence, area, skills, licences, opens_week, due_week, lapses_week, to_char(max(greatest(due, $1::date)), 'YYYY-MM-DD') as due, sum(minutes)::int as minutes, count(*)::int as duties, count(*) filter (where nth = 1)::int as visits
    from weeks group by cadence, area, skills, licences, opens_week, due_week, lapses_week
    order by due_week, lapses_week, opens_week`, [today, monday]);
}

/** What the company's own past year says about visits: counts, so that few cases can be weighed as few. */
export interface CapacityHistory {
  ended: number; no_access: number; again: number; timed: number; log_ratio: number; log_spread: number; stops: number; travel_min: number;
}

export async function capacityHistory(tx: Tx, today: string): Promise<CapacityHistory> {
  const [row] = await tx.sql<CapacityHistory>(`
    with ended as (
      select v.kind, v.state, v.service_min, extract(epoch from v.closed_at - v.opened_at) / 60.0 as took
      from visit v where v.company_id = current_company() and v.state in ('closed', 'stopped', 'no-access') and coalesce(v.day, v.closed_at::date) between $1::date - 365 and $1::date
    ), timed as (
      select ln(took / service_min) as ratio from ended where state = 'closed' and took between 5 and 720 and service_min > 0
    ), driven as (
      select p.travel_min from plan_stop p join week_plan w on w.company_id = p.company_id and w.id = p.plan_id
      where p.company_id = current_company() and w.state in ('published', 'superseded') and p.day > $1::date - 90
    )
    select (select count(*) from ended)::int as ended, (select count(*) from ended where state = 'no-access')::int as no_access, (select count(*) from ended where kind in ('remainder', 'retest') and state = 'closed')::int as again,
      (select count(*) from timed)::int as timed, coalesce((select avg(ratio) from timed), 0)::float8 as log_ratio, coalesce((select stddev_samp(ratio) from timed), 0)::float8 as log_spread,
      (select count(*) from driven)::int as stops, coalesce((select avg(travel_min) from driven), 0)::float8 as travel_min`, [today]);
  return row!;
}

/** Minutes of urgent visits by calendar month of the past two years. */
export async function urgentByMonth(tx: Tx, today: string): Promise<{ month: number; visits: number; minutes: number }[]> {
  return tx.sql(`
    select extract(month from coalesce(v.day, v.created_at::date))::int as month, count(*)::int as visits, sum(v.service_min)::int as minutes
    from visit v where v.company_id = current_company() and v.kind = 'urgent' and v.state <> 'cancelled' and v.created_at > $1::date - 730
    group by 1 order by 1`, [today]);
}
