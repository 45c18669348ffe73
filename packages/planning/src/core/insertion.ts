import { FAR, type RoutingModel } from './model.js';
import type { Random } from '../random.js';
import type { Routes } from './routes.js';

/**
 * Finds where an absent client goes cheapest: beside its near neighbours and in empty routes; everywhere when that
 * gave nothing and `thorough` asks for it. Answers in `bestAfter` (node, -1 if nowhere) and `bestCost`.
 */
export class Insertion {
  bestAfter = -1;
  bestCost = 0;
  bestStart = -1;
  /** Second route and start of a two-person insertion. */
  bestMateAfter = -1;
  /** Cost added to every used route (fleet pressure); 0 normally. */
  private readonly plain: boolean;
  private readonly seenType: Int32Array;
  private stamp = 0;

  constructor(private readonly model: RoutingModel, private readonly routes: Routes, private readonly random: Random, private readonly near: number) {
    const w = model.weights;
    this.plain = w.balance === 0 && w.change === 0 && model.moreWindows.size === 0 && !model.breakLength.some((b) => b > 0)
      && !model.lapseOnDay.some((x) => x > 0) && !model.prizeLostOnDay.some((x) => x > 0) && model.mats.length === 1
      && w.overtime === 0 && !model.mate.some((x) => x >= 0) && model.days === 1;
    this.seenType = new Int32Array(1 + model.routeType.reduce((a, b) => Math.max(a, b), 0)).fill(-1);
  }

  /** Searches for c; positions are passed over with probability `blink` (1 in 2^32 steps). */
  find(c: number, blink: number, thorough: boolean): void {
    this.bestAfter = -1;
    this.bestCost = Infinity;
    if (this.plain) this.nearPlain(c, blink);
    else this.nearRich(c, blink);
    this.emptyRoutes(c);
    if (this.bestAfter < 0 && thorough) this.everywhere(c);
  }

  private nearPlain(c: number, blink: number): void {
    const m = this.model;
    const s = this.routes;
    const { next, prev, routeOf, done1, late1, load } = s;
    const { places, place, allowed, capacity, demand } = m;
    const row = m.mats[0];
    const back = m.matsBack[0];
    const base = place[c] * places;
    const svc = m.service[c];
    const from = m.winFrom[c];
    const to = m.winTo[c];
    const k = m.neighbourCount;
    const count = Math.min(k, this.near);
    const clients = m.clients;
    const w = m.weights.travel;
    let best = this.bestCost / w;
    let after = -1;
    const random = this.random;
    const limited = m.maxDuration[0] < FAR;
    for (let x = 0; x < count; x++) {
      const n = m.neighbours[c * k + x];
      const r = routeOf[n];
      if (r < 0 || load[r] + demand[c] > capacity[r] || allowed[c * m.routes + r] === 0) continue;
      const pn = place[n];
      const toN = row[base + pn];
      const fromN = back[base + pn];
      // after n
      const q = next[n];
      const pq = place[q];
      const t2 = row[base + pq];
      let d = fromN + t2 - row[pn * places + pq];
      if (d < best && random.bits() >= blink) {
        let a = done1[n] + fromN;
        if (a <= to) {
          if (a < from) a = from;
          if (a + svc + t2 <= late1[q] && (!limited || s.durationWith(c, n) <= m.maxDuration[r])) {
            best = d;
            after = n;
          }
        }
      }
      // before n
      const p = prev[n];
      const pp = place[p];
      const t1 = back[base + pp];
      d = t1 + toN - row[pp * places + pn];
      if (d < best && p >= 0 && random.bits() >= blink) {
        let a = done1[p] + t1;
        if (a <= to) {
          if (a < from) a = from;
          if (a + svc + toN <= late1[n] && (!limited || s.durationWith(c, p) <= m.maxDuration[r])) {
            best = d;
            after = p;
          }
        }
      }
    }
    if (after >= 0 && clients > 0) {
      this.bestAfter = after;
      this.bestCost = best * w;
    }
  }

  private nearRich(c: number, blink: number): void {
    const m = this.model;
    const s = this.routes;
    const k = m.neighbourCount;
    const count = Math.min(k, this.near);
    for (let x = 0; x < count; x++) {
      const n = m.neighbours[c * k + x];
      const r = s.routeOf[n];
      if (r < 0 || m.allowed[c * m.routes + r] === 0) continue;
      if (this.random.bits() >= blink) this.consider(c, n);
      if (this.random.bits() >= blink) this.consider(c, s.prev[n]);
    }
  }

  private emptyRoutes(c: number): void {
    const m = this.model;
    const s = this.routes;
    this.stamp++;
    for (let r = 0; r < m.routes; r++) {
      if (s.size[r] > 0 || m.allowed[c * m.routes + r] === 0) continue;
      const type = m.routeType[r];
      if (this.seenType[type] === this.stamp) continue;
      this.seenType[type] = this.stamp;
      this.consider(c, s.start + r);
    }
  }

  private everywhere(c: number): void {
    const m = this.model;
    const s = this.routes;
    for (let r = 0; r < m.routes; r++) {
      if (s.size[r] === 0 || m.allowed[c * m.routes + r] === 0) continue;
      for (let p = s.start + r; p < s.end; p = s.next[p]) this.consider(c, p);
    }
  }

  /** Judges one place and keeps it if it is the best so far. */
  consider(c: number, p: number): void {
    const cost = this.price(c, p, -1, this.bestCost);
    if (cost < this.bestCost) {
      this.bestCost = cost;
      this.bestAfter = p;
    }
  }

  /** Cost of c after p, Infinity when not feasible, or not below `bound`. */
  price(c: number, p: number, fixedStart: number, bound: number): number {
    const m = this.model;
    const s = this.routes;
    const r = s.routeOf[p];
    if (s.load[r] + m.demand[c] > m.capacity[r]) return Infinity;
    const q = s.next[p];
    const mat = m.mats[m.matOf[r]];
    const pc = m.place[c];
    const empty = s.size[r] === 0;
    const added = mat[m.place[p] * m.places + pc] + mat[pc * m.places + m.place[q]] - (empty ? 0 : mat[m.place[p] * m.places + m.place[q]]);
    let cost = m.weights.travel * added + s.extra(c, r, added + m.service[c]);
    if (cost >= bound || !s.fits(c, p, fixedStart)) return Infinity;
    if (m.limit[r] > m.close[r] && m.weights.overtime > 0) {
      const over = s.endWith(c, p, fixedStart) - m.close[r];
      if (over > 0) cost += m.weights.overtime * (over - s.overtime[r]);
    }
    if (m.maxDuration[r] < FAR && s.durationWith(c, p) > m.maxDuration[r]) return Infinity;
    return cost;
  }

  /** Two-person visit: the cheapest pair of places with one common start. Answers in bestAfter, bestMateAfter, bestStart. */
  findPair(first: number, second: number): void {
    const m = this.model;
    this.bestAfter = -1;
    this.bestCost = Infinity;
    for (let day = 0; day < m.days; day++) {
      if (m.winTo[first * m.days + day] < m.winFrom[first * m.days + day]) continue;
      const a = this.spots(first, day);
      if (a.length === 0) continue;
      for (const x of a) {
        for (const y of this.spotsOf(second, day)) {
          const cost = x.cost + y.cost;
          if (cost >= this.bestCost) continue;
          if (m.routeTech[this.routes.routeOf[x.after]] === m.routeTech[this.routes.routeOf[y.after]]) continue;
          const s = this.routes.earliestOn(first, day, Math.max(x.from, y.from));
          if (s >= FAR || !this.routes.fits(first, x.after, s) || !this.routes.fits(second, y.after, s)) continue;
          const exact = this.price(first, x.after, s, Infinity) + this.price(second, y.after, s, Infinity);
          if (exact >= this.bestCost) continue;
          this.bestCost = exact;
          this.bestAfter = x.after;
          this.bestMateAfter = y.after;
          this.bestStart = s;
        }
      }
    }
    this.secondSpots.clear();
  }

  private readonly secondSpots = new Map<number, Spot[]>();

  private spotsOf(c: number, day: number): Spot[] {
    let known = this.secondSpots.get(day);
    if (known === undefined) {
      known = this.spots(c, day);
      this.secondSpots.set(day, known);
    }
    return known;
  }

  /** The cheapest single places of a client on a day, at most three per route and forty in all. */
  private spots(c: number, day: number): Spot[] {
    const m = this.model;
    const s = this.routes;
    const all: Spot[] = [];
    for (let r = 0; r < m.routes; r++) {
      if (m.routeDay[r] !== day || m.allowed[c * m.routes + r] === 0) continue;
      const here: Spot[] = [];
      for (let p = s.start + r; p < s.end; p = s.next[p]) {
        const cost = this.price(c, p, -1, Infinity);
        if (cost < Infinity) here.push({ after: p, cost, from: s.earliestStart(c, p) });
      }
      here.sort((x, y) => x.cost - y.cost);
      all.push(...here.slice(0, 3));
    }
    return all.sort((x, y) => x.cost - y.cost).slice(0, 40);
  }
}

interface Spot {
  readonly after: number;
  readonly cost: number;
  readonly from: number;
}
