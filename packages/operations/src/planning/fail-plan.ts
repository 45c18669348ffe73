import type { Act } from '../perform.js';
import { note, own } from '../steps.js';

/** Records that computing ended without a plan, with the reason in words. */
export const failPlan: Act<{ planId: string; words: string }, object> = async (ctx, input) => {
  await ctx.tx.db.weekPlan.updateMany({ where: { ...own(ctx), id: input.planId, state: 'computing' }, data: { state: 'failed', label: input.words.slice(0, 300) } });
  await note(ctx, { act: 'fail-plan', about: 'week', id: input.planId, summary: `The plan could not be computed: ${input.words}` });
  return {};
};
