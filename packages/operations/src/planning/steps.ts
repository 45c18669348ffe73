import { Refusal, type AccessContact, type PlanChange, type PlanHead } from '@bellround/contracts';
import { accessLines } from '@bellround/database';
import type { CostTerm, Round, WeekPlan } from '@bellround/planning';
import type { Ctx } from '../perform.js';
import { travelOfPlan } from '../road-travel.js';
import { dayInWords } from '../reminders/steps.js';
import { dayText, dbDay, own } from '../steps.js';
import { unplacedRows } from '../week-answer.js';
import { visitIdOf, type WeekParts } from '../week-parts.js';
import type { Made } from '../week-tasks.js';
import { clockText, loadWeek, type LoadedWeek } from '../week-problem.js';
import { partOf } from '../week-visits.js';

export { changesBetween, unplacedRows } from '../week-answer.js';
export { clockText, loadWeek, minuteOf, requireMonday, SET_UP_MIN, weekDays, type LoadedWeek } from '../week-problem.js';

/** How far ahead of its due day a duty is worth a trip of its own. */
export const WORTH_AHEAD_DAYS = 21;

type PlanRow = { id: string; weekStart: Date; state: string; revision: number; createdAt: Date; publishedAt: Date | null; cost: unknown; progress: unknown; label: string; madeFrom: string | null; told?: unknown; travel?: unknown; _count?: { stops: number; unplaced: number } };

export function planHead(plan: PlanRow, counts = plan._count ?? { stops: 0, unplaced: 0 }): PlanHead {
  return {
    label: plan.label, madeFrom: plan.madeFrom, told: (plan.told ?? []) as string[], travel: plan.travel ? travelShown(plan.travel) : null,
    id: plan.id, weekStart: dayText(plan.weekStart), state: plan.state as PlanHead['state'], revision: plan.revision, createdAt: plan.createdAt.toISOString(), publishedAt: plan.publishedAt?.toISOString() ?? null,
    cost: plan.cost as CostTerm[], placed: counts.stops, unplaced: counts.unplaced, progress: (plan.progress as PlanHead['progress']) ?? null,
  };
}

function travelShown(stored: unknown): PlanHead['travel'] {
  const { legs, estimated, percent, trips, why } = travelOfPlan(stored);
  return { legs, estimated, percent, trips, why };
}

/** The plan's row, locked for this transaction. A revision that is not the caller's is Stale: somebody saved in between. */
export async function lockPlan(ctx: Ctx, planId: string, revision?: number) {
  await ctx.tx.sql('select 1 from week_plan where company_id = current_company() and id = $1::uuid for update', [planId]);
  const plan = await ctx.tx.db.weekPlan.findUnique({ where: { companyId_id: { ...own(ctx), id: planId } } });
  if (!plan) throw new Refusal('NotFound', 'There is no plan by that id.');
  if (revision !== undefined && plan.revision !== revision) {
    throw new Refusal('Stale', `Somebody changed this plan since you loaded it (you have revision ${revision}, it is at ${plan.revision}). Look at it again, then repeat your change.`, { data: { revision: plan.revision } });
  }
  return plan;
}

/** The stored rounds as the engine's plan, without visits that have meanwhile begun or gone. */
export function storedPlan({ days, visits, begun }: WeekParts, rounds: Round[], unplaced: { visitId: string; rule: string; words: string; lapses: boolean }[], cost: CostTerm[]): WeekPlan {
  const known = new Set([...visits.map((visit) => visit.id), ...begun.map((one) => one.visitId)]);
  return {
    rounds: rounds.filter((round) => days.includes(round.day)).map((round) => ({ ...round, stops: round.stops.filter((stop) => known.has(visitIdOf(stop.visitId))) })).filter((round) => round.stops.length > 0),
    unplaced: unplaced.filter((one) => known.has(one.visitId)).map((one) => ({ visitId: one.visitId, reason: { rule: one.rule as never, words: one.words }, lapses: one.lapses })), cost,
  };
}

/** Replaces a plan's stops and reasons by the given ones and bumps its revision; set-based. Pins of visits that stay are kept. */
export async function writePlan(ctx: Ctx, planId: string, plan: WeekPlan, unplannable: LoadedWeek['unplannable'], state: string, { finishes, legs }: Pick<Made, 'finishes' | 'legs'>): Promise<PlanHead> {
  const pinned = new Set((await ctx.tx.db.planStop.findMany({ where: { ...own(ctx), planId, pinned: true }, select: { visitId: true } })).map((stop) => stop.visitId));
  await ctx.tx.db.planStop.deleteMany({ where: { ...own(ctx), planId } });
  await ctx.tx.db.planUnplaced.deleteMany({ where: { ...own(ctx), planId } });
  const stops = plan.rounds.flatMap((round) => round.stops.filter((stop) => stop.joins === undefined).map((stop) => ({
    ...own(ctx), planId, visitId: visitIdOf(stop.visitId), part: partOf(stop.visitId), technicianId: round.technicianId, secondTechnicianId: stop.second ?? null, day: dbDay(round.day),
    arriveMin: stop.arriveMin, startMin: stop.startMin, endMin: stop.endMin, travelMin: stop.travelMin, pinned: pinned.has(visitIdOf(stop.visitId)) })));
  const unplaced = [...unplacedRows(plan), ...unplannable];
  await ctx.tx.db.planStop.createMany({ data: stops });
  await ctx.tx.db.planUnplaced.createMany({ data: unplaced.map((one) => ({ ...own(ctx), planId, ...one })) });
  const { travel } = await ctx.tx.db.weekPlan.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: planId } }, select: { travel: true } });
  const saved = await ctx.tx.db.weekPlan.update({ where: { companyId_id: { ...own(ctx), id: planId } }, data: { state, rounds: plan.rounds as object, cost: plan.cost as object, finishes: finishes as object, travel: { ...travelOfPlan(travel), ...legs }, revision: { increment: 1 } } });
  return planHead(saved, { stops: stops.length, unplaced: unplaced.length });
}

/** What the rules of a week are checked on, as one short word: the same word, the same answer. */
export function factsOf(ctx: Pick<Ctx, 'sha256'>, week: LoadedWeek): string {
  return ctx.sha256(JSON.stringify([week.parts, week.done], (key, value: unknown) => (key === 'road' ? (value as { key: string } | null)?.key : value)));
}

export const LOOKED_AT = ['draft', 'published', 'superseded', 'dropped'];

/** A plan by id with its stored rounds, as the engine takes it, in the week as it is now. Throws NotFound; WrongState while it is computed. */
export async function planInWeek(ctx: Ctx, planId: string) {
  const row = await ctx.tx.db.weekPlan.findUnique({ where: { companyId_id: { ...own(ctx), id: planId } }, include: { _count: { select: { stops: true, unplaced: true } } } });
  if (!row) throw new Refusal('NotFound', 'There is no plan by that id.');
  if (!LOOKED_AT.includes(row.state)) throw new Refusal('WrongState', `This plan is ${row.state}; it has no rounds to look at.`);
  const week = await loadWeek(ctx, dayText(row.weekStart), row);
  const reasons = await ctx.tx.db.planUnplaced.findMany({ where: { ...own(ctx), planId: row.id } });
  return { row, week, reasons, plan: storedPlan(week.parts, row.rounds as unknown as Round[], reasons, row.cost as unknown as CostTerm[]) };
}

/** A new draft with these rounds. The same id again answers the same draft. Throws IdReused for a plan of another week. */
export async function newDraft(ctx: Ctx, id: string, from: { id: string; weekStart: Date; seed: number; travel: unknown }, label: string, made: Made, unplannable: LoadedWeek['unplannable']): Promise<PlanHead> {
  await ctx.tx.db.weekPlan.create({ data: { ...own(ctx), id, weekStart: from.weekStart, state: 'draft', seed: from.seed, label, madeFrom: from.id, travel: { ...travelOfPlan(from.travel) }, createdAt: ctx.now, createdBy: ctx.who.userId } });
  const pinned = await ctx.tx.db.planStop.findMany({ where: { ...own(ctx), planId: from.id, pinned: true }, select: { visitId: true } });
  await writePlan(ctx, id, made.plan, unplannable, 'draft', made);
  await ctx.tx.db.planStop.updateMany({ where: { ...own(ctx), planId: id, visitId: { in: pinned.map((one) => one.visitId) } }, data: { pinned: true } });
  return planHead(await ctx.tx.db.weekPlan.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id } }, include: { _count: { select: { stops: true, unplaced: true } } } }));
}

/** The draft made before under this id by the same request, or null. Throws IdReused when the id means something else. */
export async function draftMadeBefore(ctx: Ctx, id: string, from: string, label: string): Promise<PlanHead | null> {
  const before = await ctx.tx.db.weekPlan.findUnique({ where: { companyId_id: { ...own(ctx), id } }, include: { _count: { select: { stops: true, unplaced: true } } } });
  if (!before) return null;
  if (before.madeFrom !== from || before.label !== label) throw new Refusal('IdReused', 'This id belongs to another plan.');
  return planHead(before);
}

/** Whom to call about visits that change, and why, in words. */
export async function callsFor(ctx: Ctx, week: LoadedWeek, changes: readonly PlanChange[]): Promise<(PlanChange & { contact: AccessContact | null; words: string })[]> {
  const told = changes.filter((one) => one.kind !== 'added' || one.promise !== null);
  const lines = new Map((await accessLines(ctx.tx, [...new Set(told.map((one) => one.siteId))], week.today)).map((line) => [line.site_id, line]));
  return told.map((one) => {
    const line = lines.get(one.siteId);
    return { ...one, contact: line ? { name: line.name, phone: line.phone, email: line.email, language: line.language } : null, words: callWords(one) };
  });
}

function callWords(one: PlanChange): string {
  const at = (spot: NonNullable<PlanChange['from']>) => `${spot.technicianName}, ${dayInWords(spot.day)} at ${clockText(spot.startMin)}`;
  const promised = one.promise ? `; agreed was: ${one.promise}` : '';
  if (one.to === null) return `not coming any more (was ${at(one.from!)})${promised}`;
  return one.from === null ? `now ${at(one.to)}${promised}` : `now ${at(one.to)} (was ${at(one.from)})${promised}`;
}
