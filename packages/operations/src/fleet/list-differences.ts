import type { DifferenceKind, DifferenceRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { differenceRows } from './steps.js';

const SHOWN = { unsettled: { goneOn: null, settledAt: null }, settled: { goneOn: null, settledAt: { not: null } }, gone: { goneOn: { not: null } }, all: {} };

/** Each account on which the lists disagree, what fell off the schedule first (kind, descending, gives that order), then what nobody has looked at longest. */
export const listDifferences: Act<{ kind?: DifferenceKind | undefined; show: keyof typeof SHOWN; search?: string | undefined; limit: number; offset: number }, { rows: DifferenceRow[]; total: number }> = async (ctx, input) => {
  const like = input.search ? { contains: input.search, mode: 'insensitive' as const } : null;
  const where = { ...own(ctx), ...SHOWN[input.show], ...(input.kind ? { kind: input.kind } : {}), ...(like ? { OR: [{ name: like }, { accountNumber: like }] } : {}) };
  const total = await ctx.tx.db.listDifference.count({ where });
  const found = await ctx.tx.db.listDifference.findMany({ where, orderBy: [{ kind: 'desc' }, { firstSeenOn: 'asc' }, { accountNumber: 'asc' }, { id: 'asc' }], take: input.limit, skip: input.offset });
  return { total, rows: await differenceRows(ctx, found) };
};
