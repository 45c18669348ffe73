import { Refusal, type PlanHead } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { visitIdOf } from '../week-parts.js';
import { lockPlan, planHead } from './steps.js';

/** Holds a visit with its technician and day in every later plan of the week, or lets it go. */
export const pinStop: Act<{ planId: string; revision: number; visitId: string; pinned: boolean }, PlanHead> = async (ctx, input) => {
  const plan = await lockPlan(ctx, input.planId, input.revision);
  if (plan.state !== 'draft' && plan.state !== 'published') throw new Refusal('WrongState', `This plan is ${plan.state}; only a draft or the published plan takes pins.`);
  const visitId = visitIdOf(input.visitId);
  if (input.pinned && await ctx.tx.db.planStop.findFirst({ where: { ...own(ctx), planId: plan.id, visitId, part: { not: '' } }, select: { part: true } })) throw new Refusal('WrongState', 'This visit is made in parts or with a key that is collected; it cannot be pinned. Agree a date with the client instead.');
  const done = await ctx.tx.db.planStop.updateMany({ where: { ...own(ctx), planId: plan.id, visitId }, data: { pinned: input.pinned } });
  if (done.count === 0) throw new Refusal('NotFound', 'This visit is not on a round of this plan.');
  const saved = await ctx.tx.db.weekPlan.update({ where: { companyId_id: { ...own(ctx), id: plan.id } }, data: { revision: { increment: 1 } }, include: { _count: { select: { stops: true, unplaced: true } } } });
  await note(ctx, { act: 'pin-stop', about: 'week', id: plan.id, summary: input.pinned ? 'A visit was pinned' : 'A visit was let go' });
  return planHead(saved);
};
