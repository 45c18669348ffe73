import type { SweepResult } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';

export const lastSweep: Act<object, { at: string | null; result: SweepResult | null }> = async (ctx) => {
  const run = await ctx.tx.db.sweepRun.findFirst({ where: { ...own(ctx), kind: 'nightly' }, orderBy: { day: 'desc' } });
  return { at: run?.at.toISOString() ?? null, result: (run?.result as SweepResult | undefined) ?? null };
};
