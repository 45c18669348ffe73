import { Refusal, type PlanHead } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dayText, dbDay, later, note, own } from '../steps.js';
import { planHead, requireMonday } from './steps.js';

/** Asks for a plan of the week; the queue computes it. The same plan id again answers the same plan. */
export const startPlan: Act<{ weekStart: string; planId: string; seed?: number | undefined; seconds: number; inline?: boolean }, PlanHead> = async (ctx, input) => {
  requireMonday(input.weekStart);
  const before = await ctx.tx.db.weekPlan.findUnique({ where: { companyId_id: { ...own(ctx), id: input.planId } }, include: { _count: { select: { stops: true, unplaced: true } } } });
  if (before) {
    if (dayText(before.weekStart) !== input.weekStart) throw new Refusal('IdReused', 'This id belongs to a plan of another week.');
    return planHead(before);
  }
  const plan = await ctx.tx.db.weekPlan.create({ data: {
    ...own(ctx), id: input.planId, weekStart: dbDay(input.weekStart), state: 'computing', seed: input.seed ?? (ctx.seed || 1), createdAt: ctx.now, createdBy: ctx.who.userId,
    progress: { seconds: 0, of: input.seconds, iterations: 0, unplaced: 0 } } });
  await note(ctx, { act: 'start-plan', about: 'week', id: plan.id, summary: `A plan of the week of ${input.weekStart} is being computed` });
  if (!input.inline) await later(ctx, 'plan-week', { planId: plan.id });
  return planHead(plan);
};
