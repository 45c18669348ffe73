import type { WeekAnswer, WeekQuestion } from '@bellround/contracts';
import { checkPlan, recomputeCost, type TermName } from '@bellround/planning';
import type { Perform, Who } from './perform.js';
import { loadQuestion } from './planning/load-question.js';
import { changesBetween, unplacedRows } from './planning/steps.js';
import { tellAnswer } from './planning/tell-answer.js';
import { answerWeek, pushedBy } from './week-answer.js';

/**
 * Answers a dispatcher's question with the repair that moves fewest visits, and whom to call about it. Nothing is changed: the same
 * question can be kept as a draft. Loaded in one act, computed outside any transaction, told in a second act, which throws Stale
 * when the plan changed meanwhile.
 */
export async function askWeek(perform: Perform, who: Who, input: { planId: string; question: WeekQuestion }): Promise<WeekAnswer> {
  const { row, week, plan } = await perform(loadQuestion, who, { planId: input.planId });
  const { title, repair } = answerWeek(week, plan, input.question);
  const changes = changesBetween(week, plan, repair.plan);
  const was = recomputeCost(repair.problem, { ...plan, cost: [] });
  return {
    title, changes, affected: pushedBy(week, plan, input.question), calls: await perform(tellAnswer, who, { planId: row.id, revision: row.revision, week, changes }),
    delta: repair.plan.cost.map((term) => ({ ...term, change: Math.round((term.value - (was[term.name as TermName] ?? 0)) * 100) / 100 })),
    rounds: [...repair.plan.rounds], unplaced: [...unplacedRows(repair.plan), ...week.unplannable],
    broken: checkPlan(repair.problem, repair.plan).filter((one) => one.rule !== 'cost').map((one) => one.words),
  };
}
