import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compile, loadRounds } from '../compile.js';
import { exampleWeek, expandVisits, solve, type Visit, type WeekProblem } from '../index.js';
import { Random } from '../random.js';
import { timeRound, type TimedVisit } from '../timing.js';
import type { Routes } from './routes.js';

/** Many systems at few addresses, so that most insertions touch somebody's set-up. */
function crowded(seed: number): WeekProblem {
  const week = exampleWeek({ technicians: 3, visits: 90, seed, extras: true });
  const random = new Random(seed);
  return expandVisits({ ...week, visits: week.visits.map((v): Visit => (v.sharesSetUp === undefined ? v : { ...v, sharesSetUp: { address: `a${random.below(4)}`, minutes: Math.min(v.serviceMin, 5 + random.below(30)) } })) });
}

describe('times of routes', () => {
  it('[PLN-2][PLN-80] one insertion judged in constant time fits exactly where the whole round can be timed, and ends when that says', () => {
    let [judged, shared, fitting] = [0, 0, 0];
    fc.assert(fc.property(fc.integer({ min: 1, max: 1_000_000 }), (seed) => {
      const problem = crowded(seed);
      const compiled = compile(problem);
      const plan = solve(problem, { seed: 1, stop: { iterations: 40 } });
      const routes = loadRounds(compiled, plan.rounds);
      const m = compiled.model;
      const absent = Array.from({ length: problem.visits.length }, (_, c) => c).filter((c) => routes.routeOf[c] < 0 && m.mate[c] < 0);
      for (const c of absent.slice(0, 12)) {
        for (let r = 0; r < m.routes; r++) {
          if (m.allowed[c * m.routes + r] === 0) continue;
          let at = 0;
          for (let p = routes.start + r; p < routes.end; p = routes.next[p], at++) {
            const timed = timedOf(compiled, routes, r);
            timed.splice(at, 0, { visit: problem.visits[c] });
            const truth = timeRound(problem, compiled.routes[r].technician, compiled.routes[r].shift, timed);
            expect(routes.fits(c, p)).toBe(truth !== null);
            if (truth !== null) expect(routes.endWith(c, p)).toBe(truth.endMin);
            judged++;
            if (truth !== null) fitting++;
            if (routes.touchesSetUp(p, c, routes.next[p])) shared++;
          }
        }
      }
    }), { seed: 20270311, numRuns: 25 });
    expect(judged).toBeGreaterThan(3000);
    expect(shared).toBeGreaterThan(500);
    expect(fitting).toBeGreaterThan(20);
  });

  it('[PLN-80] whoever must set up anew after a removal goes out with it, and what stays can be timed', () => {
    let anew = 0;
    fc.assert(fc.property(fc.integer({ min: 1, max: 1_000_000 }), (seed) => {
      const problem = crowded(seed);
      const compiled = compile(problem);
      const plan = solve(problem, { seed: 1, stop: { iterations: 40 } });
      for (let c = 0; c < problem.visits.length; c += 7) {
        const routes = loadRounds(compiled, plan.rounds);
        if (routes.routeOf[c] < 0) continue;
        const [p, q] = [routes.prev[c], routes.next[c]];
        const out: number[] = [];
        routes.takeOut(c, out);
        if (routes.setUpSaved(c, q) > routes.setUpSaved(p, q)) {
          anew++;
          expect(out).toContain(q);
        }
        compiled.routes.forEach((info, r) => expect(timeRound(problem, info.technician, info.shift, timedOf(compiled, routes, r))).not.toBeNull());
      }
    }), { seed: 20270312, numRuns: 15 });
    expect(anew).toBeGreaterThan(10);
  });
});

function timedOf(compiled: ReturnType<typeof compile>, routes: Routes, r: number): TimedVisit[] {
  return routes.sequence(r).map((c) => ({ visit: compiled.visitOf[c], ...(routes.fixed[c] >= 0 ? { fixedStart: routes.fixed[c] } : {}) }));
}
