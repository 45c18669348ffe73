import { termsOf, type Round, type WeekPlan } from './plan.js';
import type { Technician, Visit, WeekProblem } from './problem.js';
import { recomputeCost } from './check-plan.js';
import { whyNot } from './eligibility.js';
import { timeRound } from './timing.js';

/**
 * What a person without a tool does: each technician, day by day, drives to the nearest visit that still fits.
 * The yardstick that solve() must beat. Two-person visits and those with a key stay out.
 */
export function nearestNeighbour(problem: WeekProblem): WeekPlan {
  const keyed = new Set(problem.visits.map((v) => v.errand?.of));
  const left = new Map<string, Visit>(problem.visits.filter((v) => v.persons !== 2 && !keyed.has(v.id) && v.errand === undefined).map((v) => [v.id, v]));
  const rounds: Round[] = [];
  for (const day of problem.days) {
    for (const technician of problem.technicians) {
      const shift = technician.shifts.find((s) => s.day === day);
      if (shift === undefined) continue;
      const chosen: Visit[] = [];
      let round: Round | null = null;
      let place = technician.home;
      for (;;) {
        const near = [...left.values()].filter((v) => whyNot(v, technician, day, 'first') === null && inStock(technician, [...chosen, v]))
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
  const unplaced = problem.visits.filter((v) => !served.has(v.id) && v.errand === undefined).map((v) => ({
    visitId: v.id, reason: { rule: 'full' as const, words: 'nearest neighbour found no place' }, lapses: v.lapseDay != null && v.lapseDay <= last,
  }));
  const bare = { rounds, unplaced, cost: [] };
  return { ...bare, cost: termsOf(recomputeCost(problem, bare)) };
}

function inStock(technician: Technician, visits: readonly Visit[]): boolean {
  const used = new Map<string, number>();
  for (const v of visits) for (const [part, n] of Object.entries(v.uses ?? {})) used.set(part, (used.get(part) ?? 0) + n);
  return [...used].every(([part, n]) => n <= (technician.stock?.[part] ?? 0));
}
