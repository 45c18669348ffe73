import type { Tx } from '../scoped.js';

/** One event as it is kept; instants as ISO text. */
export interface NewStationEvent {
  id: string; stationId: string | null; accountNumber: string; accountId: string | null; receivedAt: string; code: string; zone: string | null; text: string | null; path: string | null; kind: string | null; qualifier: string | null; raw: string; rawDigest: string;
}

/** Keeps events in one statement; what was kept before stays as it is. Answers how many are new. */
export async function insertStationEvents(tx: Pick<Tx, 'sql'>, rows: readonly NewStationEvent[], source: 'csv' | 'live', recordedAt: Date): Promise<number> {
  if (rows.length === 0) return 0;
  const [made] = await tx.sql<{ n: number }>(`with fresh as (
      insert into station_event (company_id, id, station_id, account_number, account_id, received_at, code, zone, text, path, kind, qualifier, raw, raw_digest, source, recorded_at)
      select current_company(), r.id, r."stationId", r."accountNumber", r."accountId", r."receivedAt", r.code, r.zone, r.text, r.path, r.kind, r.qualifier, r.raw, r."rawDigest", $2, $3::timestamptz
      from json_to_recordset($1::json) as r(id uuid, "stationId" uuid, "accountNumber" text, "accountId" uuid, "receivedAt" timestamptz, code text, zone text, text text, path text, kind text, qualifier text, raw text, "rawDigest" text)
      on conflict (company_id, account_number, received_at, raw_digest) do nothing returning 1)
    select count(*)::int as n from fresh`, [JSON.stringify(rows), source, recordedAt]);
  return made?.n ?? 0;
}

/** One account by a number that a receiver heard. */
export interface AccountHeard { id: string; number: string; stationId: string; siteId: string }

/** The company's accounts that have one of these numbers, in one statement. */
export function accountsByNumber(tx: Pick<Tx, 'sql'>, numbers: readonly string[]): Promise<AccountHeard[]> {
  return tx.sql<AccountHeard>('select id::text, number, station_id::text as "stationId", site_id::text as "siteId" from account where company_id = current_company() and number = any($1::text[])', [numbers]);
}

/**
 * Keeps what a receiver heard in one statement, whatever the batch; a frame kept since `since` under the same digest is left as it
 * is. Answers the accounts' ids of the new ones, one per event.
 */
export async function keepLiveEvents(tx: Pick<Tx, 'sql'>, rows: readonly NewStationEvent[], since: Date, recordedAt: Date): Promise<(string | null)[]> {
  if (rows.length === 0) return [];
  const made = await tx.sql<{ accountId: string | null }>(`insert into station_event (company_id, id, station_id, account_number, account_id, received_at, code, zone, text, path, kind, qualifier, raw, raw_digest, source, recorded_at)
      select current_company(), r.id, r."stationId", r."accountNumber", r."accountId", r."receivedAt", r.code, r.zone, r.text, r.path, r.kind, r.qualifier, r.raw, r."rawDigest", 'live', $3::timestamptz
      from json_to_recordset($1::json) as r(id uuid, "stationId" uuid, "accountNumber" text, "accountId" uuid, "receivedAt" timestamptz, code text, zone text, text text, path text, kind text, qualifier text, raw text, "rawDigest" text)
      where not exists (select 1 from station_event e where e.company_id = current_company() and e.account_number = r."accountNumber" and e.received_at >= $2::timestamptz and e.raw_digest = r."rawDigest")
      on conflict (company_id, account_number, received_at, raw_digest) do nothing returning account_id::text as "accountId"`, [JSON.stringify(rows), since, recordedAt]);
  return made.map((row) => row.accountId);
}

/** What a listener counted of the keys since it last spoke, added in one statement. */
export async function addKeyCounts(tx: Pick<Tx, 'sql'>, rows: readonly { keyId: string; good: number; refused: number; lastGoodAt: string | null }[]): Promise<void> {
  if (rows.length === 0) return;
  await tx.sql(`update receiver_key k set good = k.good + r.good, refused = k.refused + r.refused, last_good_at = greatest(k.last_good_at, r."lastGoodAt")
    from json_to_recordset($1::json) as r("keyId" uuid, good int, refused int, "lastGoodAt" timestamptz) where k.company_id = current_company() and k.id = r."keyId"`, [JSON.stringify(rows)]);
}
