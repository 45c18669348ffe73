import { Refusal, type PlaceUrgent, type PlanHead } from '@bellround/contracts';
import { moveEffect } from '@bellround/planning';
import type { Act } from '../perform.js';
import { dbDay, note, own } from '../steps.js';
import { withUrgent } from '../week-problem.js';
import { draftMadeBefore, newDraft, planInWeek } from './steps.js';

/**
 * Makes the urgent visit and puts it on a round, in a draft of its own: the plan it was asked of stays as it is. Throws
 * RuleBroken with each rule in words when it cannot stand there; then nothing is kept.
 */
export const placeUrgent: Act<PlaceUrgent, PlanHead> = async (ctx, input) => {
  const label = `urgent: ${input.title}`;
  const before = await draftMadeBefore(ctx, input.newPlanId, input.planId, label);
  if (before) return before;
  const { row, week, plan } = await planInWeek(ctx, input.planId);
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  if (await ctx.tx.db.visit.findUnique({ where: { companyId_id: { ...own(ctx), id: input.visitId } } })) throw new Refusal('IdReused', 'This id belongs to another visit.');
  if (!week.problem.technicians.some((one) => one.id === input.technicianId)) throw new Refusal('NotFound', 'There is no technician by that id with a home base.');
  const { problem } = withUrgent(week, site, input, input.visitId, ctx.now);
  const effect = moveEffect(problem, plan, {
    visitId: input.visitId, technicianId: input.technicianId, day: input.day, position: input.position,
    ...(input.secondTechnicianId ? { second: { technicianId: input.secondTechnicianId, ...(input.secondPosition === undefined ? {} : { position: input.secondPosition }) } } : {}) });
  if (effect.broken.length > 0) throw new Refusal('RuleBroken', effect.broken.join('; '), { data: { broken: effect.broken } });
  await ctx.tx.db.visit.create({ data: {
    ...own(ctx), id: input.visitId, siteId: site.id, kind: 'urgent', state: 'wanted', title: input.title, serviceMin: input.serviceMin, persons: input.persons, skills: input.skills, mustBy: input.byDay === null ? null : dbDay(input.byDay), createdAt: ctx.now } });
  const head = await newDraft(ctx, input.newPlanId, row, label, effect.plan, problem, week.unplannable);
  await note(ctx, { act: 'place-urgent', about: 'visit', id: input.visitId, siteId: site.id, summary: `Urgent at ${site.name}: ${input.title}; placed in a draft on ${input.day}` });
  return head;
};
