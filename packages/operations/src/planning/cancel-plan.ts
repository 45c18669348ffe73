import { Refusal, type PlanHead } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { lockPlan, planHead } from './steps.js';

/** Stops computing; the worker saves its best so far as a draft. Cancelling twice is harmless. */
export const cancelPlan: Act<{ planId: string }, PlanHead> = async (ctx, { planId }) => {
  const plan = await lockPlan(ctx, planId);
  if (plan.state === 'cancelled') return planHead(plan);
  if (plan.state !== 'computing') throw new Refusal('WrongState', `This plan is ${plan.state}; only one that is being computed can be cancelled.`);
  const cancelled = await ctx.tx.db.weekPlan.update({ where: { companyId_id: { ...own(ctx), id: planId } }, data: { state: 'cancelled' } });
  await note(ctx, { act: 'cancel-plan', about: 'week', id: planId, summary: 'Computing the plan was cancelled' });
  return planHead(cancelled);
};
