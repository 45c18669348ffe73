import type { PlanHead } from '@bellround/contracts';
import { Refusal } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note } from '../steps.js';
import { nameOf } from '../week-answer.js';
import type { Made } from '../week-tasks.js';
import { lockPlan, writePlan, type LoadedWeek } from './steps.js';

/** Saves a draft in which a visit was moved. Throws Stale when it changed since the move was computed. */
export const saveMove: Act<{ planId: string; revision: number; to: { visitId: string; technicianId: string | null; day?: string | undefined }; week: LoadedWeek; made: Made }, PlanHead> = async (ctx, { planId, revision, to, week, made }) => {
  const row = await lockPlan(ctx, planId, revision);
  if (row.state !== 'draft') throw new Refusal('WrongState', `This plan is ${row.state}; only a draft is changed. Compute or copy a new draft first.`);
  const head = await writePlan(ctx, planId, made.plan, week.unplannable, 'draft', made);
  const siteName = nameOf(week, to.visitId);
  const who = week.technicians.find((one) => one.id === to.technicianId)?.name;
  await note(ctx, { act: 'move-stop', about: 'week', id: planId, siteId: week.visits.find((visit) => visit.siteName === siteName)?.siteId ?? null, summary: who ? `${siteName}: moved to ${who}${to.day ? `, ${to.day}` : ''}` : `${siteName}: taken out of the plan` });
  return head;
};
