import type { Tx } from '../scoped.js';

export interface PathHeard {
  pathId: string; label: string; technology: string; siteId: string; siteName: string; accountId: string; accountNumber: string; receiver: string; intervalMin: number;
  /** newest event of the path; null: none in the time looked at */
  lastAt: string | null;
  /** newest event of its station: no silence is told after it */
  heardUntil: string | null;
}
export interface PathGap { pathId: string; fromAt: string; toAt: string; open: boolean }

// A history names a path by label, technology, place in order or key; one that names none speaks for an only path.
const PATHS = `with of_account as (
    select p.id, p.label, p.technology, p.rank, p.external_key, p.receiver_address, p.test_interval_min, s.site_id, s.account_id, count(*) over (partition by s.id) as of_system
    from path p join system s on s.company_id = p.company_id and s.id = p.system_id
    where p.company_id = current_company() and p.removed_on is null and s.retired_on is null and s.account_id is not null),
  until as (select station_id, max(received_at) as at from station_event where company_id = current_company() and station_id is not null and received_at > $1::timestamptz and received_at <= $2::timestamptz group by station_id),
  promised as (
    select o.*, a.number, a.station_id, u.at as heard_until from of_account o join account a on a.company_id = current_company() and a.id = o.account_id and a.status = 'live'
    left join until u on u.station_id = a.station_id where o.test_interval_min is not null),
  heard as (
    select p.id, e.received_at from promised p join station_event e on e.company_id = current_company() and e.account_id = p.account_id and e.received_at > $1::timestamptz and e.received_at <= $2::timestamptz
      and case when e.path is null then p.of_system = 1 else lower(e.path) in (lower(p.label), lower(p.technology), p.rank::text, lower(p.external_key)) end)`;

const iso = (column: string): string => `to_char(${column} at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"')`;

/** Every live path that promised a periodic signal, with when it was last heard since a moment. One statement over the fleet. */
export function pathsHeard(tx: Pick<Tx, 'sql'>, sinceAt: string, untilAt: string): Promise<PathHeard[]> {
  return tx.sql(`${PATHS}, last as (select id, max(received_at) as at from heard group by id)
    select p.id as "pathId", p.label, p.technology, p.site_id as "siteId", site.name as "siteName", p.account_id as "accountId", p.number as "accountNumber", coalesce(nullif(p.receiver_address, ''), station.name) as receiver, p.test_interval_min as "intervalMin",
      ${iso('last.at')} as "lastAt", ${iso('p.heard_until')} as "heardUntil"
    from promised p join site on site.company_id = current_company() and site.id = p.site_id join station on station.company_id = current_company() and station.id = p.station_id left join last on last.id = p.id
    order by p.number, p.rank, p.id`, [sinceAt, untilAt]);
}

/** Every stretch between two signals of a path, or from its last to the end of its station's history, longer than interval and grace. */
export function pathGaps(tx: Pick<Tx, 'sql'>, sinceAt: string, untilAt: string, graceH: number): Promise<PathGap[]> {
  return tx.sql(`${PATHS}, stretch as (select h.id, h.received_at as from_at, lead(h.received_at) over (partition by h.id order by h.received_at) as next_at from heard h)
    select p.id as "pathId", ${iso('s.from_at')} as "fromAt", ${iso('coalesce(s.next_at, p.heard_until)')} as "toAt", s.next_at is null as open
    from stretch s join promised p on p.id = s.id where coalesce(s.next_at, p.heard_until) - s.from_at > make_interval(mins => p.test_interval_min) + make_interval(secs => $3::float8 * 3600)
    order by s.from_at, p.id`, [sinceAt, untilAt, graceH]);
}
