import { Refusal, type PlanHead } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { lockPlan, planHead } from './steps.js';

/** Puts a draft aside. It stays in the record; dropping it twice is harmless. */
export const dropPlan: Act<{ planId: string; revision: number }, PlanHead> = async (ctx, input) => {
  const row = await lockPlan(ctx, input.planId);
  if (row.state === 'dropped') return planHead(row);
  await lockPlan(ctx, input.planId, input.revision);
  if (row.state !== 'draft') throw new Refusal('WrongState', `This plan is ${row.state}; only a draft is put aside.`);
  const dropped = await ctx.tx.db.weekPlan.update({ where: { companyId_id: { ...own(ctx), id: row.id } }, data: { state: 'dropped', revision: { increment: 1 } }, include: { _count: { select: { stops: true, unplaced: true } } } });
  await note(ctx, { act: 'drop-plan', about: 'week', id: row.id, summary: 'A draft was put aside' });
  return planHead(dropped);
};
