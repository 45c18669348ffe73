import { termsOf, type Round, type WeekPlan } from './plan.js';
import type { Visit, WeekProblem } from './problem.js';
import { recomputeCost } from './check-plan.js';
import { whyNot } from './eligibility.js';
import { timeRound } from './timing.js';

/**
 * What a person without a tool does: each technician, day by day, drives to the nearest visit that still fits.
 * The yardstick that solve() must beat. Two-person visits stay out.
 */
export function nearestNeighbour(problem: WeekProblem): WeekPlan {
  const left = new Map<string, Visit>(problem.visits.filter((v) => v.persons !== 2).map((v) => [v.id, v]));
  const rounds: Round[] = [];
  for (const day of problem.days) {
    for (const technician of problem.technicians) {
      const shift = technician.shifts.find((s) => s.day === day);
      if (shift === undefined) continue;
      const chosen: Visit[] = [];
      let round: Round | null = null;
      let place = technician.home;
      for (;;) {
        const near = [...left.values()].filter((v) => whyNot(v, technician, day, 'first') === null)
          .sort((a, b) => problem.travel.minutes[place][a.place] - problem.travel.minutes[place][b.place] || (a.id < b.id ? -1 : 1));
        let next: Visit | undefined;
        for (const v of near) {
          const trial = timeRound(problem, technician, shift, [...chosen, v].map((visit) => ({ visit })));
          if (trial === null) continue;
          round = trial;
          next = v;
          break;
        }
        if (next === undefined) break;
        chosen.push(next);
        left.delete(next.id);
        place = next.place;
      }
      if (round !== null) rounds.push(round);
    }
  }
  const served = new Set(rounds.flatMap((r) => r.stops.map((s) => s.visitId)));
  const last = problem.days.at(-1) ?? '';
  const unplaced = problem.visits.filter((v) => !served.has(v.id)).map((v) => ({
    visitId: v.id, reason: { rule: 'full' as const, words: 'nearest neighbour found no place' }, lapses: v.lapseDay != null && v.lapseDay <= last,
  }));
  const bare = { rounds, unplaced, cost: [] };
  return { ...bare, cost: termsOf(recomputeCost(problem, bare)) };
}
