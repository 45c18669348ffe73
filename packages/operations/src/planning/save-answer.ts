import type { PlanHead, WeekQuestion } from '@bellround/contracts';
import { addDays, localDate } from '@bellround/recurrence';
import type { Act, Ctx } from '../perform.js';
import { dbDay, note, own } from '../steps.js';
import { visitIdOf } from '../week-parts.js';
import type { Made } from '../week-tasks.js';
import { draftMadeBefore, lockPlan, newDraft, type LoadedWeek } from './steps.js';

/**
 * Keeps the repair of a question as a draft, and what was said as a fact: an absence, travel of a day, a longer visit, a closed site. The
 * published plan stays until the draft is published; technicians are told then. Throws Stale when the plan it was computed from
 * changed meanwhile.
 */
export const saveAnswer: Act<{ planId: string; newPlanId: string; revision: number; question: WeekQuestion; title: string; week: LoadedWeek; made: Made }, PlanHead> = async (ctx, input) => {
  const { week, made } = input;
  const row = await lockPlan(ctx, input.planId);
  const before = await draftMadeBefore(ctx, input.newPlanId, input.planId, input.title);
  if (before) return before;
  await lockPlan(ctx, input.planId, input.revision);
  await keepFact(ctx, input.question, week.weekStart, week.today);
  const head = await newDraft(ctx, input.newPlanId, row, input.title, made, week.unplannable);
  await note(ctx, { act: 'keep-answer', about: 'week', id: head.id, summary: `A draft of the week of ${head.weekStart}: ${input.title}` });
  return head;
};

async function keepFact(ctx: Ctx, question: WeekQuestion, weekStart: string, today: string): Promise<void> {
  if (question.kind === 'away') {
    const covered = await ctx.tx.db.absence.findFirst({ where: { ...own(ctx), technicianId: question.technicianId, fromDay: { lte: dbDay(question.fromDay) }, toDay: { gte: dbDay(question.toDay) } } });
    if (covered) return;
    await ctx.tx.db.absence.create({ data: { ...own(ctx), id: ctx.newId(), technicianId: question.technicianId, fromDay: dbDay(question.fromDay), toDay: dbDay(question.toDay), reason: question.reason, enteredAt: ctx.now } });
    await note(ctx, { act: 'add-absence', about: 'technician', id: question.technicianId, summary: `Away ${question.fromDay} to ${question.toDay} (${question.reason})` });
  } else if (question.kind === 'travel') {
    const said = { percent: question.percent, reason: question.reason, enteredAt: ctx.now, enteredBy: ctx.who.userId };
    await ctx.tx.db.dayTravel.upsert({ where: { companyId_day: { ...own(ctx), day: dbDay(question.day) } }, create: { ...own(ctx), day: dbDay(question.day), ...said }, update: said });
  } else if (question.kind === 'closed') {
    const visit = await ctx.tx.db.visit.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: visitIdOf(question.visitId) } } });
    const last = addDays(localDate(question.backOn ?? addDays(localDate(weekStart), 7)), -1);
    await ctx.tx.db.siteBlackout.create({ data: { ...own(ctx), id: ctx.newId(), siteId: visit.siteId, kind: 'closed', fromDay: dbDay(today), toDay: dbDay(last), reason: question.reason, authority: ctx.who.name, enteredAt: ctx.now } });
  } else if (question.kind === 'overrun') {
    await ctx.tx.db.visit.updateMany({ where: { ...own(ctx), id: visitIdOf(question.visitId) }, data: { serviceMin: { increment: question.extraMin } } });
  }
}
