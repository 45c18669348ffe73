import { describe, expect, it } from 'vitest';
import { parseSolomon, solveVrptw, vrptwFaults, type VrptwInstance } from '../../index.js';
import { Random } from '../../random.js';
import { vrptwModel } from '../../vrptw/solve.js';
import type { RoutingModel } from '../model.js';
import { search } from '../search.js';
import { Breed } from './breed.js';
import { Descent } from './descent.js';
import { distance, feasible, individualOf, lay } from './individual.js';
import { breeds, breedSearch } from './run.js';
import { Tours } from './tours.js';

function instance(seed: number, customers: number, vehicles = customers): VrptwInstance {
  const random = new Random(seed);
  const row = (i: number): string => {
    if (i === 0) return '0 50 50 0 0 1000 0';
    const ready = random.below(500);
    return `${i} ${random.below(100)} ${random.below(100)} ${1 + random.below(30)} ${ready} ${ready + 60 + random.below(200)} 10`;
  };
  return parseSolomon(['T', '', 'VEHICLE', 'NUMBER CAPACITY', `${vehicles} 100`, '', 'CUSTOMER', 'CUST NO.', '', ...Array.from({ length: customers + 1 }, (_, i) => row(i))].join('\n'));
}

/** Lateness forgiven on a route, by driving it: who comes late starts at the closing time, as if time went back. */
function driven(v: VrptwInstance, clients: readonly number[]): { travel: number; warp: number } {
  let [now, at, travel, warp] = [v.ready[0], 0, 0, 0];
  for (const c of [...clients, 0]) {
    const t = v.distance[at * v.size + c];
    travel += t;
    now = Math.max(now + t, v.ready[c]);
    if (now > v.due[c]) {
      warp += now - v.due[c];
      now = v.due[c];
    }
    now += v.service[c];
    at = c;
  }
  return { travel, warp };
}

/** Least duration of a route that can be driven in time, trying every departure; -1 where it cannot. */
function shortestDrive(v: VrptwInstance, clients: readonly number[]): number {
  let least = Infinity;
  for (let leave = v.ready[0]; leave <= v.due[0] && least > 0; leave += 1) {
    let [now, at, ok] = [leave, 0, true];
    for (const c of [...clients, 0]) {
      now = Math.max(now + v.distance[at * v.size + c], v.ready[c]);
      ok = ok && now <= v.due[c];
      now += v.service[c];
      at = c;
    }
    if (!ok) break;
    least = Math.min(least, now - leave);
  }
  return least === Infinity ? -1 : least;
}

function scatter(m: RoutingModel, tours: Tours, random: Random, routes: number): void {
  tours.clear();
  for (let c = 0; c < m.clients; c++) {
    const p = tours.start + random.below(routes);
    const q = tours.next[p];
    tours.link(p, c);
    tours.link(c, q);
    tours.refresh(tours.routeOf[p]);
  }
}

const nearAll = (n: number): [Int32Array, Int32Array] => [Int32Array.from({ length: n + 1 }, (_, c) => c * (n - 1)), Int32Array.from({ length: n * (n - 1) }, (_, i) => { const [c, x] = [Math.floor(i / (n - 1)), i % (n - 1)]; return x < c ? x : x + 1; })];

describe('population search', () => {
  it('[PLN-64] lateness of routes, kept by stretches, is what driving them gives; so is that of routes put together', () => {
    for (let seed = 1; seed <= 12; seed++) {
      const v = instance(seed, 24);
      const m = vrptwModel(v);
      const tours = new Tours(m);
      const random = new Random(seed);
      scatter(m, tours, random, 4);
      const x = individualOf(tours);
      const seqs = [0, 1, 2, 3].map((r) => Array.from(x.clients.subarray(x.at[r], x.at[r + 1])));
      seqs.forEach((seq, r) => expect([tours.travel[r], tours.warp[r]]).toEqual([driven(v, seq.map((c) => c + 1)).travel, driven(v, seq.map((c) => c + 1)).warp]));
      tours.loadPrice = 0;
      for (let again = 0; again < 20; again++) {
        const [a, b] = [seqs[random.below(4)], seqs[random.below(4)]];
        const [i, j, k] = [random.below(a.length + 1), random.below(b.length + 1), random.below(3)];
        const between = Array.from({ length: k }, () => random.below(m.clients));
        between.forEach((c, n) => { tours.list[n] = c; });
        const p = i === 0 ? tours.start : a[i - 1];
        const q = j === b.length ? tours.end : b[j];
        const all = [...a.slice(0, i), ...between, ...b.slice(j)].map((c) => c + 1);
        expect(tours.priceOf(0, p, k, q, 0)).toBe(driven(v, all).warp);
      }
    }
  });

  it('[PLN-64] duration of routes put together is that of the best departure', () => {
    let held = 0;
    for (let seed = 1; seed <= 6; seed++) {
      const v = instance(seed, 24);
      const plain = vrptwModel(v);
      const tours = new Tours({ ...plain, maxDuration: new Int32Array(plain.routes) });
      [tours.warpPrice, tours.loadPrice] = [0, 0];
      const random = new Random(seed);
      scatter(plain, tours, random, 12);
      for (let again = 0; again < 40; again++) {
        const [r, q] = [random.below(12), random.below(12)];
        const [a, b] = [tours.next[tours.start + r], tours.prev[tours.end + q]];
        if (r === q || a >= tours.start || b >= tours.start) continue;
        const c = random.below(24);
        tours.list[0] = c;
        const shortest = shortestDrive(v, [a, c, b].map((x) => x + 1));
        if (shortest < 0) continue;
        held++;
        expect(tours.priceOf(0, a, 1, b, 0)).toBe(shortest);
        expect(tours.priceOf(0, tours.start, 0, a, 0) === tours.over[r] || tours.warp[r] > 0).toBe(true);
      }
    }
    expect(held).toBeGreaterThan(20);
  });

  it('[PLN-65] a descent never ends dearer than it began, keeps everybody once, and what it adds up is true', () => {
    for (let seed = 1; seed <= 8; seed++) {
      const v = instance(seed, 30);
      const m = vrptwModel(v);
      const tours = new Tours(m);
      const random = new Random(seed);
      scatter(m, tours, random, 6);
      const before = tours.cost();
      new Descent(tours, random, ...nearAll(30)).run();
      const after = tours.cost();
      expect(after).toBeLessThan(before);
      const x = individualOf(tours);
      expect([...x.clients].sort((a, b) => a - b)).toEqual(Array.from({ length: 30 }, (_, c) => c));
      tours.clear();
      lay(tours, x);
      expect(tours.cost()).toBeCloseTo(after, 6);
      expect(distance(x, individualOf(tours))).toBe(0);
    }
  });

  it('[PLN-66] finds on small instances what ruin and recreate finds, or better', () => {
    for (const seed of [5, 35, 38, 1, 2, 3, 4, 6]) {
      const v = instance(seed, 12);
      const m = vrptwModel(v);
      const breed = new Breed(m, 1);
      for (let i = 0; i < 400; i++) breed.step();
      const other = search(m, { seed: 1, iterations: 5000 });
      expect(breed.best === null ? Infinity : breed.best.travel).toBeLessThanOrEqual(other.best.terms.travel);
      expect(breed.best !== null && feasible(breed.best)).toBe(true);
    }
  });

  it('[PLN-6] [PLN-67] same seed and steps, same routes; every route holds; no worse than the search that it begins with', () => {
    const v = instance(7, 40, 25);
    const m = vrptwModel(v);
    expect(breeds(m)).toBe(true);
    const one = solveVrptw(v, { seed: 3, stop: { iterations: 12_000 } });
    expect(vrptwFaults(v, one)).toEqual([]);
    expect(solveVrptw(v, { seed: 3, stop: { iterations: 12_000 } }).routes).toEqual(one.routes);
    expect(one.cost).toBeLessThanOrEqual(search(m, { seed: 3, iterations: 1_440 }).best.strict / v.scale);
  });

  it('[PLN-8] stops when cancelled with the best so far, and reports on the way', () => {
    const v = instance(9, 40);
    let asked = 0;
    const seen: number[] = [];
    const { best } = breedSearch(vrptwModel(v), { seed: 1, fraction: () => Math.min(1, asked / 400), cancelled: () => ++asked > 200, onProgress: (p) => { seen.push(p.strict); } });
    expect(best.sequences.flat().length).toBe(40);
    expect(seen.length).toBeGreaterThan(1);
    expect(seen[seen.length - 1]).toBe(best.strict);
  });

  it('[PLN-68] is not taken where clients are optional, promised or tied to each other', () => {
    const m = vrptwModel(instance(1, 30));
    expect(Breed.suits(m)).toBe(true);
    expect(Breed.suits({ ...m, lapseAbsent: new Float64Array(30) })).toBe(false);
    expect(Breed.suits({ ...m, lexicographic: true })).toBe(false);
    expect(Breed.suits({ ...m, mate: new Int32Array(30) })).toBe(false);
    expect(breeds(vrptwModel(instance(1, 12)))).toBe(false);
    expect([breeds(vrptwModel(instance(1, 400))), breeds(vrptwModel(instance(1, 401)))]).toEqual([true, false]);
  });
});
