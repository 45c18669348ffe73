import type { WeekAnswer, WeekQuestion } from '@bellround/contracts';
import { checkPlan, recomputeCost, type TermName } from '@bellround/planning';
import type { Act } from '../perform.js';
import { answerWeek, pushedBy } from '../week-answer.js';
import { callsFor, changesBetween, planInWeek, unplacedRows } from './steps.js';

/**
 * Answers a dispatcher's question with the repair that moves fewest visits, and whom to call about it. Nothing is changed:
 * the same question can be kept as a draft.
 */
export const askWeek: Act<{ planId: string; question: WeekQuestion }, WeekAnswer> = async (ctx, input) => {
  const { week, plan } = await planInWeek(ctx, input.planId);
  const { title, repair } = answerWeek(week, plan, input.question);
  const changes = changesBetween(week, plan, repair.plan);
  const was = recomputeCost(repair.problem, { ...plan, cost: [] });
  return {
    title, changes, affected: pushedBy(week, plan, input.question), calls: (await callsFor(ctx, week, changes)).map(({ visitId, siteId, siteName, contact, promise, words }) => ({ visitId, siteId, siteName, contact, promise, words })),
    delta: repair.plan.cost.map((term) => ({ ...term, change: Math.round((term.value - (was[term.name as TermName] ?? 0)) * 100) / 100 })),
    rounds: [...repair.plan.rounds], unplaced: [...unplacedRows(repair.plan), ...week.unplannable],
    broken: checkPlan(repair.problem, repair.plan).filter((one) => one.rule !== 'cost').map((one) => one.words),
  };
};
