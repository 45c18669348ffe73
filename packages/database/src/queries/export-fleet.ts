import type { Bulk } from '../scoped.js';
import { partsOf } from './import-fleet.js';
import { IMPORT_TARGETS, type FleetTable, type ImportTarget } from './import-targets.js';

/**
 * Opens a cursor over all rows of a kind, with the staged columns of its import as column names; each call answers the
 * next `most` rows, and none at the end.
 */
export async function openExport(bulk: Bulk, kind: FleetTable, stages: readonly string[]): Promise<(most: number) => Promise<Record<string, unknown>[]>> {
  const target: ImportTarget = IMPORT_TARGETS[kind];
  const special: Record<string, string> = {
    ...Object.fromEntries(target.refs.map((ref) => [ref.stage, ref.stage === 'zone' ? 'r_zone.number' : `r_${ref.stage}.external_key`])),
    ...(kind === 'accounts' ? { station_name: 'r_station.name', systems: `(select array_agg(y.external_key order by y.external_key) from system y where y.company_id = t.company_id and y.account_id = t.id)` } : {}),
    ...(kind === 'technicians' ? { van_parts: `(${partsOf('t.company_id', 't.id')})` } : {}),
  };
  const columns = stages.map((stage) => `${special[stage] ?? asText(`t.${target.columns[stage]!}`, stage)} as "${stage}"`);
  const order = 'external_key' in Object.fromEntries(Object.values(target.columns).map((column) => [column, true])) ? 't.external_key' : 't.id';
  // The whole table is read: a plan for its first rows would be a bad one.
  await bulk.sql('set local cursor_tuple_fraction = 1');
  await bulk.sql(`declare exported no scroll cursor for select ${columns.join(', ')} from ${target.table} t
    ${target.refs.map((ref) => `left join ${ref.table} r_${ref.stage} on r_${ref.stage}.company_id = t.company_id and r_${ref.stage}.id = t.${ref.into}`).join('\n')}
    where t.company_id = current_company()${target.rows ? ` and ${target.rows}` : ''} order by ${order}`);
  return (most) => bulk.sql(`fetch ${Math.floor(most)} from exported`);
}

// A driver turns a date into a moment of the machine's own zone; the text is the day itself.
function asText(column: string, stage: string): string {
  return /_(on|day)$/.test(stage) || stage === 'valid_from' || stage === 'valid_to' || stage === 'active_from' || stage === 'active_to' ? `${column}::text` : column;
}
