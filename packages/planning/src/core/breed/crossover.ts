import type { Random } from '../../random.js';
import { FAR } from '../model.js';
import type { Individual } from './individual.js';
import type { Tours } from './tours.js';

/**
 * Gives the child some neighbouring routes of one parent in place of routes of the other that serve much the same clients
 * (selective route exchange: Nagata, Bräysy and Dullaert 2010, from memory; here the routes are chosen by shared clients).
 */
export class Crossover {
  private readonly inA: Uint8Array;
  private readonly inB: Uint8Array;
  private readonly routeA: Int32Array;
  private readonly routeB: Int32Array;
  private readonly shared: Int32Array;
  private readonly waiting: Int32Array;
  private waitingCount = 0;

  constructor(private readonly tours: Tours, private readonly random: Random, private readonly nearAt: Int32Array, private readonly near: Int32Array) {
    const m = tours.model;
    this.inA = new Uint8Array(m.routes);
    this.inB = new Uint8Array(m.routes);
    this.routeA = new Int32Array(m.clients);
    this.routeB = new Int32Array(m.clients);
    this.shared = new Int32Array(m.routes);
    this.waiting = new Int32Array(m.clients);
  }

  /** Leaves the child in the tours. */
  run(a: Individual, b: Individual): void {
    this.choose(a, b);
    this.build(a, b, this.random.unit() < 0.5);
    this.insert();
  }

  /** Marks neighbouring routes of a, and as many of b that share most with them. */
  private choose(a: Individual, b: Individual): void {
    const { inA, inB, routeA, routeB, shared, random, nearAt, near } = this;
    const m = this.tours.model;
    const [usedA, usedB] = [fill(a, routeA), fill(b, routeB)];
    const most = Math.min(usedA, usedB);
    const wanted = 1 + random.below(Math.max(1, most - 1));
    inA.fill(0);
    inB.fill(0);
    const seed = random.below(m.clients);
    let count = 0;
    const mark = (c: number): void => {
      if (count < wanted && inA[routeA[c]] === 0) {
        inA[routeA[c]] = 1;
        count++;
      }
    };
    mark(seed);
    for (let x = nearAt[seed]; x < nearAt[seed + 1]; x++) mark(near[x]);
    for (let guard = 0; count < wanted && guard < 200; guard++) {
      const c = random.below(m.clients);
      if (inA[routeA[c]] === 0) continue;
      for (let x = nearAt[c]; x < nearAt[c + 1]; x++) mark(near[x]);
    }
    shared.fill(0);
    for (let c = 0; c < m.clients; c++) if (inA[routeA[c]] === 1) shared[routeB[c]]++;
    // as many routes of each type, so that they have where to go
    for (let taken = 0; taken < m.routes; taken++) {
      if (inA[taken] === 0) continue;
      let [best, share] = [-1, -Infinity];
      for (let r = 0; r < m.routes; r++) {
        const size = b.at[r + 1] - b.at[r];
        if (size === 0 || inB[r] === 1 || m.routeType[r] !== m.routeType[taken]) continue;
        const here = shared[r] - 0.5 * size + 0.01 * random.unit();
        if (here > share) {
          best = r;
          share = here;
        }
      }
      if (best >= 0) inB[best] = 1;
    }
  }

  /** `whole`: the routes of b come whole, else without what the rest of a serves. */
  private build(a: Individual, b: Individual, whole: boolean): void {
    const { tours: s, inA, inB, routeA, routeB } = this;
    const m = s.model;
    for (let r = 0; r < m.routes; r++) s.link(s.start + r, s.end + r);
    s.routeOf.fill(-1, 0, s.start);
    for (let r = 0; r < m.routes; r++) {
      if (inA[r] === 1) continue;
      let p = s.start + r;
      for (let k = a.at[r]; k < a.at[r + 1]; k++) {
        const c = a.clients[k];
        if (whole && inB[routeB[c]] === 1) continue;
        s.link(p, c);
        s.routeOf[c] = r;
        p = c;
      }
      s.link(p, s.end + r);
    }
    for (let q = 0; q < m.routes; q++) {
      if (inB[q] === 0) continue;
      const r = this.freeRoute(q);
      if (r < 0) continue;
      let p = s.start + r;
      for (let k = b.at[q]; k < b.at[q + 1]; k++) {
        const c = b.clients[k];
        if ((!whole && inA[routeA[c]] === 0) || m.allowed[c * m.routes + r] === 0) continue;
        s.link(p, c);
        s.routeOf[c] = r;
        p = c;
      }
      s.link(p, s.end + r);
    }
    this.waitingCount = 0;
    for (let c = 0; c < m.clients; c++) if (s.routeOf[c] < 0) this.waiting[this.waitingCount++] = c;
    for (let r = 0; r < m.routes; r++) s.refresh(r);
  }

  /** A route without a stop, of the type of q where there is one. */
  private freeRoute(q: number): number {
    const s = this.tours;
    const m = s.model;
    const free = (r: number): boolean => s.next[s.start + r] === s.end + r;
    if (free(q)) return q;
    let any = -1;
    for (let r = 0; r < m.routes; r++) {
      if (!free(r)) continue;
      if (m.routeType[r] === m.routeType[q]) return r;
      any = r;
    }
    return any;
  }

  /** Everybody afresh. */
  fromScratch(): void {
    this.tours.clear();
    const n = this.tours.model.clients;
    for (let c = 0; c < n; c++) this.waiting[c] = c;
    this.waitingCount = n;
    this.insert();
  }

  /** Puts in who waits, by lot, where it costs least. */
  private insert(): void {
    const { tours: s, waiting, random } = this;
    const m = s.model;
    for (let n = this.waitingCount; n > 0; n--) {
      const i = random.below(n);
      const c = waiting[i];
      waiting[i] = waiting[n - 1];
      let best: number = FAR;
      let after = -1;
      for (let x = this.nearAt[c]; x < this.nearAt[c + 1]; x++) {
        const v = this.near[x];
        const r = s.routeOf[v];
        if (r < 0 || m.allowed[c * m.routes + r] === 0) continue;
        for (let side = 0; side < 2; side++) {
          const p = side === 0 ? v : s.prev[v];
          const d = this.costOf(c, p, best);
          if (d < best) {
            best = d;
            after = p;
          }
        }
      }
      let type = -1;
      for (let r = 0; r < m.routes; r++) {
        if (s.size[r] > 0 || m.routeType[r] === type || m.allowed[c * m.routes + r] === 0) continue;
        type = m.routeType[r];
        const d = this.costOf(c, s.start + r, best);
        if (d < best) {
          best = d;
          after = s.start + r;
        }
      }
      if (after < 0) {
        const open = [];
        for (let r = 0; r < m.routes; r++) if (m.allowed[c * m.routes + r] === 1) open.push(r);
        after = s.start + open[random.below(open.length)];
      }
      const q = s.next[after];
      s.link(after, c);
      s.link(c, q);
      s.refresh(s.routeOf[after]);
    }
    this.waitingCount = 0;
  }

  private costOf(c: number, p: number, bound: number): number {
    const s = this.tours;
    const r = s.routeOf[p];
    const q = s.next[p];
    const d = s.mat[s.row[p] + s.col[c]] + s.mat[s.row[c] + s.col[q]] - s.hop[p];
    if (d - s.penalty[r] >= bound) return FAR;
    s.list[0] = c;
    return d + s.priceOf(r, p, 1, q, s.load[r] + s.demand[c]) - s.penalty[r];
  }
}

/** The route of each client; the number of routes in use. */
function fill(x: Individual, routeOf: Int32Array): number {
  let used = 0;
  for (let r = 0; r < x.at.length - 1; r++) {
    if (x.at[r + 1] > x.at[r]) used++;
    for (let k = x.at[r]; k < x.at[r + 1]; k++) routeOf[x.clients[k]] = r;
  }
  return used;
}
