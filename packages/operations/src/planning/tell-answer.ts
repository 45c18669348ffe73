import type { PlanChange, WeekAnswer } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { callsFor, lockPlan, type LoadedWeek } from './steps.js';

/** Whom to call about the changes of an answer. Throws Stale when the plan it was computed from changed meanwhile. */
export const tellAnswer: Act<{ planId: string; revision: number; week: LoadedWeek; changes: readonly PlanChange[] }, WeekAnswer['calls']> = async (ctx, { planId, revision, week, changes }) => {
  await lockPlan(ctx, planId, revision);
  return (await callsFor(ctx, week, changes)).map(({ visitId, siteId, siteName, contact, promise, words }) => ({ visitId, siteId, siteName, contact, promise, words }));
};
