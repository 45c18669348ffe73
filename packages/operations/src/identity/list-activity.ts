import type { ActivityRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';

export const listActivity: Act<{ siteId?: string | undefined; limit: number; before?: string | undefined }, { rows: ActivityRow[] }> = async (ctx, input) => {
  const rows = await ctx.tx.db.activity.findMany({
    where: { ...own(ctx), ...(input.siteId ? { siteId: input.siteId } : {}), ...(input.before ? { at: { lt: new Date(input.before) } } : {}) },
    orderBy: [{ at: 'desc' }, { id: 'desc' }], take: input.limit,
  });
  return { rows: rows.map(({ companyId: _, at, ...row }) => ({ ...row, at: at.toISOString() })) };
};
