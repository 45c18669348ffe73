import type { CostTerm } from '@bellround/planning';
import type { Act } from '../perform.js';
import { own } from '../steps.js';

/** Tells open screens how far computing is; answers whether somebody cancelled it. Changes no revision. */
export const notePlanProgress: Act<{ planId: string; progress: { seconds: number; of: number; iterations: number; unplaced: number; travelMin?: number | null; cost?: readonly CostTerm[] } }, { cancelled: boolean }> = async (ctx, input) => {
  const done = await ctx.tx.db.weekPlan.updateMany({ where: { ...own(ctx), id: input.planId, state: 'computing' }, data: { progress: input.progress as object } });
  await ctx.tx.sql(`select pg_notify('bellround', json_build_object('company', current_company(), 'about', 'week', 'site', null)::text)::text`);
  return { cancelled: done.count === 0 };
};
