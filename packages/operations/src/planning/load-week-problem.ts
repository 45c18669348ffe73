import { Refusal } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dayText } from '../steps.js';
import type { WeekParts } from '../week-parts.js';
import { slackByDay } from '../slack.js';
import { loadWeek, lockPlan, SET_UP_MIN, type LoadedWeek } from './steps.js';

/** What the engine's problem is made of (`problemOf`), and what must be given back when saving. */
export interface WeekToSolve { parts: WeekParts; unplannable: LoadedWeek['unplannable']; told: readonly string[]; slackByDay: Record<string, number>; revision: number; seed: number; seconds: number }

/** Minutes of driving to a breakdown (common practice). */
const USUAL_DRIVE_MIN = 20;

/** Loads the problem of a plan that is to be computed. Computing happens outside any transaction. */
export const loadWeekProblem: Act<{ planId: string }, WeekToSolve> = async (ctx, { planId }) => {
  const plan = await lockPlan(ctx, planId);
  if (plan.state !== 'computing') throw new Refusal('WrongState', `This plan is ${plan.state}; nothing is to be computed.`);
  const week = await loadWeek(ctx, dayText(plan.weekStart), plan);
  const slack = await slackByDay(ctx, week.rules, week.parts.days, week.today, SET_UP_MIN + USUAL_DRIVE_MIN);
  return { parts: week.parts, told: week.told, slackByDay: slack, unplannable: week.unplannable, revision: plan.revision, seed: plan.seed, seconds: (plan.progress as { of?: number } | null)?.of ?? 8 };
};
