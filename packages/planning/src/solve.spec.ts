import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkPlan, compareCost, exampleWeek, mergeBest, nearestNeighbour, solve, termValue, BadProblem, type Progress, type Visit, type WeekPlan, type WeekProblem } from './index.js';

const SEEDS = { seed: 20270302 };

function shuffledSmall(seed: number): WeekProblem {
  return exampleWeek({ technicians: 3 + (seed % 4), visits: 30 + (seed % 50), seed });
}

describe('solve', () => {
  it('[PLN-4] every plan of 30 rich random weeks passes the independent checker and beats nearest neighbour', () => {
    let pairs = 0;
    let breaks = 0;
    let leftOut = 0;
    fc.assert(fc.property(fc.integer({ min: 1, max: 1_000_000 }), (seed) => {
      const problem = shuffledSmall(seed);
      const plan = solve(problem, { seed: 3, stop: { iterations: 400 } });
      expect(checkPlan(problem, plan)).toEqual([]);
      const yardstick = nearestNeighbour(problem);
      expect(checkPlan(problem, yardstick)).toEqual([]);
      expect(compareCost(plan.cost, yardstick.cost)).toBeLessThan(0);
      pairs += plan.rounds.flatMap((r) => r.stops).filter((s) => s.second !== undefined).length;
      breaks += plan.rounds.filter((r) => r.break !== undefined).length;
      leftOut += plan.unplaced.length;
    }), { ...SEEDS, numRuns: 30 });
    expect(pairs).toBeGreaterThan(10);
    expect(breaks).toBeGreaterThan(100);
    expect(leftOut).toBeGreaterThan(20);
  });

  it('[PLN-6] same problem, seed and iterations: the same plan, byte for byte; another seed may differ', () => {
    const problem = shuffledSmall(77);
    const one = solve(problem, { seed: 5, stop: { iterations: 300 } });
    expect(JSON.stringify(solve(problem, { seed: 5, stop: { iterations: 300 } }))).toBe(JSON.stringify(one));
  });

  it('[PLN-7] no soft term ever pays for a lapse: a low-prize duty that lapses goes before a high prize and overtime', () => {
    const day = '2027-03-01';
    const base = { place: 1, serviceMin: 60, windows: [{ day, startMin: 480, endMin: 480 }] };
    const problem: WeekProblem = {
      days: [day], travel: { kind: 'matrix', minutes: [[0, 90], [90, 0]] },
      technicians: [{ id: 't', name: 'T', skills: [], licences: [], home: 0, shifts: [{ day, startMin: 300, endMin: 400, maxOvertimeMin: 300 }] }],
      visits: [{ ...base, id: 'rich', siteId: 'a', prize: 100_000 }, { ...base, id: 'duty', siteId: 'b', prize: 0.01, lapseDay: day, lapsePenalty: 0.5 }],
    };
    const plan = solve(problem, { seed: 1, stop: { iterations: 100 } });
    expect(plan.rounds[0].stops.map((s) => s.visitId)).toEqual(['duty']);
    expect(plan.unplaced.map((u) => u.visitId)).toEqual(['rich']);
  });

  it('[PLN-8] stops when told, hands back the best so far, and refuses to run without a stop rule', () => {
    const problem = shuffledSmall(5);
    let asked = 0;
    const progress: number[] = [];
    const told: Progress[] = [];
    const plan = solve(problem, { seed: 1, stop: { until: () => ++asked > 3 }, onProgress: (p) => { progress.push(p.iterations); told.push(p); } });
    expect(asked).toBe(4);
    expect(progress.at(-1)).toBe(192);
    // the last word of the search; gaps are filled once more after it
    expect(told.at(-1)?.unplaced).toBeGreaterThanOrEqual(plan.unplaced.length);
    expect(told.at(-1)?.cost.map((t) => t.name)).toEqual(plan.cost.map((t) => t.name));
    expect(compareCost(told.at(-1)?.cost ?? [], told[0].cost)).toBeLessThanOrEqual(0);
    expect(checkPlan(problem, plan)).toEqual([]);
    const cancelled = solve(problem, { seed: 1, stop: {}, cancelled: () => true });
    expect(checkPlan(problem, cancelled)).toEqual([]);
    expect(() => solve(problem, { seed: 1, stop: {} })).toThrow(/stop rule/);
  });

  it('[PLN-9] the better of several seeds is taken by mergeBest', () => {
    const problem = shuffledSmall(12);
    const plans = [1, 2, 3].map((seed) => solve(problem, { seed, stop: { iterations: 60 } }));
    const best = mergeBest(problem, plans);
    for (const p of plans) expect(compareCost(best.cost, p.cost)).toBeLessThanOrEqual(0);
    expect(() => mergeBest(problem, [])).toThrow(RangeError);
  });

  it('[PLN-13] a bad value is named with field, value and what is accepted', () => {
    const problem = shuffledSmall(1);
    const bad = { ...problem, visits: [{ ...problem.visits[0], place: 9999 }, { ...problem.visits[0], serviceMin: -5 }] };
    expect(() => solve(bad, { seed: 1, stop: { iterations: 1 } })).toThrow(BadProblem);
    expect(() => solve(bad, { seed: 1, stop: { iterations: 1 } })).toThrow(/place is 9999, accepted is a place index/);
  });

  it('[PLN-14] a published plan is kept when nothing better is at hand, and a change is counted', () => {
    const problem = shuffledSmall(33);
    const first = solve(problem, { seed: 1, stop: { iterations: 2000 } });
    const again = solve({ ...problem, published: first, rates: { changeMin: 40 } }, { seed: 2, stop: { iterations: 500 } });
    expect(checkPlan({ ...problem, published: first }, again)).toEqual([]);
    const moves = termValue(again.cost, 'change');
    const fresh = solve(problem, { seed: 2, stop: { iterations: 500 } });
    const spot = (p: WeekPlan): Map<string, string> => new Map(p.rounds.flatMap((r) => r.stops.filter((s) => s.joins === undefined).map((s) => [s.visitId, `${r.technicianId} ${r.day}`])));
    const [a, b] = [spot(first), spot(fresh)];
    const freshMoves = [...a].filter(([id, at]) => b.get(id) !== at).length;
    expect(moves).toBeLessThan(freshMoves / 2);
    expect(moves).toBe([...spot(first)].filter(([id, at]) => spot(again).get(id) !== at).length);
  });
});

describe('metamorphic', () => {
  const run = (problem: WeekProblem): WeekPlan => {
    const plan = solve(problem, { seed: 4, stop: { iterations: 1000 } });
    expect(checkPlan(problem, plan)).toEqual([]);
    return plan;
  };
  /** Small enough for the search to be exact with near certainty, so that the properties are sharp. */
  const small = (seed: number): WeekProblem => ({ ...exampleWeek({ technicians: 2, visits: 7, seed, days: 2 }), rates: { balanceMin: 0 } });

  it('[PLN-20] one technician more never worsens the plan', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 1_000_000 }), (seed) => {
      const problem = small(seed);
      const more = { ...problem, technicians: [...problem.technicians, { ...problem.technicians[0], id: 'more', name: 'More' }] };
      expect(compareCost(run(more).cost, run(problem).cost, 10, 0)).toBeLessThanOrEqual(0);
    }), { ...SEEDS, numRuns: 30 });
  });

  it('[PLN-21] one visit less never leaves more lapses or more exposure', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 1_000_000 }), (seed) => {
      const problem = small(seed);
      const less = { ...problem, visits: problem.visits.slice(1) };
      const [with1, without1] = [run(problem).cost, run(less).cost];
      expect(termValue(without1, 'lapses')).toBeLessThanOrEqual(termValue(with1, 'lapses'));
      if (termValue(without1, 'lapses') === termValue(with1, 'lapses')) expect(termValue(without1, 'exposure')).toBeLessThanOrEqual(termValue(with1, 'exposure') + 1e-6);
    }), { ...SEEDS, numRuns: 30 });
  });

  it('[PLN-22] all times an hour later: the same plan an hour later', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 1_000_000 }), (seed) => {
      const problem = small(seed);
      const later: WeekProblem = {
        ...problem,
        technicians: problem.technicians.map((t) => ({ ...t, shifts: t.shifts.map((s) => ({ ...s, startMin: s.startMin + 60, endMin: s.endMin + 60 })) })),
        visits: problem.visits.map((v): Visit => ({
          ...v, windows: v.windows.map((w) => ({ ...w, startMin: w.startMin + 60, endMin: w.endMin + 60, ...(w.closeMin === undefined ? {} : { closeMin: w.closeMin + 60 }) })),
        })),
      };
      const starts = (p: WeekPlan, shift: number): string => JSON.stringify(p.rounds.map((r) => r.stops.map((s) => [s.visitId, s.startMin - shift])));
      expect(starts(run(later), 60)).toBe(starts(run(problem), 0));
    }), { ...SEEDS, numRuns: 25 });
  });

  it('[PLN-23] the order in which visits and technicians are given does not change the cost', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 1_000_000 }), (seed) => {
      const problem = small(seed);
      const turned = { ...problem, visits: [...problem.visits].reverse(), technicians: [...problem.technicians].reverse() };
      expect(Math.abs(compareCost(run(turned).cost, run(problem).cost, 10, 0))).toBeLessThan(1e-6);
    }), { ...SEEDS, numRuns: 30 });
  });
});
