import type { Act } from '../perform.js';
import { roadsWanted, type RoadsWanted } from '../road-travel.js';
import { dayText } from '../steps.js';
import { loadWeek, lockPlan } from './steps.js';

/** The places of a plan's week, numbered, and the pairs whose travel by road was never answered. */
export const wantRoadTimes: Act<{ planId: string }, RoadsWanted> = async (ctx, { planId }) => {
  const plan = await lockPlan(ctx, planId);
  const week = await loadWeek(ctx, dayText(plan.weekStart), plan);
  return roadsWanted(ctx, week.parts.points);
};
