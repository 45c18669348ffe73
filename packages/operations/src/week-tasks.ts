import { Refusal, type MoveInput, type PlanChange, type RoundFinish, type WeekAnswer, type WeekQuestion, type WhyVisit } from '@bellround/contracts';
import { bestPlaces, checkPlan, finishTimes, moveEffect, recomputeCost, type TermName, type WeekPlan, type WeekProblem } from '@bellround/planning';
import { legsOf } from './road-travel.js';
import { withSlack } from './slack.js';
import { squeezeView } from './squeeze-view.js';
import { answerWeek, changesBetween, pushedBy, unplacedRows } from './week-answer.js';
import { comparisonOf } from './week-compare.js';
import { planIn, problemOf, visitIdOf, withUrgent, type UrgentAsked, type UrgentSite, type WeekParts } from './week-parts.js';
import type { LoadedWeek } from './week-problem.js';
import { whyIn } from './week-why.js';

// The computing of the dispatcher's questions: plain data in, plain data out, so that a door runs it in a thread of its own
// while no transaction is open. Acts load before and save after.

export interface Asked { readonly week: LoadedWeek; readonly plan: WeekPlan }
export type Place = WhyVisit['places'][number];
/** What is saved of rounds: the plan, when each round ends, and how much of its travel is estimated. */
export interface Made { readonly plan: WeekPlan; readonly finishes: RoundFinish[]; /** that are driven, and those whose minutes are estimates */ readonly legs: { readonly legs: number; readonly estimated: number } }
export interface UrgentSpot { technicianId: string; day: string; position: number; secondTechnicianId?: string | undefined; secondPosition?: number | undefined }

/** Runs of a round's day; the tenth worst of a hundred is steady enough for a picture. */
const FINISH_RUNS = 100;

/** When each round ends on a usual and on a bad day. A plan whose rounds the engine cannot play as they stand has none. */
export function finishesOf(problem: WeekProblem, plan: Pick<WeekPlan, 'rounds'>): RoundFinish[] {
  return finishTimes(problem, plan, { seed: 1, runs: FINISH_RUNS }).rounds.map(({ technicianId, day, expectedMin, badDayMin }) => ({ technicianId, day, expectedMin: Math.round(expectedMin), badDayMin: Math.round(badDayMin) }));
}

/** What is saved of rounds that a question, a move or a search made. */
export function madeOf(problem: WeekProblem, plan: WeekPlan, parts: WeekParts): Made {
  return { plan, finishes: finishesOf(problem, plan), legs: legsOf(problem, plan, parts.travel.road) };
}
const UNMADE = { finishes: [], legs: { legs: 0, estimated: 0 } };

/** The plan as the week of now knows it. */
const inWeek = ({ week, plan }: Asked): { problem: WeekProblem; plan: WeekPlan } => { const problem = problemOf(week.parts); return { problem, plan: planIn(problem, plan) }; };

/** The engine's problem of a week that is to be planned: slack is kept in a plan, and is there for what comes later. */
export function problemToSolve(week: { parts: WeekParts; told: readonly string[]; slackByDay: Record<string, number> }): { problem: WeekProblem; told: string[] } {
  const slack = withSlack(problemOf(week.parts), week.slackByDay);
  return { problem: slack.problem, told: [...slack.told, ...week.told] };
}

function answer({ question, ...asked }: Asked & { question: WeekQuestion }): Omit<WeekAnswer, 'calls'> & Made {
  const { week } = asked;
  const { plan } = inWeek(asked);
  const { title, repair } = answerWeek(week, plan, question);
  const was = recomputeCost(repair.problem, { ...plan, cost: [] });
  const changes: PlanChange[] = changesBetween(week, plan, repair.plan);
  return {
    title, changes, affected: pushedBy(week, plan, question), ...madeOf(repair.problem, repair.plan, week.parts),
    delta: repair.plan.cost.map((term) => ({ ...term, change: Math.round((term.value - (was[term.name as TermName] ?? 0)) * 100) / 100 })),
    rounds: [...repair.plan.rounds], unplaced: [...unplacedRows(repair.plan), ...week.unplannable],
    broken: checkPlan(repair.problem, repair.plan).filter((one) => one.rule !== 'cost').map((one) => one.words),
  };
}

const named = (week: LoadedWeek, places: ReturnType<typeof bestPlaces>): Place[] => {
  const names = new Map(week.technicians.map((one) => [one.id, one.name]));
  return places.map((place) => ({ ...place, technicianName: names.get(place.technicianId) ?? '' }));
};

function places({ visitId, ...asked }: Asked & { visitId: string }): Place[] {
  const { problem, plan } = inWeek(asked);
  const visit = problem.visits.find((one) => one.id === visitId) ?? problem.visits.find((one) => visitIdOf(one.id) === visitId && one.errand === undefined);
  if (!visit) throw new Refusal('NotFound', 'This visit is not waiting to be planned in this week.');
  return named(asked.week, bestPlaces(problem, plan, visit));
}

function why(asked: Asked & { visitId: string; reasons: readonly { visitId: string; words: string }[] }): WhyVisit {
  return whyIn({ ...asked, ...inWeek(asked) });
}

function rank({ site, asked, ...rest }: Asked & { site: UrgentSite; asked: UrgentAsked }): Place[] {
  const { week } = rest;
  const { plan } = inWeek(rest);
  const { problem, visit } = withUrgent(week, site, asked, 'urgent');
  return named(week, bestPlaces(problem, plan, visit));
}

function urgent({ site, asked, visitId, spot, ...rest }: Asked & { site: UrgentSite; asked: UrgentAsked; visitId: string; spot: UrgentSpot }): Made & { broken: string[] } {
  const { plan } = inWeek(rest);
  const { problem } = withUrgent(rest.week, site, asked, visitId);
  if (!problem.technicians.some((one) => one.id === spot.technicianId)) throw new Refusal('NotFound', 'There is no technician by that id with a home base.');
  const effect = moveEffect(problem, plan, {
    visitId, technicianId: spot.technicianId, day: spot.day, position: spot.position,
    ...(spot.secondTechnicianId ? { second: { technicianId: spot.secondTechnicianId, ...(spot.secondPosition === undefined ? {} : { position: spot.secondPosition }) } } : {}) });
  return { ...(effect.broken.length > 0 ? { ...UNMADE, plan: effect.plan } : madeOf(problem, effect.plan, rest.week.parts)), broken: [...effect.broken] };
}

type Moving = Pick<MoveInput, 'visitId' | 'technicianId' | 'day' | 'position' | 'secondTechnicianId'>;

function move({ to, finishes, ...asked }: Asked & { to: Moving; finishes: boolean }): Made & Pick<WeekAnswer, 'delta' | 'broken'> {
  const { problem, plan } = inWeek(asked);
  if (!problem.visits.some((visit) => visit.id === to.visitId)) throw new Refusal('NotFound', 'This visit is not waiting to be planned in this week.');
  if (to.technicianId !== null && !problem.technicians.some((one) => one.id === to.technicianId)) throw new Refusal('NotFound', 'There is no technician by that id with a home base.');
  const effect = moveEffect(problem, plan, {
    visitId: to.visitId, technicianId: to.technicianId, ...(to.day === undefined ? {} : { day: to.day }), ...(to.position === undefined ? {} : { position: to.position }),
    ...(to.secondTechnicianId === undefined ? {} : { second: { technicianId: to.secondTechnicianId } }) });
  return { ...(finishes && effect.broken.length === 0 ? madeOf(problem, effect.plan, asked.week.parts) : { ...UNMADE, plan: effect.plan }), delta: [...effect.delta], broken: [...effect.broken] };
}

/** Rules a stored plan breaks on the facts of now, and how many of its stops are no longer waiting. */
function check({ stopIds, ...asked }: Asked & { stopIds: readonly string[] }): { broken: string[]; gone: number } {
  const { problem, plan } = inWeek(asked);
  const [waiting, done] = [new Set(problem.visits.map((visit) => visit.id)), new Set(asked.week.done.map((one) => one.visitId))];
  const gone = stopIds.filter((id) => !waiting.has(id) && !done.has(visitIdOf(id))).length;
  const broken = checkPlan(problem, plan).filter((one) => one.rule !== 'cost' && one.rule !== 'missing' && one.rule !== 'times').map((one) => one.words);
  return { broken, gone };
}

function compare({ week, left, right }: { week: LoadedWeek; left: WeekPlan; right: WeekPlan }) {
  return comparisonOf(week, left, right);
}

export const WEEK_TASKS = { answer, places, why, rank, urgent, move, check, compare, squeeze: squeezeView };
export type WeekTasks = typeof WEEK_TASKS;
export type WeekTaskName = keyof WeekTasks;

/** Runs one task somewhere: in a thread at a door, in place in a test. */
export type Compute = <K extends WeekTaskName>(name: K, input: Parameters<WeekTasks[K]>[0]) => Promise<ReturnType<WeekTasks[K]>>;

export const computeHere: Compute = (name, input) => Promise.resolve().then(() => (WEEK_TASKS[name] as (given: unknown) => never)(input));
