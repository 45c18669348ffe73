import { describe, expect, it } from 'vitest';
import { checkPlan, compareCost, exampleWeek, parseSolomon, solve, solveVrptw, vrptwBoardBytes, vrptwFaults, weekBoardBytes } from '../index.js';

const week = exampleWeek({ technicians: 6, visits: 110, seed: 10 });

describe('searches that work together', () => {
  it('[PLN-9] a search goes on from the best that another left on the board, two-person visits and their starts included', () => {
    const board = new SharedArrayBuffer(weekBoardBytes(week));
    const far = solve(week, { seed: 1, stop: { iterations: 1500 }, board });
    expect(far.rounds.some((r) => r.stops.some((s) => s.second !== undefined))).toBe(true);
    const alone = solve(week, { seed: 2, stop: { iterations: 64 } });
    const helped = solve(week, { seed: 2, stop: { iterations: 64 }, board });
    expect(checkPlan(week, helped)).toEqual([]);
    expect(compareCost(alone.cost, far.cost)).toBeGreaterThan(0);
    expect(compareCost(helped.cost, far.cost)).toBeLessThanOrEqual(0);
  });

  it('[PLN-9] a board without anything better changes nothing; one too small is refused', () => {
    const alone = solve(week, { seed: 3, stop: { iterations: 200 } });
    const board = new SharedArrayBuffer(weekBoardBytes(week));
    solve(week, { seed: 4, stop: { iterations: 1 }, board });
    expect(solve(week, { seed: 3, stop: { iterations: 200 }, board })).toEqual(alone);
    expect(() => solve(week, { seed: 1, stop: { iterations: 1 }, board: new SharedArrayBuffer(64) })).toThrow(RangeError);
  });

  it('[PLN-9] the same on an academic instance', () => {
    const rows = Array.from({ length: 80 }, (_, i) => `${i} ${(i * 37) % 101} ${(i * 59) % 97} ${i === 0 ? 0 : 10} 0 1000 ${i === 0 ? 0 : 10}`);
    const instance = parseSolomon(['EIGHTY', '', 'VEHICLE', 'NUMBER CAPACITY', '25 100', '', 'CUST NO. X Y DEMAND READY DUE SERVICE', ...rows].join('\n'));
    const board = new SharedArrayBuffer(vrptwBoardBytes(instance));
    const far = solveVrptw(instance, { seed: 1, stop: { iterations: 4000 }, board });
    const helped = solveVrptw(instance, { seed: 2, stop: { iterations: 100 }, board });
    expect(vrptwFaults(instance, helped)).toEqual([]);
    expect(helped.cost).toBeLessThanOrEqual(far.cost);
    expect(solveVrptw(instance, { seed: 2, stop: { iterations: 100 } }).cost).toBeGreaterThan(far.cost);
  });
});
