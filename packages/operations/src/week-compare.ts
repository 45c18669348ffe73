import type { Comparison } from '@bellround/contracts';
import { recomputeCost, termsOf, type CostTerm, type Round, type WeekPlan } from '@bellround/planning';
import { changesBetween } from './week-answer.js';
import { planIn, problemOf } from './week-parts.js';
import type { LoadedWeek } from './week-problem.js';

/** Aims decided strictly one after the other; what follows them is weighed together. */
const STRICT = ['lapses', 'promises', 'exposure', 'overtime'];

/** Two plans of one week side by side, both costed on the facts of now: an old plan's cost was counted on the facts of its day. */
export function comparisonOf(week: LoadedWeek, left: WeekPlan, right: WeekPlan): Omit<Comparison, 'left' | 'right'> {
  const problem = problemOf(week.parts);
  const [a, b] = [left, right].map((plan) => termsOf(recomputeCost(problem, planIn(problem, plan)))) as [CostTerm[], CostTerm[]];
  const terms = a.map((term) => ({ name: term.name, unit: term.unit, left: term.value, right: b.find((one) => one.name === term.name)?.value ?? 0 }));
  const decisive = terms.filter((term) => STRICT.includes(term.name)).find((term) => Math.abs(term.left - term.right) > 0.005) ?? terms.find((term) => term.name === 'travel' && term.left !== term.right);
  return {
    terms, better: decisive === undefined ? 'neither' : decisive.left < decisive.right ? 'left' : 'right', decidedBy: decisive?.name ?? null, changes: changesBetween(week, left, right),
    technicians: week.technicians.map((one) => ({ id: one.id, name: one.name, left: loadOf(left, one.id), right: loadOf(right, one.id) })),
    leftOut: leftOutOf(left, right, new Map(week.visits.map((visit) => [visit.id, visit.siteName]))),
  };
}

function loadOf(plan: WeekPlan, technicianId: string) {
  const rounds = plan.rounds.filter((round: Round) => round.technicianId === technicianId);
  const sum = (of: (round: Round) => number) => Math.round(rounds.reduce((total, round) => total + of(round), 0));
  return { visits: sum((round) => round.stops.length), travelMin: sum((round) => round.travelMin), overtimeMin: sum((round) => round.overtimeMin), workMin: sum((round) => round.stops.reduce((total, stop) => total + stop.endMin - stop.startMin, 0)) };
}

function leftOutOf(left: WeekPlan, right: WeekPlan, names: Map<string, string>): Comparison['leftOut'] {
  const of = (plan: WeekPlan) => new Map(plan.unplaced.map((one) => [one.visitId, one]));
  const [a, b] = [of(left), of(right)];
  return [...new Set([...a.keys(), ...b.keys()])].map((visitId) => ({
    visitId, siteName: names.get(visitId) ?? 'a visit that has begun', left: a.get(visitId)?.reason.words ?? null, right: b.get(visitId)?.reason.words ?? null, lapses: (a.get(visitId) ?? b.get(visitId))!.lapses,
  })).sort((x, y) => Number(y.lapses) - Number(x.lapses) || Number((x.left === null) !== (x.right === null)) - Number((y.left === null) !== (y.right === null)));
}
