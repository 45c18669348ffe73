import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkPlan, solve, termValue, type Visit, type WeekProblem } from './index.js';
import { Random } from './random.js';

const DAYS = ['2027-03-01', '2027-03-02'];

/** A tiny week: two or three technician-days, up to five visits, tight enough that something often stays out. */
function tinyWeek(seed: number): WeekProblem {
  const random = new Random(seed);
  const places = Array.from({ length: 7 }, () => [random.below(40), random.below(40)]);
  const minutes = places.map((a) => places.map((b) => Math.abs(a[0] - b[0]) + Math.abs(a[1] - b[1])));
  const days = DAYS.slice(0, 1 + random.below(2));
  const technicians = Array.from({ length: days.length === 2 ? 1 + random.below(2) : 2 }, (_, i) => ({
    id: `t${i}`, name: `T${i}`, skills: i === 0 || random.unit() < 0.6 ? ['a', 'b'] : ['a'], licences: [], home: i,
    shifts: days.map((day) => ({ day, startMin: 0, endMin: 120 + random.below(80), maxOvertimeMin: random.below(40), breakMin: random.unit() < 0.5 ? 20 : 0, breakFromMin: 60, breakToMin: 110 })),
  }));
  const visits = Array.from({ length: 3 + random.below(3) }, (_, i): Visit => ({
    id: `v${i}`, siteId: `s${i}`, place: 2 + random.below(5), serviceMin: 10 + random.below(30), skills: [random.unit() < 0.7 ? 'a' : 'b'],
    windows: days.filter(() => random.unit() < 0.8).flatMap((day) => {
      const startMin = random.below(80);
      const first = { day, startMin, endMin: startMin + 10 + random.below(60) };
      return random.unit() < 0.2 ? [first, { day, startMin: first.endMin + 20, endMin: first.endMin + 50 }] : [first];
    }),
    prize: 1 + random.below(9), lapseDay: random.unit() < 0.3 ? days[random.below(days.length)] : null,
  }));
  return { days, technicians, visits, travel: { kind: 'matrix', minutes }, rates: { balanceMin: 0 } };
}

type Cost = readonly [lapses: number, exposure: number, overtime: number, travel: number];

const less = (a: Cost, b: Cost): boolean => {
  for (let i = 0; i < 4; i++) if (a[i] !== b[i]) return a[i] < b[i];
  return false;
};

/** Ends of a round in a given order, the break tried in every gap, before leaving and after arriving. Written apart from the engine. */
function bestEnd(problem: WeekProblem, t: number, dayIndex: number, order: readonly Visit[]): number {
  const technician = problem.technicians[t];
  const day = problem.days[dayIndex];
  const shift = technician.shifts[dayIndex];
  let best = Infinity;
  const walk = (i: number, now: number, place: number, rested: boolean): void => {
    const next = i < order.length ? order[i].place : technician.home;
    const drive = problem.travel.minutes[place][next];
    const arrivals: { at: number; rested: boolean }[] = [{ at: now + drive, rested }];
    if (!rested) {
      const before = Math.max(now, 60);
      if (before <= 110) arrivals.push({ at: before + 20 + drive, rested: true });
      const after = Math.max(now + drive, 60);
      if (after <= 110) arrivals.push({ at: after + 20, rested: true });
    }
    for (const a of arrivals) {
      if (i === order.length) {
        if (a.rested || a.at <= 110) best = Math.min(best, a.at);
        continue;
      }
      for (const w of order[i].windows) {
        if (w.day === day && a.at <= w.endMin) walk(i + 1, Math.max(a.at, w.startMin) + order[i].serviceMin, order[i].place, a.rested);
      }
    }
  };
  walk(0, shift.startMin, technician.home, shift.breakMin === 0);
  return best <= shift.endMin + (shift.maxOvertimeMin ?? 0) ? best : Infinity;
}

function orders(list: readonly Visit[]): Visit[][] {
  if (list.length === 0) return [[]];
  return list.flatMap((x, i) => orders([...list.slice(0, i), ...list.slice(i + 1)]).map((p) => [x, ...p]));
}

function optimum(problem: WeekProblem): Cost {
  const n = problem.visits.length;
  const last = problem.days[problem.days.length - 1];
  const lapse = (v: Visit, day: string | null): number => (v.lapseDay != null && v.lapseDay <= last && (day === null || day > v.lapseDay) ? 1 : 0);
  let table: (Cost | null)[] = new Array<Cost | null>(1 << n).fill(null);
  table[0] = [0, 0, 0, 0];
  problem.technicians.forEach((technician, t) => problem.days.forEach((day, d) => {
    const gain = Array.from({ length: 1 << n }, (_, set) => roundCost(set, t, d));
    const after: (Cost | null)[] = new Array<Cost | null>(1 << n).fill(null);
    for (let set = 0; set < 1 << n; set++) {
      for (let here = set; ; here = (here - 1) & set) {
        const before = table[set & ~here];
        const cost = gain[here];
        if (before !== null && cost !== null) {
          const sum: Cost = [before[0] + cost[0], before[1] + cost[1], before[2] + cost[2], before[3] + cost[3]];
          const known = after[set];
          if (known === null || less(sum, known)) after[set] = sum;
        }
        if (here === 0) break;
      }
    }
    table = after;

    function roundCost(set: number, tech: number, dayAt: number): Cost | null {
      const chosen = problem.visits.filter((_, i) => (set >> i) & 1);
      if (!chosen.every((v) => (v.skills ?? []).every((s) => technician.skills.includes(s)))) return null;
      let best: Cost | null = null;
      for (const order of orders(chosen)) {
        if (order.length === 0) return [0, 0, 0, 0];
        const end = bestEnd(problem, tech, dayAt, order);
        if (end === Infinity) continue;
        const stops = [technician.home, ...order.map((v) => v.place), technician.home];
        const travel = stops.slice(1).reduce((sum, p, i) => sum + problem.travel.minutes[stops[i]][p], 0);
        const cost: Cost = [chosen.reduce((sum, v) => sum + lapse(v, day), 0), 0, Math.max(0, end - technician.shifts[dayAt].endMin), travel];
        if (best === null || less(cost, best)) best = cost;
      }
      return best;
    }
  }));
  let best: Cost | null = null;
  table.forEach((cost, set) => {
    if (cost === null) return;
    const out = problem.visits.filter((_, i) => ((set >> i) & 1) === 0);
    const full: Cost = [cost[0] + out.reduce((s, v) => s + lapse(v, null), 0), out.reduce((s, v) => s + (v.prize ?? 1), 0), cost[2], cost[3]];
    if (best === null || less(full, best)) best = full;
  });
  return best ?? [0, 0, 0, 0];
}

describe('exhaustive optimum', () => {
  it('[PLN-5] on 1,200 tiny random weeks the search reaches the exact optimum, and the checker agrees with its cost', () => {
    let withLeftOut = 0;
    let withOvertime = 0;
    let compared = 0;
    fc.assert(fc.property(fc.integer({ min: 1, max: 1_000_000 }), (seed) => {
      const problem = tinyWeek(seed);
      const plan = solve(problem, { seed: 7, stop: { iterations: 600 } });
      expect(checkPlan(problem, plan)).toEqual([]);
      const found = (['lapses', 'exposure', 'overtime', 'travel'] as const).map((name) => termValue(plan.cost, name));
      expect(found).toEqual([...optimum(problem)]);
      compared++;
      if (plan.unplaced.length > 0) withLeftOut++;
      if (found[2] > 0) withOvertime++;
    }), { seed: 20270301, numRuns: 1200 });
    expect(compared).toBe(1200);
    expect(withLeftOut).toBeGreaterThan(200);
    expect(withOvertime).toBeGreaterThan(50);
  });
});
