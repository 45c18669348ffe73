import type { Bulk, Tx } from '../scoped.js';

type Sql = Pick<Tx | Bulk, 'sql'>;

// The honest denominator. Which list speaks on a day: per station the latest one listed on or before it, and the latest
// invoice list. 'The schedule' is our own live accounts on that day.
const SPEAKING = `select distinct on (kind, station_id) id, kind, station_id from list_import
  where company_id = current_company() and listed_on <= $1::date order by kind, station_id, listed_on desc, imported_at desc, id desc`;
const STATION = `select w.external_key as station, e.account_number, min(e.name) as name from (${SPEAKING}) l
  join list_entry e on e.company_id = current_company() and e.list_id = l.id and e.status = 'live'
  join station w on w.company_id = current_company() and w.id = l.station_id
  where l.kind = 'station' group by 1, 2`;
const INVOICES = `select e.account_number, min(e.name) as name from (${SPEAKING}) l
  join list_entry e on e.company_id = current_company() and e.list_id = l.id and e.status = 'live' where l.kind = 'invoice' group by 1`;
const SCHEDULE = `select w.external_key as station, a.number as account_number, a.id as account_id, a.site_id, s.name
  from account a join station w on w.company_id = a.company_id and w.id = a.station_id join site s on s.company_id = a.company_id and s.id = a.site_id
  where a.company_id = current_company() and a.status = 'live' and (a.valid_from is null or a.valid_from <= $1::date) and (a.valid_to is null or a.valid_to >= $1::date)
    and (s.closed_on is null or s.closed_on > $1::date)`;

export interface LiveAccount {
  /** key of the station */
  station: string; accountNumber: string; name: string;
  accountId: string | null; siteId: string | null;
  /** our schedule knows it as live */
  onSchedule: boolean;
  /** its site owes a duty on the day; without one nothing is due, so nothing can be on time */
  hasDuties: boolean;
}

/**
 * Every live account on `asOf`, by the station's own list: the denominator of 'every monitored site'. `source` is
 * 'schedule' when no station list had been imported by then; the answer is then our own accounts and must be labelled so.
 */
export async function liveAccounts(tx: Sql, asOf: string): Promise<{ source: 'station-list' | 'schedule'; accounts: LiveAccount[] }> {
  const [known] = await tx.sql<{ n: number }>(`select count(*)::int as n from list_import where company_id = current_company() and kind = 'station' and listed_on <= $1::date`, [asOf]);
  const source = known!.n > 0 ? 'station-list' : 'schedule';
  const base = source === 'station-list'
    ? `select t.station, t.account_number, t.name, c.account_id, c.site_id from (${STATION}) t left join (${SCHEDULE}) c on c.station = t.station and c.account_number = t.account_number`
    : `select station, account_number, name, account_id, site_id from (${SCHEDULE}) c`;
  const accounts = await tx.sql<LiveAccount>(`with owed as (select distinct site_id from duty where company_id = current_company() and valid_from <= $1::date and (valid_to is null or valid_to >= $1::date))
    select b.station, b.account_number as "accountNumber", b.name, b.account_id as "accountId", b.site_id as "siteId", b.site_id is not null as "onSchedule", o.site_id is not null as "hasDuties"
    from (${base}) b left join owed o on o.site_id = b.site_id order by 1, 2`, [asOf]);
  return { source, accounts };
}

export interface ListCounts { station: number | null; schedule: number; invoices: number | null; bothListed: number | null; withoutDuties: number }

const LISTS = `with listened as (${STATION}), invoiced as (${INVOICES}), scheduled as (${SCHEDULE}), speaking as (${SPEAKING}),
  listing as (select w.external_key as station from speaking p join station w on w.company_id = current_company() and w.id = p.station_id where p.kind = 'station')`;

/** How many accounts each list names on a day; null where no such list was imported. */
export async function listCounts(tx: Sql, asOf: string): Promise<ListCounts> {
  const [counts] = await tx.sql<ListCounts>(`${LISTS},
      owed as (select distinct site_id from duty where company_id = current_company() and valid_from <= $1::date and (valid_to is null or valid_to >= $1::date))
    select case when exists (select 1 from listing) then (select count(*) from listened)::int end as station,
      (select count(*) from scheduled)::int as schedule,
      case when exists (select 1 from speaking where kind = 'invoice') then (select count(*) from invoiced)::int end as invoices,
      case when exists (select 1 from listing) then (select count(*) from listened join scheduled using (station, account_number))::int end as "bothListed",
      (select count(*) from scheduled where not exists (select 1 from owed where owed.site_id = scheduled.site_id))::int as "withoutDuties"`, [asOf]);
  return counts!;
}

// A list that was never imported says nothing: its absence is no difference. A scheduled account is missed only at a
// station whose list we have.
const FOUND = `${LISTS}, found as (
    select 'station-not-schedule' as kind, t.station, t.account_number, t.name, null::uuid as site_id from listened t
      where not exists (select 1 from scheduled c where c.station = t.station and c.account_number = t.account_number)
    union all
    select 'schedule-not-station', c.station, c.account_number, c.name, c.site_id from scheduled c
      where c.station in (select station from listing) and not exists (select 1 from listened t where t.station = c.station and t.account_number = c.account_number)
    union all
    select 'station-not-invoices', t.station, t.account_number, t.name, c.site_id from listened t left join scheduled c on c.station = t.station and c.account_number = t.account_number
      where exists (select 1 from speaking where kind = 'invoice') and not exists (select 1 from invoiced i where i.account_number = t.account_number)
    union all
    select 'invoices-not-station', '', i.account_number, i.name, (select min(c.site_id::text)::uuid from scheduled c where c.account_number = i.account_number) from invoiced i
      where exists (select 1 from listing) and not exists (select 1 from listened t where t.account_number = i.account_number))`;

/** How many accounts the lists disagree about on a day, by kind. */
export function differenceCounts(tx: Sql, asOf: string): Promise<{ kind: string; count: number }[]> {
  return tx.sql(`${FOUND} select kind, count(*)::int as count from found group by kind`, [asOf]);
}

/**
 * Compares the three lists on `asOf` and keeps each difference as one row with the day it was first seen. One that is no
 * longer found is marked gone; one that comes back is unsettled again. Comparing twice on a day changes nothing.
 */
export async function keepDifferences(tx: Sql, asOf: string): Promise<{ opened: number; gone: number }> {
  const [changes] = await tx.sql<{ opened: number; gone: number }>(`${FOUND},
    opened as (
      insert into list_difference as d (company_id, id, kind, station_key, account_number, name, site_id, first_seen_on, last_seen_on)
      select current_company(), new_uuid7(now()), kind, station, account_number, name, site_id, $1::date, $1::date from found
      on conflict (company_id, kind, station_key, account_number) do update set
        name = excluded.name, site_id = excluded.site_id, last_seen_on = greatest(d.last_seen_on, excluded.last_seen_on), gone_on = null,
        settled_at = case when d.gone_on is null then d.settled_at end, settled_by = case when d.gone_on is null then d.settled_by end, settlement = case when d.gone_on is null then d.settlement end
        where (d.name, d.site_id, d.gone_on) is distinct from (excluded.name, excluded.site_id, null::date) or d.last_seen_on < excluded.last_seen_on
      returning xmax = 0 as new),
    gone as (
      update list_difference d set gone_on = $1::date where d.company_id = current_company() and d.gone_on is null
        and not exists (select 1 from found f where f.kind = d.kind and f.station = d.station_key and f.account_number = d.account_number) returning 1)
    select (select count(*) from opened where new)::int as opened, (select count(*) from gone)::int as gone`, [asOf]);
  return changes!;
}

// ── importing a list ───────────────────────────────────────────────────────

export type ListKind = 'station' | 'invoice';

/** The station by its key, if a list may speak for it. */
export async function stationByKey(tx: Sql, key: string): Promise<{ id: string; name: string } | null> {
  const [station] = await tx.sql<{ id: string; name: string }>('select id, name from station where company_id = current_company() and external_key = $1', [key]);
  return station ?? null;
}

/** The station's id by its key; a station not known yet is made under that key. */
export async function makeStation(tx: Sql, key: string): Promise<string> {
  const known = await stationByKey(tx, key);
  if (known) return known.id;
  const [made] = await tx.sql<{ id: string }>('insert into station (company_id, id, external_key, name) values (current_company(), new_uuid7(now()), $1, $1) returning id', [key]);
  return made!.id;
}

/** `resolved` beside the list of the same kind (and station) that speaks so far. */
export async function resolveListRows(bulk: Bulk, kind: ListKind, stationId: string | null, present: ReadonlySet<string>): Promise<void> {
  const given = (stage: string, otherwise: string) => (present.has(stage) ? `s."${stage}"` : otherwise);
  await bulk.sql(`create temp table previous on commit drop as
    select e.account_number, e.name, e.address, e.status from list_entry e where e.company_id = current_company() and false`);
  await bulk.sql(`insert into previous select e.account_number, e.name, e.address, e.status from list_entry e where e.company_id = current_company() and e.list_id = (
    select id from list_import where company_id = current_company() and kind = $1 and station_id is not distinct from $2::uuid order by listed_on desc, imported_at desc, id desc limit 1)`, [kind, stationId]);
  await bulk.sql(`create temp table resolved on commit drop as
    select s.row, s.number, s.name, ${given('address', 'null::text')} as address, ${given('status', `'live'`)} as status, p.account_number as existing_id,
      p.account_number is not null and (p.name, p.address, p.status) is distinct from (s.name, ${given('address', 'null::text')}, ${given('status', `'live'`)}) as differs
    from staged s left join previous p on p.account_number = s.number`);
}

/** Keeps the resolved rows as a list that speaks for `listedOn`. */
export async function writeList(bulk: Bulk, list: { id: string; kind: ListKind; stationId: string | null; listedOn: string; fileName: string; digest: string; by: string }, now: Date): Promise<void> {
  await bulk.sql(`insert into list_import (company_id, id, kind, station_id, listed_on, file_name, digest, imported_at, imported_by) values (current_company(), $1, $2, $3, $4, $5, $6, $7, $8)`,
    [list.id, list.kind, list.stationId, list.listedOn, list.fileName, list.digest, now, list.by]);
  await bulk.sql(`insert into list_entry (company_id, list_id, row, account_number, name, address, status)
    select current_company(), $1::uuid, row, number, name, address, status from resolved order by row`, [list.id]);
}

/** Whether this very list, for this day, is the one that speaks: keeping it again would say nothing new. */
export async function listSpeaksAlready(tx: Sql, kind: ListKind, stationId: string | null, digest: string): Promise<boolean> {
  const [latest] = await tx.sql<{ digest: string }>(`select digest from list_import where company_id = current_company() and kind = $1 and station_id is not distinct from $2::uuid
    order by listed_on desc, imported_at desc, id desc limit 1`, [kind, stationId]);
  return latest?.digest === digest;
}

export interface ListRowSql { id: string; kind: ListKind; station: string | null; listedOn: string; fileName: string; importedAt: Date; entries: number; live: number }

export function recentLists(tx: Sql, limit: number): Promise<ListRowSql[]> {
  return tx.sql(`select l.id, l.kind, w.name as station, l.listed_on::text as "listedOn", l.file_name as "fileName", l.imported_at as "importedAt",
      count(e.row)::int as entries, count(e.row) filter (where e.status = 'live')::int as live
    from (select * from list_import where company_id = current_company() order by listed_on desc, imported_at desc limit $1) l
    left join station w on w.company_id = l.company_id and w.id = l.station_id
    left join list_entry e on e.company_id = l.company_id and e.list_id = l.id
    group by l.id, l.kind, w.name, l.listed_on, l.file_name, l.imported_at order by l.listed_on desc, l.imported_at desc`, [limit]);
}
