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
