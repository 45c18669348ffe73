import { urgentByMonth } from '@bellround/database';
import { keepSlack, type WeekProblem } from '@bellround/planning';
import { localDate, weekdayOf } from '@bellround/recurrence';
import type { Ctx } from './perform.js';
import type { PlanningRules } from './week-needs.js';

/** Weeks of one calendar month in two years. */
const WEEKS_OF_A_MONTH = 8.7;
const WEEKS_OF_TWO_YEARS = 104;
/** Months with few cases are drawn to the year's mean as if it were so many more. */
const MEAN_COUNTS = 10;

/** Minutes of urgent work in a week of a month as the past two years say; `perVisit`: what each takes beside its own minutes. */
export function urgentWeek(urgent: readonly { month: number; visits: number; minutes: number }[], month: number, perVisit: number): number {
  const mean = urgent.reduce((sum, one) => sum + one.minutes + one.visits * perVisit, 0) / WEEKS_OF_TWO_YEARS;
  const own = urgent.find((one) => one.month === month);
  const cases = own?.visits ?? 0;
  const value = own ? (own.minutes + own.visits * perVisit) / WEEKS_OF_A_MONTH : mean;
  return (value * cases + mean * MEAN_COUNTS) / (cases + MEAN_COUNTS);
}

/** Minutes to keep free on each working day of a plan, by the company's rule. */
export async function slackByDay(ctx: Ctx, rules: PlanningRules, days: readonly string[], today: string, perVisit: number): Promise<Record<string, number>> {
  if (rules.slack === null) return {};
  const working = days.filter((day) => weekdayOf(localDate(day)) <= 5);
  if (typeof rules.slack === 'number') return Object.fromEntries(working.map((day) => [day, rules.slack as number]));
  const urgent = await urgentByMonth(ctx.tx, today);
  return Object.fromEntries(working.map((day) => [day, Math.round(urgentWeek(urgent, Number(day.slice(5, 7)), perVisit) / 5)]));
}

/** The week with that slack kept, and in words what was kept and what could not be. */
export function withSlack(problem: WeekProblem, minutesByDay: Readonly<Record<string, number>>): { problem: WeekProblem; told: string[] } {
  if (Object.values(minutesByDay).every((minutes) => minutes === 0)) return { problem, told: [] };
  const kept = keepSlack(problem, { minutesByDay });
  const total = kept.kept.reduce((sum, one) => sum + one.minutes, 0);
  return { problem: kept.problem, told: [
    ...(total > 0 ? [`${total} minutes of the week are kept free for breakdowns, in ${kept.kept.length} shifts`] : []),
    ...kept.short.map((one) => `${one.shortMin} minutes for breakdowns could not be kept free on ${one.day}: nobody has half a shift to spare`),
  ] };
}
