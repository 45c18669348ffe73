import type { Tx } from '../scoped.js';

export interface FirstRunCounts {
  clients: number; sites: number; systems: number; parts: number; accounts: number; technicians: number; programmes: number; duties: number; signIns: number; plans: number; published: number;
  unplacedSites: number; checks: number; stationLists: number; invoiceLists: number;
}

/** What is there of all that a planned week needs; each count stops at `most`, so that a large fleet answers as fast as an empty one. */
export async function firstRunCounts(tx: Pick<Tx, 'sql'>, most: number): Promise<FirstRunCounts> {
  const count = (of: string, where = 'true') => `(select count(*)::int from (select 1 from ${of} where company_id = current_company() and ${where} limit $1) as some_of)`;
  const [row] = await tx.sql<FirstRunCounts>(`select
    ${count('client')} as clients, ${count('site', 'closed_on is null')} as sites, ${count('system', 'retired_on is null')} as systems,
    least($1, ${count('device', 'removed_on is null')} + ${count('battery', 'removed_on is null')} + ${count('path', 'removed_on is null')})::int as parts,
    ${count('account', "status = 'live'")} as accounts, ${count('technician', 'active_to is null and home_lat is not null')} as technicians,
    ${count('programme')} as programmes, ${count('duty', 'valid_to is null')} as duties, ${count('app_user', "role = 'technician' and disabled_at is null")} as "signIns",
    ${count('week_plan', "state in ('draft', 'published', 'superseded')")} as plans, ${count('week_plan', "state in ('published', 'superseded')")} as published,
    ${count('site', 'closed_on is null and lat is null')} as "unplacedSites", ${count('check_record')} as checks,
    ${count('list_import', "kind = 'station'")} as "stationLists", ${count('list_import', "kind = 'invoice'")} as "invoiceLists"`, [most]);
  return row!;
}
