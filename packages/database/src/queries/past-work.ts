import type { Tx } from '../scoped.js';

/** Windows of the past that lapse in one week, counted together; weeks count from the Monday given. `met_week` null: never met. */
export interface PastWork { skills: string[]; licences: string[]; opens_week: number; lapses_week: number; met_week: number | null; late: boolean; minutes: number; visits: number }

/** What fell due since `monday`, and when it was met, in one statement: the work of mandated and other windows as it came. */
export async function pastWork(tx: Tx, monday: string, today: string): Promise<PastWork[]> {
  return tx.sql<PastWork>(`
    with owed as (
      select distinct on (w.site_id, d.subject_id, array_to_string(d.check_kinds, ','), w.lapses) w.site_id, d.skills, d.licences, d.minutes, w.opens, w.lapses, w.met_on
      from duty_window w
      join duty d on d.company_id = current_company() and d.id = w.duty_id and d.by_whom <> 'occupant' and not d.remotely
      join site s on s.company_id = current_company() and s.id = d.site_id and (s.closed_on is null or s.closed_on > w.lapses) and (s.taken_over_on is null or s.taken_over_on <= w.lapses)
      where w.lapses >= $1::date and w.lapses < $2::date
      order by w.site_id, d.subject_id, array_to_string(d.check_kinds, ','), w.lapses, w.met_on nulls last
    ), weeks as (
      select o.*, greatest(0, floor((o.opens - $1::date) / 7.0))::int as opens_week, floor((o.lapses - $1::date) / 7.0)::int as lapses_week,
        case when o.met_on is null then null else greatest(-1, floor((o.met_on - $1::date) / 7.0))::int end as met_week, (o.met_on is null or o.met_on > o.lapses) as late,
        row_number() over (partition by o.site_id, floor((o.lapses - $1::date) / 7.0) order by o.lapses) as nth
      from owed o
    )
    select skills, licences, opens_week, lapses_week, met_week, late, sum(minutes)::int as minutes, count(*) filter (where nth = 1)::int as visits
    from weeks group by skills, licences, opens_week, lapses_week, met_week, late order by lapses_week, opens_week`, [monday, today]);
}

/** Minutes of urgent visits week by week from `monday`, as they came. */
export async function urgentByWeek(tx: Tx, monday: string, today: string): Promise<{ week: number; visits: number; minutes: number }[]> {
  return tx.sql(`
    select floor((coalesce(v.day, v.created_at::date) - $1::date) / 7.0)::int as week, count(*)::int as visits, sum(v.service_min)::int as minutes
    from visit v where v.company_id = current_company() and v.kind = 'urgent' and v.state <> 'cancelled' and coalesce(v.day, v.created_at::date) >= $1::date and coalesce(v.day, v.created_at::date) < $2::date
    group by 1 order by 1`, [monday, today]);
}
