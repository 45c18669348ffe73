import { Refusal } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dayText } from '../steps.js';
import type { WeekParts } from '../week-parts.js';
import { loadWeek, lockPlan, type LoadedWeek } from './steps.js';

/** What the engine's problem is made of (`problemOf`), and what must be given back when saving. */
export interface WeekToSolve { parts: WeekParts; unplannable: LoadedWeek['unplannable']; revision: number; seed: number; seconds: number }

/** Loads the problem of a plan that is to be computed. Computing happens outside any transaction. */
export const loadWeekProblem: Act<{ planId: string }, WeekToSolve> = async (ctx, { planId }) => {
  const plan = await lockPlan(ctx, planId);
  if (plan.state !== 'computing') throw new Refusal('WrongState', `This plan is ${plan.state}; nothing is to be computed.`);
  const week = await loadWeek(ctx, dayText(plan.weekStart), plan);
  return { parts: week.parts, unplannable: week.unplannable, revision: plan.revision, seed: plan.seed, seconds: (plan.progress as { of?: number } | null)?.of ?? 8 };
};
