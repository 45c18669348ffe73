import { Refusal, type PlanHead } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { draftMadeBefore, planInWeek } from './steps.js';

/**
 * A plan and its week as they are now, for a question that is then computed outside any transaction. `newPlanId`: a draft made under
 * that id before is `before`. Throws Stale when `revision` is given and is not the plan's.
 */
export const loadQuestion: Act<{ planId: string; newPlanId?: string; revision?: number }, Awaited<ReturnType<typeof planInWeek>> & { before: PlanHead | null }> = async (ctx, input) => {
  const known = input.newPlanId === undefined ? null : await ctx.tx.db.weekPlan.findUnique({ where: { companyId_id: { ...own(ctx), id: input.newPlanId } }, select: { label: true } });
  const asked = await planInWeek(ctx, input.planId);
  if (input.revision !== undefined && asked.row.revision !== input.revision) throw new Refusal('Stale', `Somebody changed this plan since you loaded it (you have revision ${input.revision}, it is at ${asked.row.revision}). Look at it again, then repeat your change.`, { data: { revision: asked.row.revision } });
  return { ...asked, before: known ? await draftMadeBefore(ctx, input.newPlanId!, input.planId, known.label) : null };
};
