import type { Act } from '../perform.js';
import { own } from '../steps.js';

/** Ends one session at once. Doing it twice is harmless. */
export const closeSession: Act<{ tokenHash: string }, Record<string, never>> = async (ctx, input) => {
  await ctx.tx.db.session.updateMany({ where: { ...own(ctx), tokenHash: input.tokenHash, revokedAt: null }, data: { revokedAt: ctx.now } });
  return {};
};
