import type { Tx } from '../scoped.js';

/** A duty that a technician's visit could meet in the planned days, and that no visit is on its way to meet. */
export interface DutyToPlan {
  duty_id: string; site_id: string; site_name: string; title: string; minutes: number; subject_id: string; check_kinds: string[];
  opens: string; due: string; lapses: string; mandated: boolean; standing: string; occupancy: string;
}

/**
 * One statement for the whole fleet. A site is taken when one of its duties is worth a trip now (due by `worthBy`, or
 * lapsed, or can't be told); then every open duty of that site comes along, so that one trip meets them together. What could
 * be met remotely comes along too, but is no reason for a trip.
 */
export async function dutiesToPlan(tx: Tx, first: string, last: string, worthBy: string): Promise<DutyToPlan[]> {
  return tx.sql<DutyToPlan>(`
    with open_duty as (
      select w.duty_id, w.site_id, d.title, d.minutes, d.subject_id, d.check_kinds, d.mandated, d.remotely, w.opens, w.due, w.lapses,
        standing_on(w.opens, w.due, w.lapses, w.carried, $1::date) as standing
      from windows_between($1::date, $2::date) w
      join duty d on d.company_id = current_company() and d.id = w.duty_id
      where w.met_on is null and w.opens <= $2::date
        and d.valid_from <= $2::date and (d.valid_to is null or d.valid_to >= $1::date)
        and d.by_whom <> 'occupant'
        and (w.opens <= $1::date or w.lapses <= $2::date)
        and not exists (
          select 1 from visit_duty vd join visit v on v.company_id = vd.company_id and v.id = vd.visit_id
          where vd.company_id = current_company() and vd.duty_id = d.id and v.state in ('wanted', 'planned', 'published', 'open'))
    ), worth as (
      select distinct site_id from open_duty where not remotely and (due <= $3::date or standing in ('lapsed', 'cant-tell', 'late'))
    )
    select o.duty_id::text, o.site_id::text, s.name as site_name, o.title, o.minutes, o.subject_id::text, o.check_kinds, o.mandated, o.standing, s.occupancy,
      to_char(o.opens, 'YYYY-MM-DD') as opens, to_char(o.due, 'YYYY-MM-DD') as due, to_char(o.lapses, 'YYYY-MM-DD') as lapses
    from open_duty o join worth using (site_id)
    join site s on s.company_id = current_company() and s.id = o.site_id and s.closed_on is null
    order by o.site_id, o.lapses, o.duty_id`, [first, last, worthBy]);
}

/** A visit that a plan may place, with all that decides where and when. */
export interface PlannableVisit {
  visit_id: string; site_id: string; site_name: string; locality: string | null; title: string; kind: string; state: string; service_min: number; persons: number;
  lat: number | null; lon: number | null; access_hours: unknown; noise_hours: unknown; time_zone: string; life_safety: boolean;
  sounds: boolean; skills: string[]; licences: string[]; mandated_lapse: string | null; earliest_due: string | null; overdue: boolean; duties: number; deficiencies: number; worst_severity: number | null; deficiency_due: string | null;
  score: number | null; exposure_per_year_h: number | null; visit_gain: unknown; scored_on: string | null; own_skills: string[]; must_by: string | null;
  notice_days: number; notice_given_on: string | null; equipment: string[];
  /** minutes of it that are heard, at most its own */
  sound_min: number; minutes_from: string | null;
  /** what was set by hand on the visit itself */
  own_equipment: string[]; own_sound_min: number | null;
}

/** Every visit not yet begun, with what its duties and deficiencies ask, in one statement. */
export async function plannableVisits(tx: Tx, first: string): Promise<PlannableVisit[]> {
  return tx.sql<PlannableVisit>(`
    with asked as (
      select vd.visit_id, count(*)::int as duties, bool_or(d.sounds) as sounds, min(w.due) as earliest_due,
        min(w.lapses) filter (where d.mandated) as mandated_lapse,
        bool_or(standing_on(w.opens, w.due, w.lapses, w.carried, $1::date) in ('lapsed', 'cant-tell')) as overdue
      from visit_duty vd
      join duty d on d.company_id = vd.company_id and d.id = vd.duty_id
      left join windows_between($1::date, $1::date) w on w.company_id = d.company_id and w.duty_id = d.id and w.met_on is null
      where vd.company_id = current_company() group by vd.visit_id
    ), needs as (
      select vd.visit_id, array_agg(distinct skill) filter (where skill is not null) as skills, array_agg(distinct licence) filter (where licence is not null) as licences
      from visit_duty vd join duty d on d.company_id = vd.company_id and d.id = vd.duty_id
      left join lateral unnest(d.skills) as skill on true left join lateral unnest(d.licences) as licence on true
      where vd.company_id = current_company() group by vd.visit_id
    ), heard as (
      select visit_id, sum(minutes)::int as minutes from (
        select vd.visit_id, max(d.minutes) as minutes from visit_duty vd join duty d on d.company_id = vd.company_id and d.id = vd.duty_id and d.sounds
        where vd.company_id = current_company() group by vd.visit_id, d.subject_id, d.check_kinds
      ) once group by visit_id
    ), broken as (
      select vf.visit_id, count(*)::int as deficiencies, min(f.due_on) as due_on, array_agg(distinct y.kind) as kinds,
        min(case f.severity when 'impairment' then 0 when 'critical' then 1 when 'non-critical' then 2 else 3 end) as worst
      from visit_deficiency vf
      join deficiency f on f.company_id = vf.company_id and f.id = vf.deficiency_id
      join system y on y.company_id = f.company_id and y.id = f.system_id
      where vf.company_id = current_company() and f.state = 'open' group by vf.visit_id
    )
    select v.id::text as visit_id, s.id::text as site_id, s.name as site_name, s.locality, v.title, v.kind, v.state, v.service_min, v.persons,
      s.lat, s.lon, s.access_hours, s.noise_hours, s.time_zone,
      s.sleeping_risk or exists (select 1 from system y where y.company_id = s.company_id and y.site_id = s.id and y.kind in ('fire', 'co', 'panic')) as life_safety,
      coalesce(a.sounds, false) as sounds,
      coalesce(n.skills, '{}') || case when n.skills is null then coalesce((select array_agg(k) from unnest(b.kinds) k where k in ('fire', 'intrusion')), '{}') else '{}' end as skills,
      coalesce(n.licences, '{}') as licences,
      to_char(a.mandated_lapse, 'YYYY-MM-DD') as mandated_lapse, to_char(a.earliest_due, 'YYYY-MM-DD') as earliest_due, coalesce(a.overdue, false) as overdue,
      coalesce(a.duties, 0) as duties, coalesce(b.deficiencies, 0) as deficiencies, b.worst as worst_severity, to_char(b.due_on, 'YYYY-MM-DD') as deficiency_due,
      x.score, x.exposure_per_year_h, x.visit_gain, to_char(x.scored_on, 'YYYY-MM-DD') as scored_on, coalesce(v.skills, '{}') as own_skills, to_char(v.must_by, 'YYYY-MM-DD') as must_by,
      s.notice_days, to_char(v.notice_given_on, 'YYYY-MM-DD') as notice_given_on, coalesce(s.equipment, '{}') || coalesce(v.equipment, '{}') as equipment,
      least(v.service_min, coalesce(v.sounding_min, h.minutes, 0)) as sound_min, v.minutes_from, coalesce(v.equipment, '{}') as own_equipment, v.sounding_min as own_sound_min
    from visit v
    join site s on s.company_id = v.company_id and s.id = v.site_id and s.closed_on is null
    left join asked a on a.visit_id = v.id left join needs n on n.visit_id = v.id left join broken b on b.visit_id = v.id left join heard h on h.visit_id = v.id
    left join site_exposure x on x.company_id = v.company_id and x.site_id = v.site_id
    where v.company_id = current_company() and v.state in ('wanted', 'planned', 'published')
    order by v.id`, [first]);
}

/** One line of 'what lapses if nothing is done': mandated windows that lapse in the days, with the visit that is on its way, if any. */
export interface LapsingLine { duty_id: string; site_id: string; site_name: string; title: string; regime: string; lapses: string; days_left: number; visit_id: string | null; visit_state: string | null; visit_day: string | null; attempts: number }

export async function lapsingDuties(tx: Tx, today: string, until: string, most: number): Promise<LapsingLine[]> {
  return tx.sql<LapsingLine>(`
    select d.id::text as duty_id, s.id::text as site_id, s.name as site_name, d.title, d.regime, to_char(w.lapses, 'YYYY-MM-DD') as lapses, (w.lapses - $1::date)::int as days_left,
      v.id::text as visit_id, v.state as visit_state, to_char(v.day, 'YYYY-MM-DD') as visit_day,
      (select count(*)::int from attempt t where t.company_id = s.company_id and t.site_id = s.id and t.at > w.opens) as attempts
    from windows_between($1::date, $1::date) w
    join duty d on d.company_id = current_company() and d.id = w.duty_id and d.mandated and d.by_whom <> 'occupant'
      and d.valid_from <= $1::date and (d.valid_to is null or d.valid_to >= $1::date)
    join site s on s.company_id = current_company() and s.id = w.site_id and s.closed_on is null
    left join lateral (
      select v.id, v.state, v.day from visit_duty vd join visit v on v.company_id = vd.company_id and v.id = vd.visit_id
      where vd.company_id = current_company() and vd.duty_id = d.id and v.state in ('wanted', 'planned', 'published', 'open')
      order by (v.state = 'open') desc, (v.state = 'published') desc limit 1
    ) v on true
    where w.met_on is null and w.lapses between $1::date and $2::date
    order by w.lapses, s.name, d.title limit $3`, [today, until, most]);
}

/** Marks what a published plan decided on its visits, in one statement; visits that the plan replaced and does not hold go back to 'wanted'. */
export async function stampPublishedVisits(tx: Tx, planId: string, replacedPlanIds: readonly string[]): Promise<void> {
  await tx.sql(`
    update visit v set state = 'wanted', day = null, start_min = null, technician_id = null
    where v.company_id = current_company() and v.state = 'published' and v.id in (select p.visit_id from plan_stop p where p.company_id = current_company() and p.plan_id = any ($2::uuid[]))
      and v.id not in (select p.visit_id from plan_stop p where p.company_id = current_company() and p.plan_id = $1::uuid)`, [planId, [...replacedPlanIds]]);
  await tx.sql(`
    update visit v set state = 'published', day = p.day, start_min = p.start_min, technician_id = p.technician_id
    from (select distinct on (visit_id) visit_id, day, start_min, technician_id from plan_stop
      where company_id = current_company() and plan_id = $1::uuid and part not like '%collect' and part not like '%return' order by visit_id, day, start_min) p
    where v.company_id = current_company() and p.visit_id = v.id
      and v.state in ('wanted', 'planned', 'published')`, [planId]);
}

/** A visit of these days that has begun: where, by whom, and from when to when it really went. */
export interface BegunVisit { visit_id: string; site_id: string; technician_id: string; day: string; state: string; opened_at: Date; closed_at: Date | null; service_min: number; lat: number | null; lon: number | null; time_zone: string }

export async function begunVisits(tx: Tx, from: string, to: string): Promise<BegunVisit[]> {
  return tx.sql<BegunVisit>(`
    select v.id::text as visit_id, v.site_id::text, v.technician_id::text, to_char(v.day, 'YYYY-MM-DD') as day, v.state, v.opened_at, v.closed_at, v.service_min, s.lat, s.lon, s.time_zone
    from visit v join site s on s.company_id = v.company_id and s.id = v.site_id
    where v.company_id = current_company() and v.opened_at is not null and v.technician_id is not null and v.day between $1::date and $2::date
      and v.state in ('open', 'closed', 'stopped', 'no-access')
    order by v.opened_at`, [from, to]);
}

/** Whom to ask for access at each site: who permits entry, else any present contact, else the client. One line per site. */
export interface AccessLine { site_id: string; name: string; phone: string | null; email: string | null; language: string | null; attempts: number; last_words: string | null }

export async function accessLines(tx: Tx, siteIds: readonly string[], today: string): Promise<AccessLine[]> {
  if (siteIds.length === 0) return [];
  return tx.sql<AccessLine>(`
    with asked as (
      select s.id, s.client_id, (select count(*)::int from attempt t where t.company_id = s.company_id and t.site_id = s.id and t.at > $2::date - 90) as attempts,
        (select t.words from attempt t where t.company_id = s.company_id and t.site_id = s.id and t.at > $2::date - 90 order by t.at desc limit 1) as last_words
      from site s where s.company_id = current_company() and s.id = any ($1::uuid[])
    )
    select a.id::text as site_id, coalesce(c.name, l.name) as name, coalesce(c.phone, null) as phone, coalesce(c.email, l.email) as email, c.language, a.attempts, a.last_words
    from asked a
    join client l on l.company_id = current_company() and l.id = a.client_id
    left join lateral (
      select c.name, c.phone, c.email, c.language from contact c
      where c.company_id = current_company() and c.site_id = a.id and c.valid_from <= $2::date and (c.valid_to is null or c.valid_to >= $2::date)
      order by ('permits-entry' = any (c.roles)) desc, (c.phone is not null) desc, c.name limit 1
    ) c on true`, [[...siteIds], today]);
}

/** Mandated windows that lie inside the days, with what their duty asks: the work of a squeeze. */
export interface SqueezeLine { duty_id: string; site_id: string; site_name: string; subject_id: string; check_kinds: string[]; minutes: number; skills: string[]; licences: string[]; opens: string; lapses: string; lat: number | null; lon: number | null }

export async function squeezeLines(tx: Tx, today: string, from: string, to: string): Promise<SqueezeLine[]> {
  return tx.sql<SqueezeLine>(`
    select d.id::text as duty_id, s.id::text as site_id, s.name as site_name, d.subject_id::text, d.check_kinds, d.minutes, d.skills, d.licences,
      to_char(greatest(w.opens, $2::date), 'YYYY-MM-DD') as opens, to_char(w.lapses, 'YYYY-MM-DD') as lapses, s.lat, s.lon
    from windows_between($1::date, $3::date) w
    join duty d on d.company_id = current_company() and d.id = w.duty_id and d.mandated and d.by_whom <> 'occupant' and not d.remotely
      and d.valid_from <= $3::date and (d.valid_to is null or d.valid_to >= $1::date)
    join site s on s.company_id = current_company() and s.id = w.site_id and s.closed_on is null
    where w.met_on is null and w.lapses between $2::date and $3::date and w.opens <= $3::date
    order by w.lapses, s.name, d.id`, [today, from, to]);
}

/** Sites with a mandated duty that has lapsed already: no squeeze can hold them any more. */
export async function lapsedSites(tx: Tx, today: string): Promise<number> {
  const [row] = await tx.sql<{ n: number }>(`
    select count(distinct w.site_id)::int as n from windows_between($1::date, $1::date) w
    join duty d on d.company_id = current_company() and d.id = w.duty_id and d.mandated and d.by_whom <> 'occupant' and d.valid_from <= $1::date and (d.valid_to is null or d.valid_to >= $1::date)
    join site s on s.company_id = current_company() and s.id = w.site_id and s.closed_on is null
    where w.met_on is null and w.lapses < $1::date`, [today]);
  return row?.n ?? 0;
}
