import { csvLine, importKind, neutralised, stagedColumns, type ImportKind } from '@bellround/contracts';
import { openExport, type FleetTable } from '@bellround/database';
import type { BulkAct } from '../perform.js';

const ROWS_AT_ONCE = 2000;

/**
 * Writes all rows of a kind as CSV with the columns of its import, piece by piece, so that a fleet of any size costs no
 * memory here. Texts that a spreadsheet would run as a formula begin with an apostrophe; the import takes it away again.
 */
export const exportFleet: BulkAct<{ kind: Exclude<ImportKind, 'checks' | 'station-list' | 'invoice-list'>; write: (piece: string) => Promise<void> }, Record<string, never>> = async (ctx, { kind, write }) => {
  const { columns } = importKind(kind);
  const table: FleetTable = kind;
  const next = await openExport(ctx.bulk, table, stagedColumns(columns).map((one) => one.name));
  await write(csvLine(columns.map((one) => one.name)));
  for (let rows = await next(ROWS_AT_ONCE); rows.length > 0; rows = await next(ROWS_AT_ONCE)) {
    await write(rows.map((row) => csvLine(columns.map((one) => {
      const shown = one.cell.show(one.cell.stages.map((stage) => row[`${one.name}${stage.suffix}`] ?? null));
      return one.cell.free ? neutralised(shown) : shown;
    }))).join(''));
  }
  return {};
};
