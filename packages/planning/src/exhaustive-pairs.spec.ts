import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkPlan, solve, termValue, type Visit, type WeekProblem } from './index.js';
import { Random } from './random.js';

const DAY = '2027-03-01';

/** Two technicians, one day, one or two visits of two persons among three or four. */
function tinyPairs(seed: number): WeekProblem {
  const random = new Random(seed);
  const places = Array.from({ length: 6 }, () => [random.below(30), random.below(30)]);
  const minutes = places.map((a) => places.map((b) => Math.abs(a[0] - b[0]) + Math.abs(a[1] - b[1])));
  const visits = Array.from({ length: 3 + random.below(2) }, (_, i): Visit => {
    const startMin = random.below(60);
    return {
      id: `v${i}`, siteId: `s${i}`, place: 2 + random.below(4), serviceMin: 15 + random.below(25), windows: [{ day: DAY, startMin, endMin: startMin + 30 + random.below(80) }],
      prize: 1 + random.below(9), lapseDay: random.unit() < 0.3 ? DAY : null, ...(i === 0 || (i === 1 && random.unit() < 0.4) ? { persons: 2 as const } : {}), skills: random.unit() < 0.3 ? ['a'] : [],
    };
  });
  const technicians = [0, 1].map((i) => ({
    id: `t${i}`, name: `T${i}`, skills: i === 0 ? ['a'] : [], licences: [], home: i, pairOnly: i === 1 && random.unit() < 0.2,
    shifts: [{ day: DAY, startMin: 0, endMin: 130 + random.below(90), maxOvertimeMin: random.below(30) }],
  }));
  return { days: [DAY], technicians, visits, travel: { kind: 'matrix', minutes }, rates: { balanceMin: 0 } };
}

type Cost = readonly [lapses: number, exposure: number, overtime: number, travel: number];
const less = (a: Cost, b: Cost): boolean => {
  for (let i = 0; i < 4; i++) if (a[i] !== b[i]) return a[i] < b[i];
  return false;
};

/** Both rounds played together: a visit of two starts when both are there. Null when some window or the day is missed, or the two wait for each other crosswise. */
function play(problem: WeekProblem, orders: readonly (readonly Visit[])[]): { overtime: number; travel: number } | null {
  const at = [0, 0];
  const now = problem.technicians.map((t) => t.shifts[0].startMin);
  const place = problem.technicians.map((t) => t.home);
  let travel = 0;
  const drive = (t: number, v: Visit): number => problem.travel.minutes[place[t]][v.place];
  for (;;) {
    const next = [0, 1].find((t) => at[t] < orders[t].length && (orders[t][at[t]].persons !== 2 || orders[1 - t][at[1 - t]] === orders[t][at[t]]));
    if (next === undefined) break;
    const v = orders[next][at[next]];
    const who = v.persons === 2 ? [0, 1] : [next];
    const start = Math.max(v.windows[0].startMin, ...who.map((t) => now[t] + drive(t, v)));
    if (start > v.windows[0].endMin) return null;
    for (const t of who) {
      travel += drive(t, v);
      now[t] = start + v.serviceMin;
      place[t] = v.place;
      at[t]++;
    }
  }
  if ([0, 1].some((t) => at[t] < orders[t].length)) return null;
  let overtime = 0;
  for (const [t, technician] of problem.technicians.entries()) {
    if (orders[t].length === 0) continue;
    const home = problem.travel.minutes[place[t]][technician.home];
    const shift = technician.shifts[0];
    if (now[t] + home > shift.endMin + (shift.maxOvertimeMin ?? 0)) return null;
    travel += home;
    overtime += Math.max(0, now[t] + home - shift.endMin);
  }
  return { overtime, travel };
}

function orders(list: readonly Visit[]): Visit[][] {
  if (list.length === 0) return [[]];
  return list.flatMap((x, i) => orders([...list.slice(0, i), ...list.slice(i + 1)]).map((p) => [x, ...p]));
}

function optimum(problem: WeekProblem): Cost {
  let best: Cost | null = null;
  const may = (t: number, v: Visit): boolean => problem.technicians[t].pairOnly !== true && (v.skills ?? []).every((s) => problem.technicians[t].skills.includes(s));
  const assign = (i: number, lists: readonly [Visit[], Visit[]], out: readonly Visit[]): void => {
    if (i === problem.visits.length) {
      const left: Cost = [out.filter((v) => v.lapseDay != null).length, out.reduce((s, v) => s + (v.prize ?? 1), 0), 0, 0];
      if (best !== null && (left[0] > best[0] || (left[0] === best[0] && left[1] > best[1]))) return;
      for (const a of orders(lists[0])) {
        for (const b of orders(lists[1])) {
          const done = play(problem, [a, b]);
          const cost: Cost | null = done === null ? null : [left[0], left[1], done.overtime, done.travel];
          if (cost !== null && (best === null || less(cost, best))) best = cost;
        }
      }
      return;
    }
    const v = problem.visits[i];
    assign(i + 1, lists, [...out, v]);
    if (v.persons === 2) {
      if (may(0, v) || may(1, v)) assign(i + 1, [[...lists[0], v], [...lists[1], v]], out);
      return;
    }
    if (may(0, v)) assign(i + 1, [[...lists[0], v], lists[1]], out);
    if (may(1, v)) assign(i + 1, [lists[0], [...lists[1], v]], out);
  };
  assign(0, [[], []], []);
  return best ?? [0, 0, 0, 0];
}

describe('exhaustive optimum with two-person visits', () => {
  for (const part of [1, 2]) it(`[PLN-5][PLN-15] on 250 tiny days the search reaches the exact optimum with common starts, part ${part} of 2`, () => {
    let [together, out] = [0, 0];
    fc.assert(fc.property(fc.integer({ min: 1, max: 1_000_000 }), (seed) => {
      const problem = tinyPairs(seed);
      const plan = solve(problem, { seed: 7, stop: { iterations: 2500 } });
      expect(checkPlan(problem, plan)).toEqual([]);
      const found = (['lapses', 'exposure', 'overtime', 'travel'] as const).map((name) => termValue(plan.cost, name));
      expect(found).toEqual([...optimum(problem)]);
      for (const stop of plan.rounds.flatMap((r) => r.stops)) {
        const both = plan.rounds.flatMap((r) => r.stops).filter((s) => s.visitId === stop.visitId);
        const opens = problem.visits.find((v) => v.id === stop.visitId)?.windows[0].startMin;
        if (stop.second !== undefined) expect(stop.startMin === opens || both.some((s) => s.waitMin === 0)).toBe(true);
      }
      if (plan.rounds.some((r) => r.stops.some((s) => s.second !== undefined))) together++;
      if (plan.unplaced.length > 0) out++;
    }), { seed: 20270309 + part, numRuns: 250 });
    expect(together).toBeGreaterThan(125);
    expect(out).toBeGreaterThan(25);
  });
});
