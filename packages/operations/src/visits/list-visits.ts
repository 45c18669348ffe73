import type { VisitRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dbDay, own } from '../steps.js';
import { visitRows } from './steps.js';

interface Asked { search?: string | undefined; limit: number; offset: number; siteId?: string | undefined; technicianId?: string | undefined; state?: string | undefined; from?: string | undefined; to?: string | undefined }

/** Visits, newest day first; those without a day come first of all, since they wait to be planned. */
export const listVisits: Act<Asked, { rows: VisitRow[]; total: number }> = async (ctx, input) => {
  const where = {
    ...own(ctx), ...(input.siteId ? { siteId: input.siteId } : {}), ...(input.technicianId ? { technicianId: input.technicianId } : {}), ...(input.state ? { state: input.state } : {}),
    ...(input.from || input.to ? { day: { ...(input.from ? { gte: dbDay(input.from) } : {}), ...(input.to ? { lte: dbDay(input.to) } : {}) } } : {}),
    ...(input.search ? { OR: [{ title: { contains: input.search, mode: 'insensitive' as const } }, { site: { name: { contains: input.search, mode: 'insensitive' as const } } }] } : {}),
  };
  const total = await ctx.tx.db.visit.count({ where });
  const rows = await ctx.tx.db.visit.findMany({ where, include: { site: true }, orderBy: [{ day: { sort: 'desc', nulls: 'first' } }, { startMin: 'asc' }, { id: 'asc' }], take: input.limit, skip: input.offset });
  return { rows: await visitRows(ctx, rows), total };
};
