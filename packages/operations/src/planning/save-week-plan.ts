import type { PlanHead, RoundFinish } from '@bellround/contracts';
import type { WeekPlan } from '@bellround/planning';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { visitIdOf } from '../week-parts.js';
import type { Made } from '../week-tasks.js';
import { lockPlan, planHead, writePlan, type LoadedWeek } from './steps.js';

/**
 * Saves what the engine found as a draft. A plan that was cancelled while it computed keeps its best so far; one that was
 * saved already (the job ran twice) is answered as it is. Visits cancelled meanwhile are left out; begun ones stay where they are.
 */
export const saveWeekPlan: Act<{ planId: string; plan: WeekPlan; unplannable: LoadedWeek['unplannable']; finishes?: RoundFinish[]; legs?: Made['legs']; told?: readonly string[] }, PlanHead> = async (ctx, input) => {
  const row = await lockPlan(ctx, input.planId);
  if (row.state !== 'computing' && row.state !== 'cancelled') {
    return planHead(await ctx.tx.db.weekPlan.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: input.planId } }, include: { _count: { select: { stops: true, unplaced: true } } } }));
  }
  const ids = [...input.plan.rounds.flatMap((round) => round.stops.map((stop) => visitIdOf(stop.visitId))), ...input.plan.unplaced.map((one) => visitIdOf(one.visitId))];
  const waiting = new Set((await ctx.tx.db.visit.findMany({ where: { ...own(ctx), id: { in: ids }, state: { in: ['wanted', 'planned', 'published', 'open', 'closed', 'stopped', 'no-access'] } }, select: { id: true } })).map((visit) => visit.id));
  const plan: WeekPlan = {
    ...input.plan,
    rounds: input.plan.rounds.map((round) => ({ ...round, stops: round.stops.filter((stop) => waiting.has(visitIdOf(stop.visitId))) })).filter((round) => round.stops.length > 0),
    unplaced: input.plan.unplaced.filter((one) => waiting.has(visitIdOf(one.visitId))),
  };
  await ctx.tx.db.weekPlan.update({ where: { companyId_id: { ...own(ctx), id: input.planId } }, data: { told: [...(input.told ?? [])] } });
  const head = await writePlan(ctx, input.planId, plan, input.unplannable, 'draft', { finishes: input.finishes ?? [], legs: input.legs ?? { legs: 0, estimated: 0 } });
  await note(ctx, { act: 'save-plan', about: 'week', id: input.planId, summary: `The plan of the week of ${head.weekStart} is ready: ${head.placed} visits placed, ${head.unplaced} left out` });
  return head;
};
