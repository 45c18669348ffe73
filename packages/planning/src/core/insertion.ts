import { FAR, type RoutingModel } from './model.js';
import type { Random } from '../random.js';
import type { Routes } from './routes.js';

/** 16 bytes each: at most 320 MB. */
const MOST_REMEMBERED = 20_000_000;

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
  private readonly plain: boolean;
  private readonly seenType: Int32Array;
  private stamp = 0;
  private readonly types: number;
  private readonly seenRoute: Int32Array;
  private routeStamp = 0;
  /** Best place of each client in each route, valid while the route's version stands. */
  private readonly remembers: boolean;
  private readonly knownVersion: Int32Array;
  private readonly knownAfter: Int32Array;
  private readonly knownCost: Float64Array;

  constructor(private readonly model: RoutingModel, private readonly routes: Routes, private readonly random: Random, private readonly near: number) {
    const w = model.weights;
    this.plain = !model.shares && model.parts === 0 && model.promises.size === 0 && w.balance === 0 && w.change === 0 && model.moreWindows.size === 0 && !model.breakLength.some((b) => b > 0)
      && !model.lapseOnDay.some((x) => x > 0) && !model.prizeLostOnDay.some((x) => x > 0) && model.mats.length === 1
      && w.overtime === 0 && !model.mate.some((x) => x >= 0) && model.days === 1;
    this.seenType = new Int32Array(1 + model.routeType.reduce((a, b) => Math.max(a, b), 0)).fill(-1);
    this.types = this.seenType.length;
    this.seenRoute = new Int32Array(model.routes).fill(-1);
    const pairs = model.clients * model.routes;
    this.remembers = !this.plain && pairs <= MOST_REMEMBERED;
    this.knownVersion = new Int32Array(this.remembers ? pairs : 1).fill(-1);
    this.knownAfter = new Int32Array(this.remembers ? pairs : 1);
    this.knownCost = new Float64Array(this.remembers ? pairs : 1);
  }

  /** Searches for c; positions are passed over with probability `blink` (1 in 2^32 steps). */
  find(c: number, blink: number, thorough: boolean): void {
    this.bestAfter = -1;
    this.bestCost = Infinity;
    if (this.plain) this.nearPlain(c, blink);
    else this.nearRich(c, blink);
    this.emptyRoutes(c, blink);
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

  /** Looks at the whole of each route in which a near neighbour stands. */
  private nearRich(c: number, blink: number): void {
    const m = this.model;
    const s = this.routes;
    const k = m.neighbourCount;
    const count = Math.min(k, this.near);
    this.routeStamp++;
    for (let x = 0; x < count; x++) {
      const r = s.routeOf[m.neighbours[c * k + x]];
      if (r < 0 || this.seenRoute[r] === this.routeStamp) continue;
      this.seenRoute[r] = this.routeStamp;
      if (m.allowed[c * m.routes + r] === 0 || this.random.bits() < blink) continue;
      this.bestIn(c, r);
    }
  }

  /** Takes the best place of c in route r into account, from memory where the route has not changed since. */
  private bestIn(c: number, r: number): void {
    const at = this.remembers ? c * this.model.routes + r : 0;
    if (!this.remembers || this.knownVersion[at] !== this.routes.version[r]) {
      this.scan(c, r);
      this.knownVersion[at] = this.routes.version[r];
      this.knownAfter[at] = this.scanAfter;
      this.knownCost[at] = this.scanCost;
    }
    const cost = this.knownCost[at];
    // equal places are drawn by lot, else the first day would always win
    if (this.knownAfter[at] >= 0 && (cost < this.bestCost || (cost === this.bestCost && this.random.bits() % 2 === 0))) {
      this.bestCost = cost;
      this.bestAfter = this.knownAfter[at];
    }
  }

  private scanAfter = -1;
  private scanCost = Infinity;

  /** Cheapest place of c in route r. */
  private scan(c: number, r: number): void {
    const m = this.model;
    const s = this.routes;
    const { places, place } = m;
    const { next, done1, late1 } = s;
    this.scanAfter = -1;
    this.scanCost = Infinity;
    if (s.load[r] + m.demand[c] > m.capacity[r] || !s.stocked(c, r)) return;
    const promised = m.promises.has(c);
    const mat = m.mats[m.matOf[r]];
    const back = m.matsBack[m.matOf[r]];
    const base = place[c] * places;
    const svc = m.service[c];
    const d = c * m.days + m.routeDay[r];
    const from = m.winFrom[d];
    const to = m.winTo[d];
    const single = m.moreWindows.size === 0 || !m.moreWindows.has(d);
    const fixedExtra = s.extra(c, r, 0);
    const pricesOvertime = m.limit[r] > m.close[r] && m.weights.overtime > 0;
    const empty = s.size[r] === 0;
    const evenness = m.weights.balance > 0 ? m.weights.balance / m.techCapacity[m.routeTech[r]] : 0;
    const load2 = 2 * s.techLoad[m.routeTech[r]];
    const end = s.end + r;
    for (let p = s.start + r; p !== end; p = next[p]) {
      const q = next[p];
      const t1 = back[base + place[p]];
      const t2 = mat[base + place[q]];
      const added = t1 + t2 - (empty ? 0 : mat[place[p] * places + place[q]]);
      const joint = m.shares && s.touchesSetUp(p, c, q);
      const more = joint ? added + svc - s.setUpSaved(p, c) + s.setUpSaved(p, q) - s.setUpSaved(c, q) : added + svc;
      let cost = m.weights.travel * added + fixedExtra + evenness * more * (load2 + more);
      if (promised) cost += m.weights.travel * s.promisePrice(c, r, s.earliestStart(c, p));
      if (cost >= this.scanCost) continue;
      let delay = FAR;
      let ok = false;
      if (single && !joint) {
        let a = done1[p] + t1;
        if (a <= to) {
          if (a < from) a = from;
          a += svc + t2;
          ok = a <= late1[q];
          if (ok) delay = q === end ? a - done1[end] : a - done1[q] + m.service[q];
        }
      }
      if (!ok) {
        if (single && !joint) {
          if (m.breakLength[r] === 0) continue;
          // the break still owed: what even without taking it comes too late need not be looked at closely
          let a = s.done0[p] + t1;
          if (a > to) continue;
          if (a < from) a = from;
          a += svc + t2;
          if (a > s.late0[q] && a > late1[q]) continue;
        }
        if (!s.fits(c, p)) continue;
      }
      if (pricesOvertime && (empty || delay === FAR || done1[end] + (delay > 0 ? delay : 0) > m.close[r])) {
        const over = s.endWith(c, p) - m.close[r];
        if (over > 0) cost += m.weights.overtime * (over - s.overtime[r]);
        if (cost >= this.scanCost) continue;
      }
      if (m.maxDuration[r] < FAR && s.durationWith(c, p) > m.maxDuration[r]) continue;
      this.scanCost = cost;
      this.scanAfter = p;
    }
  }

  private emptyRoutes(c: number, blink: number): void {
    const m = this.model;
    const s = this.routes;
    this.stamp++;
    let seen = 0;
    for (let i = s.emptyCount - 1; i >= 0 && seen < this.types; i--) {
      const r = s.empty[i];
      if (m.allowed[c * m.routes + r] === 0) continue;
      const type = m.routeType[r];
      if (this.seenType[type] === this.stamp || this.random.bits() < blink) continue;
      this.seenType[type] = this.stamp;
      seen++;
      if (this.plain) this.consider(c, s.start + r);
      else this.bestIn(c, r);
    }
  }

  private everywhere(c: number): void {
    const m = this.model;
    const s = this.routes;
    for (let r = 0; r < m.routes; r++) {
      if (s.size[r] === 0 || m.allowed[c * m.routes + r] === 0) continue;
      if (this.plain) for (let p = s.start + r; p < s.end; p = s.next[p]) this.consider(c, p);
      else this.bestIn(c, r);
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
    if (s.load[r] + m.demand[c] > m.capacity[r] || !s.stocked(c, r)) return Infinity;
    const q = s.next[p];
    const mat = m.mats[m.matOf[r]];
    const pc = m.place[c];
    const empty = s.size[r] === 0;
    const added = mat[m.place[p] * m.places + pc] + mat[pc * m.places + m.place[q]] - (empty ? 0 : mat[m.place[p] * m.places + m.place[q]]);
    let cost = m.weights.travel * added + s.extra(c, r, added + m.service[c] - s.setUpSaved(p, c));
    if (m.promises.has(c)) cost += m.weights.travel * s.promisePrice(c, r, fixedStart >= 0 ? fixedStart : s.earliestStart(c, p));
    if (cost >= bound || !s.fits(c, p, fixedStart)) return Infinity;
    if (m.limit[r] > m.close[r] && m.weights.overtime > 0) {
      const over = s.endWith(c, p, fixedStart) - m.close[r];
      if (over > 0) cost += m.weights.overtime * (over - s.overtime[r]);
    }
    if (m.maxDuration[r] < FAR && s.durationWith(c, p) > m.maxDuration[r]) return Infinity;
    return cost;
  }

  /** Two-person visit: the cheapest pair of places with one common start. Answers in bestAfter, bestMateAfter, bestStart. */
  findPair(first: number, second: number, exact = true): void {
    const m = this.model;
    let best = Infinity;
    let [after, mateAfter, start] = [-1, -1, -1];
    for (let day = 0; day < m.days; day++) {
      if (m.winTo[first * m.days + day] < m.winFrom[first * m.days + day]) continue;
      for (const x of this.spots(first, day, exact)) {
        for (const y of this.spotsOf(second, day, exact)) {
          // a common start can make overtime dearer, never cheaper
          if (x.cost + y.cost >= best) break;
          if (m.routeTech[this.routes.routeOf[x.after]] === m.routeTech[this.routes.routeOf[y.after]]) continue;
          const s = this.commonStart(first, second, day, x, y);
          if (s < 0) continue;
          const cost = this.price(first, x.after, s, Infinity) + this.price(second, y.after, s, Infinity);
          if (cost >= best) continue;
          [best, after, mateAfter, start] = [cost, x.after, y.after, s];
        }
      }
    }
    this.bestCost = best;
    this.bestAfter = after;
    this.bestMateAfter = mateAfter;
    this.bestStart = start;
    this.secondSpots.clear();
  }

  /**
   * The earliest start that both places allow, or now and then a later one: it leaves room for what goes in before it, and is
   * pulled back to the earliest at the end of the step. -1: none.
   */
  private commonStart(first: number, second: number, day: number, x: Spot, y: Spot): number {
    const { routes, random } = this;
    const fits = (s: number): boolean => s < FAR && routes.fits(first, x.after, s) && routes.fits(second, y.after, s);
    const early = routes.earliestOn(first, day, Math.max(x.from, y.from));
    if (this.wavers && early < FAR && random.unit() < (this.model.clients < 60 ? 0.4 : 0.04)) {
      const late = Math.min(routes.latestStart(first, x.after), routes.latestStart(second, y.after));
      if (late > early) {
        const s = routes.earliestOn(first, day, early + random.below(late - early + 1));
        if (fits(s)) return s;
      }
    }
    return fits(early) ? early : -1;
  }

  /** Try later common starts too? Only within a search. */
  wavers = false;

  private readonly secondSpots = new Map<number, Spot[]>();

  private spotsOf(c: number, day: number, exact: boolean): Spot[] {
    let known = this.secondSpots.get(day);
    if (known === undefined) {
      known = this.spots(c, day, exact);
      this.secondSpots.set(day, known);
    }
    return known;
  }

  /** The cheapest single places of a client on a day, at most three per route (all of a small problem) and forty in all. */
  private spots(c: number, day: number, exact: boolean): Spot[] {
    const m = this.model;
    const s = this.routes;
    const all: Spot[] = [];
    for (let r = 0; r < m.routes; r++) {
      if (m.routeDay[r] !== day || m.allowed[c * m.routes + r] === 0) continue;
      if (!exact && this.remembers) {
        this.bestCost = Infinity;
        this.bestAfter = -1;
        this.bestIn(c, r);
        if (this.bestAfter >= 0) all.push({ after: this.bestAfter, cost: this.bestCost, from: s.earliestStart(c, this.bestAfter) });
        continue;
      }
      const here: Spot[] = [];
      for (let p = s.start + r; p < s.end; p = s.next[p]) {
        const cost = this.price(c, p, -1, Infinity);
        if (cost < Infinity) here.push({ after: p, cost, from: s.earliestStart(c, p) });
      }
      here.sort((x, y) => x.cost - y.cost);
      all.push(...here.slice(0, m.clients < 60 ? here.length : 3));
    }
    return all.sort((x, y) => x.cost - y.cost).slice(0, 40);
  }
}

interface Spot {
  readonly after: number;
  readonly cost: number;
  readonly from: number;
}
