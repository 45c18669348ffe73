import type { PlaceUrgent, PlanHead } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dbDay, note, own } from '../steps.js';
import type { Made } from '../week-tasks.js';
import { draftMadeBefore, lockPlan, newDraft, type LoadedWeek } from './steps.js';

/**
 * Makes the urgent visit and puts it on a round, in a draft of its own: the plan it was asked of stays as it is. Throws Stale when
 * that plan changed since the place was computed.
 */
export const saveUrgent: Act<{ asked: PlaceUrgent; label: string; revision: number; siteName: string; week: LoadedWeek; made: Made }, PlanHead> = async (ctx, { asked, label, revision, siteName, week, made }) => {
  const row = await lockPlan(ctx, asked.planId);
  const before = await draftMadeBefore(ctx, asked.newPlanId, asked.planId, label);
  if (before) return before;
  await lockPlan(ctx, asked.planId, revision);
  await ctx.tx.db.visit.create({ data: {
    ...own(ctx), id: asked.visitId, siteId: asked.siteId, kind: 'urgent', state: 'wanted', title: asked.title, serviceMin: asked.serviceMin, persons: asked.persons, skills: asked.skills, mustBy: asked.byDay === null ? null : dbDay(asked.byDay), createdAt: ctx.now } });
  const head = await newDraft(ctx, asked.newPlanId, row, label, made, week.unplannable);
  await note(ctx, { act: 'place-urgent', about: 'visit', id: asked.visitId, siteId: asked.siteId, summary: `Urgent at ${siteName}: ${asked.title}; placed in a draft on ${asked.day}` });
  return head;
};
