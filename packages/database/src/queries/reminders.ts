import type { Tx } from '../scoped.js';

/** A duty whose open window nears its lapse, with the stage reached and whom to tell. */
export interface DueReminder {
  duty_id: string; site_id: string; site_name: string; site_address: string; title: string; regime: string;
  opens: string; due: string; lapses: string; stage_days: number;
  /** a yearly closed season that holds the day the window opens, 'MM-DD' to 'MM-DD'; null when none does */
  season: { from: string; to: string; reason: string } | null; to_name: string | null; to_email: string | null;
}

/**
 * Every duty of the company whose governing, unmet window lapses within the widest stage and was not yet spoken of at the
 * narrowest stage reached. One statement for the whole fleet. Stages are days before the lapse, any order: those of the duty's rule,
 * else `stages`, the company's. A window that opens while a yearly season keeps its site shut is spoken of as soon as it is open: few of its days can be used.
 * The addressee is the site's contact who permits entry, else who is told, else the client.
 */
export async function dueReminders(tx: Tx, day: string, stages: readonly number[]): Promise<DueReminder[]> {
  return tx.sql<DueReminder>(`
    with season as (
      select site_id, to_char(from_day, 'MM-DD') as "from", to_char(to_day, 'MM-DD') as "to", reason
      from site_blackout where company_id = current_company() and kind = 'season' and to_day is not null and to_day - from_day < 366
    ), own as materialized (
      select p.id as programme_id, r->>'key' as rule_key, array(select stage::int from jsonb_array_elements_text(r->'reminderStagesDays') as stage) as stages
      from programme p cross join lateral jsonb_array_elements(p.body->'rules') as r
      where p.company_id = current_company() and jsonb_array_length(r->'reminderStagesDays') > 0
    ), widest as (
      select max(stage) as days from (select unnest(stages) from own union all select unnest($2::int[])) as every(stage)
    ), spoken as (
      select w.duty_id, w.site_id, w.opens, w.due, w.lapses, d.title, d.regime,
        (select min(stage) from unnest(coalesce(o.stages, $2::int[])) as stage where stage >= w.lapses - $1::date) as stage_days,
        (select json_build_object('from', z."from", 'to', z."to", 'reason', z.reason) from season z where z.site_id = w.site_id and case when z."from" <= z."to"
          then to_char(w.opens, 'MM-DD') between z."from" and z."to" else to_char(w.opens, 'MM-DD') >= z."from" or to_char(w.opens, 'MM-DD') <= z."to" end order by z."from" limit 1) as season
      from windows_between($1::date, $1::date) w
      join duty d on d.company_id = current_company() and d.id = w.duty_id
        and d.valid_from <= $1::date and (d.valid_to is null or d.valid_to >= $1::date) and not d.remotely
      join programme_application a on a.company_id = current_company() and a.id = d.application_id
      left join own o on o.programme_id = a.programme_id and o.rule_key = d.rule_key
      where w.met_on is null and w.opens <= $1::date and w.lapses >= $1::date
        and (w.lapses <= $1::date + (select days from widest) or w.site_id in (select site_id from season))
    ), reached as (
      select duty_id, site_id, title, regime, opens, due, lapses, coalesce(stage_days, lapses - opens) as stage_days, season from spoken where stage_days is not null or season is not null
    )
    select r.duty_id, r.site_id, s.name as site_name, s.address as site_address, r.title, r.regime,
      to_char(r.opens, 'YYYY-MM-DD') as opens, to_char(r.due, 'YYYY-MM-DD') as due, to_char(r.lapses, 'YYYY-MM-DD') as lapses, r.stage_days, r.season,
      coalesce(p.name, c.name) as to_name, coalesce(p.email, c.email) as to_email
    from reached r
    join site s on s.company_id = current_company() and s.id = r.site_id and s.closed_on is null
    join client c on c.company_id = current_company() and c.id = s.client_id
    left join lateral (
      select k.name, k.email from contact k
      where k.company_id = current_company() and k.site_id = s.id and k.email is not null
        and k.valid_from <= $1::date and (k.valid_to is null or k.valid_to >= $1::date) and k.roles && array['permits-entry', 'is-told']
      order by ('permits-entry' = any (k.roles)) desc, k.name limit 1
    ) p on true
    where not exists (
      select 1 from reminder m where m.company_id = current_company() and m.duty_id = r.duty_id and m.lapses = r.lapses and m.stage_days <= r.stage_days)
    order by r.lapses, s.name, r.title`, [day, [...stages]]);
}

/** How many windows open on `day`, and how many lapsed unmet the day before. */
export async function turningWindows(tx: Tx, day: string): Promise<{ opened: number; lapsed: number }> {
  const [row] = await tx.sql<{ opened: number; lapsed: number }>(`
    select count(*) filter (where opens = $1::date)::int as opened,
      count(*) filter (where lapses = $1::date - 1 and (met_on is null or met_on > lapses))::int as lapsed
    from windows_between($1::date - 1, $1::date) where opens = $1::date or lapses = $1::date - 1`, [day]);
  return row ?? { opened: 0, lapsed: 0 };
}

/** One line of the owner's overdue list. */
export interface OverdueLine { site_name: string; locality: string | null; title: string; regime: string; lapses: string; days_late: number; standing: string }

/** Every duty that is lapsed, or cannot be told, on `day`, oldest lapse first. */
export async function overdueLines(tx: Tx, day: string): Promise<OverdueLine[]> {
  return tx.sql<OverdueLine>(`
    select * from (
      select s.name as site_name, s.locality, d.title, d.regime, to_char(w.lapses, 'YYYY-MM-DD') as lapses, ($1::date - w.lapses)::int as days_late,
        standing_on(w.opens, w.due, w.lapses, w.carried, $1::date) as standing
      from windows_between($1::date, $1::date) w
      join duty d on d.company_id = current_company() and d.id = w.duty_id and d.valid_from <= $1::date and (d.valid_to is null or d.valid_to >= $1::date)
      join site s on s.company_id = current_company() and s.id = w.site_id and s.closed_on is null
    ) x where standing in ('lapsed', 'cant-tell') order by lapses, site_name, title`, [day]);
}

/**
 * Takes up to `most` mails to send: waiting ones, and those whose sender died before `staleBefore`. The pick is materialised:
 * as a plain subquery the planner may run it once per row, and then every mail is claimed and all but `most` are forgotten.
 */
export async function claimMessages(tx: Tx, now: Date, staleBefore: Date, most: number) {
  return tx.sql<{ id: string; to_name: string; to_email: string; subject: string; body: string; attempts: number }>(`
    with picked as materialized (
      select id from message where state = 'waiting' or (state = 'sending' and claimed_at < $2)
      order by created_at, id limit $3 for update skip locked)
    update message m set state = 'sending', claimed_at = $1, attempts = attempts + 1
    from picked where m.company_id = current_company() and m.id = picked.id
    returning m.id::text, m.to_name, m.to_email, m.subject, m.body, m.attempts`, [now, staleBefore, most]);
}

export interface EndingHold { id: string; accountNumber: string; siteId: string; siteName: string; untilAt: Date; minutesLeft: number }

/**
 * Open holds that end soon, each with the least of the warning marks (minutes) that it has passed, once per mark and end: one whose end was moved is
 * warned of anew.
 */
export async function endingHolds(tx: Tx, now: Date, marksMin: readonly number[]): Promise<EndingHold[]> {
  return tx.sql<EndingHold>(`
    select h.id, a.number as "accountNumber", s.id as "siteId", s.name as "siteName", h.until_at as "untilAt", m.least as "minutesLeft"
    from hold h join account a on a.company_id = h.company_id and a.id = h.account_id join site s on s.company_id = a.company_id and s.id = a.site_id
    cross join lateral (select min(mark)::int as least from unnest($2::int[]) mark where h.until_at - make_interval(mins => mark) <= $1::timestamptz) m
    where h.company_id = current_company() and h.closed_at is null and h.until_at > $1::timestamptz and m.least is not null
      and not exists (select 1 from hold_fact f where f.company_id = h.company_id and f.hold_id = h.id and f.kind = 'warned' and (f.detail->>'untilAt')::timestamptz = h.until_at and (f.detail->>'minutesLeft')::int <= m.least)
    order by h.until_at, h.id`, [now.toISOString(), [...marksMin]]);
}

/** Holds that are still open after their end, and have not been spoken of yet. */
export async function outlivedHolds(tx: Tx, now: Date) {
  return tx.sql<{ id: string; account_number: string; site_id: string; site_name: string; station_name: string; station_phone: string | null; until_at: Date; station_reference: string; technician: string | null }>(`
    select h.id::text, a.number as account_number, s.id::text as site_id, s.name as site_name, t.name as station_name, t.phone as station_phone, h.until_at, h.station_reference, u.name as technician
    from hold h join account a on a.company_id = h.company_id and a.id = h.account_id
    join site s on s.company_id = a.company_id and s.id = a.site_id join station t on t.company_id = a.company_id and t.id = a.station_id
    left join app_user u on u.company_id = h.company_id and u.id = h.opened_by
    where h.closed_at is null and h.until_at <= $1
      and not exists (select 1 from hold_fact f where f.company_id = h.company_id and f.hold_id = h.id and f.kind = 'outlived' and f.at >= h.until_at)`, [now]);
}
