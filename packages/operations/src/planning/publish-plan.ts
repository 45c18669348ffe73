import { Refusal, type PlanHead } from '@bellround/contracts';
import { stampPublishedVisits } from '@bellround/database';
import { checkPlan, type CostTerm, type Round } from '@bellround/planning';
import type { Act } from '../perform.js';
import { dayText, note, own } from '../steps.js';
import { loadWeek, lockPlan, planHead, storedPlan } from './steps.js';

/**
 * Makes a draft the week's rounds. Every hard rule is checked again on the facts of now (a licence may have lapsed, an
 * absence been entered since), by the engine's independent checker. The plan that was published before is kept for the record.
 */
export const publishPlan: Act<{ planId: string; revision: number }, PlanHead> = async (ctx, input) => {
  const row = await lockPlan(ctx, input.planId);
  if (row.state === 'published') return withCounts(ctx, row.id);
  await lockPlan(ctx, input.planId, input.revision);
  if (row.state !== 'draft') throw new Refusal('WrongState', `This plan is ${row.state}; only a draft can be published.`);
  const week = await loadWeek(ctx, dayText(row.weekStart));
  const reasons = await ctx.tx.db.planUnplaced.findMany({ where: { ...own(ctx), planId: row.id } });
  const stored = row.rounds as unknown as Round[];
  const plan = storedPlan(week.problem, stored, reasons, row.cost as unknown as CostTerm[]);
  const gone = stored.flatMap((round) => round.stops).filter((stop) => !week.problem.visits.some((visit) => visit.id === stop.visitId)).length;
  if (gone > 0) throw new Refusal('Stale', `${gone} visits of this plan have begun, ended or been withdrawn since it was computed. Compute the plan again.`);
  const broken = checkPlan(week.problem, plan).filter((violation) => violation.rule !== 'cost' && violation.rule !== 'missing' && violation.rule !== 'times');
  if (broken.length > 0) throw new Refusal('RuleBroken', broken.map((one) => one.words).join('; '), { data: { broken: broken.map((one) => one.words) } });
  const replaced = await ctx.tx.db.weekPlan.findMany({ where: { ...own(ctx), weekStart: row.weekStart, state: 'published' }, select: { id: true } });
  await ctx.tx.db.weekPlan.updateMany({ where: { ...own(ctx), id: { in: replaced.map((one) => one.id) } }, data: { state: 'superseded' } });
  await ctx.tx.db.weekPlan.update({ where: { companyId_id: { ...own(ctx), id: row.id } }, data: { state: 'published', publishedAt: ctx.now, publishedBy: ctx.who.userId, revision: { increment: 1 } } });
  await stampPublishedVisits(ctx.tx, row.id, replaced.map((one) => one.id));
  const head = await withCounts(ctx, row.id);
  await note(ctx, { act: 'publish-plan', about: 'week', id: row.id, summary: `The week of ${head.weekStart} was published: ${head.placed} visits, ${head.unplaced} left out` });
  return head;
};

async function withCounts(ctx: Parameters<typeof publishPlan>[0], planId: string): Promise<PlanHead> {
  return planHead(await ctx.tx.db.weekPlan.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: planId } }, include: { _count: { select: { stops: true, unplaced: true } } } }));
}
