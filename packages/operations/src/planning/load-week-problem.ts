import { Refusal } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { AS_ESTIMATED, learnedTravel, type TravelOfPlan } from '../road-travel.js';
import { dayText, localDayOf, own } from '../steps.js';
import type { WeekParts } from '../week-parts.js';
import { slackByDay } from '../slack.js';
import { planningRules } from '../week-needs.js';
import { loadWeek, lockPlan, SET_UP_MIN, type LoadedWeek } from './steps.js';

/** What the engine's problem is made of (`problemOf`), and what must be given back when saving. */
export interface WeekToSolve { parts: WeekParts; unplannable: LoadedWeek['unplannable']; told: readonly string[]; slackByDay: Record<string, number>; revision: number; seed: number; seconds: number }

/** Minutes of driving to a breakdown (common practice). */
const USUAL_DRIVE_MIN = 20;

/**
 * Loads the problem of a plan that is to be computed. Computing happens outside any transaction. What travel is counted with is settled
 * here and stays with the plan; `roadsMissing`: why travel by road was not answered, in words.
 */
export const loadWeekProblem: Act<{ planId: string; roadsMissing?: string | null }, WeekToSolve> = async (ctx, { planId, roadsMissing }) => {
  const plan = await lockPlan(ctx, planId);
  if (plan.state !== 'computing') throw new Refusal('WrongState', `This plan is ${plan.state}; nothing is to be computed.`);
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const learned = planningRules(company.settings).learnTravel ? await learnedTravel(ctx, localDayOf(ctx.now, company.timeZone)) : null;
  const travel: TravelOfPlan = { ...AS_ESTIMATED, ...(learned ? { percents: learned.bands.map((band) => band.percent), percent: learned.percent, trips: learned.trips } : {}), why: roadsMissing ?? null };
  await ctx.tx.db.weekPlan.update({ where: { companyId_id: { ...own(ctx), id: planId } }, data: { travel: { ...travel } } });
  const week = await loadWeek(ctx, dayText(plan.weekStart), { ...plan, travel });
  const slack = await slackByDay(ctx, week.rules, week.parts.days, week.today, SET_UP_MIN + USUAL_DRIVE_MIN);
  return { parts: week.parts, told: week.told, slackByDay: slack, unplannable: week.unplannable, revision: plan.revision, seed: plan.seed, seconds: (plan.progress as { of?: number } | null)?.of ?? 8 };
};
