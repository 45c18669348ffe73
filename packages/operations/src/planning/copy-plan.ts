import type { PlanHead, RoundFinish } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { travelOfPlan } from '../road-travel.js';
import { note } from '../steps.js';
import { dayInWords } from '../reminders/steps.js';
import { draftMadeBefore, newDraft, planInWeek } from './steps.js';

/** A draft with the rounds of a plan, to change by hand: what is published stays what it is until the draft is published. */
export const copyPlan: Act<{ planId: string; newPlanId: string }, PlanHead> = async (ctx, input) => {
  const { row, week, plan } = await planInWeek(ctx, input.planId);
  const label = `copy of the ${row.state} plan of ${dayInWords(row.createdAt.toISOString().slice(0, 10))}`;
  const before = await draftMadeBefore(ctx, input.newPlanId, row.id, label);
  if (before) return before;
  const head = await newDraft(ctx, input.newPlanId, row, label, { plan, finishes: row.finishes as unknown as RoundFinish[], legs: travelOfPlan(row.travel) }, week.unplannable);
  await note(ctx, { act: 'copy-plan', about: 'week', id: head.id, summary: `A draft of the week of ${head.weekStart} was made: ${label}` });
  return head;
};
