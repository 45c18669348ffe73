import { Refusal, type MoveAnswer } from '@bellround/contracts';
import { moveEffect, type CostTerm, type Round } from '@bellround/planning';
import type { Act } from '../perform.js';
import { dayText, note, own } from '../steps.js';
import { finishesOf, loadWeek, lockPlan, planHead, storedPlan, writePlan } from './steps.js';

interface MoveInput { planId: string; revision: number; visitId: string; technicianId: string | null; day?: string | undefined; position?: number | undefined; secondTechnicianId?: string | undefined; preview: boolean }

/**
 * Moves a visit in a draft, or only says what the move would do. A move that breaks a rule is never saved; the answer or
 * the refusal names each rule in words.
 */
export const moveStop: Act<MoveInput, MoveAnswer> = async (ctx, input) => {
  const row = await lockPlan(ctx, input.planId, input.revision);
  if (row.state !== 'draft' && !(input.preview && row.state === 'published')) throw new Refusal('WrongState', `This plan is ${row.state}; only a draft is changed. Compute or copy a new draft first.`);
  const week = await loadWeek(ctx, dayText(row.weekStart), row);
  const reasons = await ctx.tx.db.planUnplaced.findMany({ where: { ...own(ctx), planId: row.id } });
  const before = storedPlan(week.problem, row.rounds as unknown as Round[], reasons, row.cost as unknown as CostTerm[]);
  if (!week.problem.visits.some((visit) => visit.id === input.visitId)) throw new Refusal('NotFound', 'This visit is not waiting to be planned in this week.');
  if (input.technicianId !== null && !week.problem.technicians.some((one) => one.id === input.technicianId)) throw new Refusal('NotFound', 'There is no technician by that id with a home base.');
  const effect = moveEffect(week.problem, before, {
    visitId: input.visitId, technicianId: input.technicianId, ...(input.day === undefined ? {} : { day: input.day }), ...(input.position === undefined ? {} : { position: input.position }),
    ...(input.secondTechnicianId === undefined ? {} : { second: { technicianId: input.secondTechnicianId } }) });
  if (!input.preview && effect.broken.length > 0) {
    throw new Refusal('RuleBroken', effect.broken.join('; '), { data: { broken: effect.broken } });
  }
  const head = input.preview ? planHead(row) : await writePlan(ctx, row.id, effect.plan, week.unplannable, 'draft', finishesOf(week.problem, effect.plan));
  if (!input.preview) {
    const site = week.visits.find((visit) => visit.id === input.visitId);
    const who = week.technicians.find((one) => one.id === input.technicianId)?.name;
    await note(ctx, { act: 'move-stop', about: 'week', id: row.id, siteId: site?.siteId ?? null, summary: who ? `${site?.siteName}: moved to ${who}${input.day ? `, ${input.day}` : ''}` : `${site?.siteName}: taken out of the plan` });
  }
  return {
    plan: head, rounds: [...effect.plan.rounds], delta: [...effect.delta], broken: [...effect.broken],
    unplaced: effect.plan.unplaced.map((one) => ({ visitId: one.visitId, rule: one.reason.rule, words: one.reason.words, lapses: one.lapses })),
  };
};
