import { describe, expect, it } from 'vitest';
import { BadInstance, parseSolomon, parseVrplib, solveVrptw, truncatedDistances, vrptwFaults, type VrptwInstance } from '../index.js';
import { Random } from '../random.js';
import { vrptwModel } from './solve.js';

/** A small random instance in the Solomon text form. */
function solomonText(seed: number, customers: number): string {
  const random = new Random(seed);
  const row = (i: number): string => {
    if (i === 0) return '0 50 50 0 0 1000 0';
    const ready = random.below(500);
    return `${i} ${random.below(100)} ${random.below(100)} ${1 + random.below(30)} ${ready} ${ready + 60 + random.below(200)} 10`;
  };
  return ['TINY', '', 'VEHICLE', 'NUMBER     CAPACITY', `${customers} 100`, '', 'CUSTOMER', 'CUST NO.  XCOORD. YCOORD. DEMAND READY DUE SERVICE', '', ...Array.from({ length: customers + 1 }, (_, i) => row(i))].join('\n');
}

/** Exact by dynamic programming over subsets and last customers, then over sets of routes. Written apart from the engine. */
function exact(v: VrptwInstance): number {
  const n = v.size - 1;
  const whole = 1 << n;
  const route = new Float64Array(whole).fill(Infinity);
  const extend = (set: number, last: number, now: number, load: number, dist: number): void => {
    const back = dist + v.distance[last * v.size];
    if (set > 0 && now + v.distance[last * v.size] <= v.due[0]) route[set] = Math.min(route[set], back);
    for (let c = 1; c <= n; c++) {
      if ((set >> (c - 1)) & 1 || load + v.demand[c] > v.capacity[0]) continue;
      const arrive = Math.max(now + v.distance[last * v.size + c], v.ready[c]);
      if (arrive <= v.due[c]) extend(set | (1 << (c - 1)), c, arrive + v.service[c], load + v.demand[c], dist + v.distance[last * v.size + c]);
    }
  };
  extend(0, 0, 0, 0, 0);
  const best = new Float64Array(whole).fill(Infinity);
  best[0] = 0;
  for (let set = 1; set < whole; set++) {
    for (let part = set; part > 0; part = (part - 1) & set) best[set] = Math.min(best[set], route[part] + best[set & ~part]);
  }
  return best[whole - 1] / v.scale;
}

describe('academic instances', () => {
  it('[PLN-60] reads the Solomon text form: distances truncated to one decimal, times in tenths', () => {
    const v = parseSolomon(solomonText(1, 7));
    expect(v.name).toBe('TINY');
    expect(v.size).toBe(8);
    expect(v.due[0]).toBe(10_000);
    expect([...truncatedDistances([0, 1], [0, 1], 10)]).toEqual([0, 14, 14, 0]);
    expect(() => parseSolomon('nonsense')).toThrow(BadInstance);
  });

  it('[PLN-61] 40 random instances of 7 customers: the exact optimum', () => {
    for (let seed = 1; seed <= 40; seed++) {
      const v = parseSolomon(solomonText(seed, 7));
      const s = solveVrptw(v, { seed: 1, stop: { iterations: 1500 } });
      expect(vrptwFaults(v, s)).toEqual([]);
      expect(s.cost).toBeCloseTo(exact(v), 6);
    }
  });

  const vrplib = (extra: string): string => `NAME : T\nDIMENSION : 4\nVEHICLES : 2\nCAPACITY : 10\nSERVICE_TIME : 1\nEDGE_WEIGHT_TYPE : EUC_2D\nNODE_COORD_SECTION\n1 0 0\n2 3 4\n3 6 8\n4 100 0\nDEMAND_SECTION\n1 0\n2 1\n3 1\n4 1\nTIME_WINDOW_SECTION\n1 0 500\n2 0 400\n3 0 400\n4 0 400\n${extra}DEPOT_SECTION\n1\n-1\nEOF\n`;

  it('[PLN-69] clients that no vehicle can both serve come after all other neighbours, however near', () => {
    const v = parseSolomon(solomonText(3, 12));
    // Odd and even clients have vehicles of their own; the third vehicle serves the last two of each.
    const all = Array.from({ length: 12 }, (_, i) => i + 1);
    const sets = [all.filter((c) => c % 2 === 1), all.filter((c) => c % 2 === 0), [9, 10, 11, 12]].map((of) => new Set(of));
    const m = vrptwModel({ ...v, vehicles: 3, capacity: [100, 100, 100], allowed: sets });
    const together = (a: number, b: number) => sets.some((set) => set.has(a + 1) && set.has(b + 1));
    for (let c = 0; c < 12; c++) {
      const near = [...m.neighbours.subarray(c * m.neighbourCount, (c + 1) * m.neighbourCount)];
      const [shared, apart] = [near.filter((d) => together(c, d)), near.filter((d) => !together(c, d))];
      expect(near).toEqual([...shared, ...apart]);
      expect(shared.length).toBe(c >= 8 ? 7 : 5);
    }
  });

  it('[PLN-62] prizes: a client that does not pay for its trip stays out', () => {
    const v = parseVrplib(vrplib('PRIZE_SECTION\n1 0\n2 50\n3 50\n4 30\n'));
    const s = solveVrptw(v, { seed: 1, stop: { iterations: 500 } });
    expect(s.unserved).toEqual([3]);
    expect(s.cost).toBe(50);
    expect(s.distance).toBe(20);
  });

  it('[PLN-63] allowed vehicles and the longest duration are kept', () => {
    const v = parseVrplib(vrplib('CAPACITY_SECTION\n1 10\n2 10\nVEHICLES_ALLOWED_CLIENTS_SECTION\n1 2 4\n2 3\n').replace('CAPACITY : 10\n', 'VEHICLES_MAX_DURATION : 205\n'));
    const s = solveVrptw(v, { seed: 1, stop: { iterations: 500 } });
    expect(vrptwFaults(v, s)).toEqual([]);
    expect(s.routes.find((r) => r.vehicle === 1)?.clients).toEqual([2]);
    expect(s.routes.find((r) => r.vehicle === 0)?.clients.length).toBe(2);
    expect(vrptwFaults({ ...v, maxDuration: 100_000 }, s).join()).toContain('longer than');
  });
});
