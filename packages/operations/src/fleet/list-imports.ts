import type { ImportKind, ImportRunRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';

/** Uploads, newest first. */
export const listImports: Act<{ search?: string | undefined; limit: number; offset: number }, { rows: ImportRunRow[]; total: number }> = async (ctx, input) => {
  const like = input.search ? { contains: input.search, mode: 'insensitive' as const } : null;
  const where = { ...own(ctx), ...(like ? { OR: [{ fileName: like }, { kind: like }] } : {}) };
  const [total, runs] = [await ctx.tx.db.importRun.count({ where }), await ctx.tx.db.importRun.findMany({ where, orderBy: [{ startedAt: 'desc' }, { id: 'desc' }], take: input.limit, skip: input.offset })];
  return { total, rows: runs.map((run) => ({
    id: run.id, kind: run.kind as ImportKind, fileName: run.fileName, state: run.state as ImportRunRow['state'], startedAt: run.startedAt.toISOString(), endedAt: run.endedAt?.toISOString() ?? null,
    rowsRead: run.rowsRead, rowsGood: run.rowsGood, rowsHeld: run.rowsHeld, rowsNew: run.rowsNew, rowsChanged: run.rowsChanged, rowsSame: run.rowsSame,
  })) };
};
