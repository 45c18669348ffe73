import { Refusal, type PlanChange, type WeekAnswer, type WeekQuestion } from '@bellround/contracts';
import { affectedBy, checkPlan, comparePlans, forceIn, repairAbsence, repairClosed, repairOverrun, repairTravel, recomputeCost, termsOf, type Moved, type Repair, type RepairOptions, type Round, type Spot, type WeekPlan, type WeekProblem } from '@bellround/planning';
import { problemOf, visitIdOf } from './week-parts.js';
import type { LoadedWeek } from './week-problem.js';

// The dispatcher's questions to a plan. Asking and keeping compute the same: same plan, same facts, same seed.

/** Steps of the search of a repair: enough to settle a week of forty technicians, and the same answer every time. */
export const REPAIR_STEPS = 1500;
const OPTIONS: RepairOptions = { seed: 1, stop: { iterations: REPAIR_STEPS } };

export interface Answered { readonly title: string; readonly repair: Repair }

/** The repair a question asks for, moving as little as it can. Throws as `searched` does. */
export function answerWeek(week: LoadedWeek, plan: WeekPlan, question: WeekQuestion): Answered {
  const { title, repair } = searched(week, plan, question);
  return { title, repair: steadied(repair, plan) };
}

/** Throws NotFound for an unknown technician or visit, WrongState where the question makes no sense. */
function searched(week: LoadedWeek, plan: WeekPlan, question: WeekQuestion): Answered {
  const problem = problemOf(week.parts);
  switch (question.kind) {
    case 'away': {
      const technician = problem.technicians.find((one) => one.id === question.technicianId);
      if (!technician) throw new Refusal('NotFound', 'There is no technician by that id with a home base.');
      if (question.toDay < question.fromDay) throw new Refusal('BadInput', 'The last day away is before the first.', { errors: [{ path: 'toDay', message: 'must be on or after the first day' }] });
      if (!week.days.some((day) => day >= question.fromDay && day <= question.toDay)) throw new Refusal('BadInput', `${technician.name} would be away outside this week.`, { errors: [{ path: 'fromDay', message: `must touch ${week.days[0]} to ${week.days[6]}` }] });
      return { title: `${technician.name} away ${question.fromDay === question.toDay ? question.fromDay : `${question.fromDay} to ${question.toDay}`} (${question.reason})`, repair: repairAbsence(freed(problem, question), plan, question.technicianId, question.fromDay, question.toDay, OPTIONS) };
    }
    case 'travel':
      if (!week.days.includes(question.day)) throw new Refusal('BadInput', `${question.day} is not in this week.`, { errors: [{ path: 'day', message: `must be from ${week.days[0]} to ${week.days[6]}` }] });
      return { title: `Travel at ${question.percent} % on ${question.day} (${question.reason})`, repair: repairTravel(problem, plan, question.day, question.percent / 100, OPTIONS) };
    case 'overrun': {
      const round = roundOf(plan, question.visitId);
      if (!round) throw new Refusal('WrongState', 'This visit is on no round of this plan; only a visit on a round can overrun.');
      return { title: `${nameOf(week, question.visitId)} takes ${question.extraMin} min longer`, repair: repairOverrun(problem, plan, { technicianId: round.technicianId, day: round.day, visitId: question.visitId, extraMin: question.extraMin }, OPTIONS) };
    }
    case 'closed': {
      if (!roundOf(plan, question.visitId)) throw new Refusal('WrongState', 'This visit is on no round of this plan; only a visit on a round has to move.');
      return { title: `${nameOf(week, question.visitId)}: ${question.reason}, ${question.backOn === null ? 'not this week' : `not before ${question.backOn}`}`, repair: repairClosed(problem, plan, question.visitId, question.backOn, OPTIONS) };
    }
    case 'force': {
      const visit = problem.visits.find((one) => one.id === question.visitId);
      if (!visit) throw new Refusal('NotFound', 'This visit is not waiting to be planned in this week.');
      return { title: `${nameOf(week, question.visitId)} must be in`, repair: forceIn(problem, plan, visit, OPTIONS) };
    }
  }
}

/**
 * The repair with every round put back as it was whose visits are the same as before: the search orders rounds anew at no price, and
 * each start that moves is a call to make. What would break a rule put back (other travel on a stormy day) stays as the search left it.
 */
export function steadied(repair: Repair, before: WeekPlan): Repair {
  const key = (round: Round) => `${round.technicianId} ${round.day}`;
  const holds = (round: Round) => round.stops.map((stop) => `${stop.visitId} ${stop.joins ?? ''} ${stop.second ?? ''}`).sort().join();
  const old = new Map(before.rounds.map((round) => [key(round), round]));
  let back = new Set(repair.plan.rounds.filter((round) => { const was = old.get(key(round)); return was !== undefined && holds(was) === holds(round); }).map(key));
  while (back.size > 0) {
    const rounds = repair.plan.rounds.map((round) => (back.has(key(round)) ? old.get(key(round))! : round));
    const bare: WeekPlan = { rounds, unplaced: repair.plan.unplaced, cost: [] };
    const plan: WeekPlan = { ...bare, cost: termsOf(recomputeCost(repair.problem, bare)) };
    const broken = checkPlan(repair.problem, plan);
    if (broken.length === 0) return { ...repair, plan, ...comparePlans(before, plan) };
    const at = new Set(broken.map((one) => `${one.technicianId ?? ''} ${one.day ?? ''}`));
    const kept = new Set([...back].filter((one) => !at.has(one)));
    if (kept.size === back.size) break; // what is broken lies elsewhere: the search's own plan is taken
    back = kept;
  }
  return repair;
}

/** Who is pushed by an overrun when nothing is done; nobody by any other question. */
export function pushedBy(week: LoadedWeek, plan: WeekPlan, question: WeekQuestion): WeekAnswer['affected'] {
  if (question.kind !== 'overrun') return [];
  const round = roundOf(plan, question.visitId);
  if (!round) return [];
  return affectedBy(problemOf(week.parts), plan, { technicianId: round.technicianId, day: round.day, visitId: question.visitId, extraMin: question.extraMin })
    .map((one) => ({ visitId: one.visitId, siteName: nameOf(week, one.visitId), technicianId: one.technicianId, wasMin: one.wasMin, startMin: one.startMin, breaks: [...one.breaks] }));
}

/** A visit that has begun and belongs to somebody who now goes home is no longer held to a start: it is simply gone from the round. */
function freed(problem: WeekProblem, { technicianId, fromDay, toDay }: { technicianId: string; fromDay: string; toDay: string }): WeekProblem {
  const visits = problem.visits.filter((visit) => !(visit.pinned?.startMin !== undefined && visit.pinned.technicianId === technicianId && (visit.pinned.day ?? '') >= fromDay && (visit.pinned.day ?? '') <= toDay));
  return { ...problem, visits };
}

export function roundOf(plan: { rounds: readonly Round[] }, visitId: string): Round | undefined {
  return plan.rounds.find((round) => round.stops.some((stop) => stop.visitId === visitId && stop.joins === undefined));
}

export function nameOf(week: LoadedWeek, visitId: string): string {
  return week.visits.find((visit) => visit.id === visitIdOf(visitId))?.siteName ?? 'a visit that has begun';
}

/** The visits that stand elsewhere in the second plan, with names; begun ones are left out: nobody moves them any more. */
export function changesBetween(week: LoadedWeek, before: { rounds: readonly Round[] }, after: { rounds: readonly Round[] }): PlanChange[] {
  const names = new Map(week.technicians.map((one) => [one.id, one.name]));
  const visits = new Map(week.visits.map((visit) => [visit.id, visit]));
  const spot = (one: Spot | null) => (one === null ? null : { ...one, technicianName: names.get(one.technicianId) ?? 'somebody who left' });
  const { moved, shifted } = comparePlans(before, after);
  const row = (one: Moved, kind: PlanChange['kind']): PlanChange[] => {
    const visit = visits.get(visitIdOf(one.visitId));
    return visit ? [{ visitId: visit.id, siteId: visit.siteId, siteName: partName(visit.siteName, one.visitId), kind, from: spot(one.from), to: spot(one.to), promise: visit.promise }] : [];
  };
  return [...moved.flatMap((one) => row(one, one.from === null ? 'added' : one.to === null ? 'removed' : 'moved')), ...shifted.flatMap((one) => row(one, 'shifted'))]
    .sort((a, b) => ORDER_OF_CHANGE.indexOf(a.kind) - ORDER_OF_CHANGE.indexOf(b.kind) || a.siteName.localeCompare(b.siteName));
}
/** A site's name with the part of the visit that a stop is, where it is not the whole. */
export function partName(siteName: string, stopId: string): string {
  const [, ...parts] = stopId.split('#');
  const words = parts.map((part) => ({ silent: 'silent part', sounding: 'sounding part', collect: 'collect the key', return: 'return the key' })[part] ?? part);
  return words.length === 0 ? siteName : `${siteName} (${words.join(', ')})`;
}
const ORDER_OF_CHANGE = ['moved', 'removed', 'added', 'shifted'];

/** What a plan leaves out, one row per visit: of a visit in two parts what each part says. */
export function unplacedRows(plan: Pick<WeekPlan, 'unplaced'>): { visitId: string; rule: string; words: string; lapses: boolean }[] {
  const rows = new Map<string, { visitId: string; rule: string; words: string; lapses: boolean }>();
  for (const one of plan.unplaced) {
    const [visitId, part] = one.visitId.split('#') as [string, string | undefined];
    const words = part === undefined ? one.reason.words : `${part} part: ${one.reason.words}`;
    const known = rows.get(visitId);
    rows.set(visitId, known ? { ...known, words: `${known.words}; ${words}`, lapses: known.lapses || one.lapses } : { visitId, rule: one.reason.rule, words, lapses: one.lapses });
  }
  return [...rows.values()];
}
