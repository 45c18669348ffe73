import { FAR, type RoutingModel } from '../model.js';

/**
 * Routes that may be too full, too long or too late, each excess at a price. For every node the stretch from the start of
 * its route up to it and the stretch from it to the end are kept as duration, lateness that was forgiven ('warp'), and
 * earliest and latest start (Vidal et al. 2013, from memory): stretches of different routes are put together in constant time.
 */
export class Tours {
  readonly next: Int32Array;
  readonly prev: Int32Array;
  readonly routeOf: Int32Array;
  readonly position: Int32Array;
  /** Travel to the next node. */
  readonly hop: Int32Array;
  /** Load up to and with the node. */
  readonly cum: Int32Array;
  readonly size: Int32Array;
  readonly load: Int32Array;
  readonly travel: Float64Array;
  readonly warp: Int32Array;
  readonly over: Int32Array;
  /** Price of all excess of each route. */
  readonly penalty: Float64Array;
  readonly start: number;
  readonly end: number;
  readonly row: Int32Array;
  readonly col: Int32Array;
  readonly mat: Int32Array;
  readonly demand: Int32Array;
  /** What stands between two stretches in `priceOf`. */
  readonly list: Int32Array;
  warpPrice = 1;
  loadPrice = 1;
  overPrice = 1;
  private readonly from: Int32Array;
  private readonly to: Int32Array;
  private readonly service: Int32Array;
  private readonly headD: Int32Array;
  private readonly headW: Int32Array;
  private readonly headE: Int32Array;
  private readonly headL: Int32Array;
  private readonly tailD: Int32Array;
  private readonly tailW: Int32Array;
  private readonly tailE: Int32Array;
  private readonly tailL: Int32Array;

  constructor(readonly model: RoutingModel) {
    const { clients, routes } = model;
    const nodes = clients + 2 * routes;
    const ints = (): Int32Array => new Int32Array(nodes);
    this.start = clients;
    this.end = clients + routes;
    this.next = ints();
    this.prev = ints();
    this.routeOf = ints().fill(-1);
    this.position = ints();
    this.hop = ints();
    this.cum = ints();
    this.size = new Int32Array(routes);
    this.load = new Int32Array(routes);
    this.travel = new Float64Array(routes);
    this.warp = new Int32Array(routes);
    this.over = new Int32Array(routes);
    this.penalty = new Float64Array(routes);
    this.list = new Int32Array(clients + 2);
    this.mat = model.mats[0];
    this.col = model.place;
    this.row = Int32Array.from(model.place, (p) => p * model.places);
    this.demand = ints();
    this.from = ints();
    this.to = ints();
    this.service = ints();
    for (let n = 0; n < nodes; n++) {
      const r = n < this.start ? -1 : n < this.end ? n - this.start : n - this.end;
      this.demand[n] = r < 0 ? model.demand[n] : 0;
      this.service[n] = r < 0 ? model.service[n] : 0;
      this.from[n] = r < 0 ? model.winFrom[n] : model.open[r];
      this.to[n] = r < 0 ? model.winTo[n] : model.limit[r];
      if (r >= 0) this.routeOf[n] = r;
    }
    this.headD = ints();
    this.headW = ints();
    this.headE = ints();
    this.headL = ints();
    this.tailD = ints();
    this.tailW = ints();
    this.tailE = ints();
    this.tailL = ints();
    this.clear();
  }

  /** Takes everybody out. */
  clear(): void {
    this.routeOf.fill(-1, 0, this.start);
    for (let r = 0; r < this.model.routes; r++) {
      this.link(this.start + r, this.end + r);
      this.refresh(r);
    }
  }

  link(a: number, b: number): void {
    this.next[a] = b;
    this.prev[b] = a;
  }

  /** Recomputes everything about a route whose links have changed. */
  refresh(r: number): void {
    const { next, prev, routeOf, position, hop, cum, mat, row, col, from, to, service, demand, headD, headW, headE, headL, tailD, tailW, tailE, tailL } = this;
    const s = this.start + r;
    const e = this.end + r;
    let d = 0;
    let w = 0;
    let early = from[s];
    let late = to[s];
    let load = 0;
    let travel = 0;
    let k = 0;
    headD[s] = 0;
    headW[s] = 0;
    headE[s] = early;
    headL[s] = late;
    position[s] = 0;
    for (let p = s, c = next[s]; ; p = c, c = next[c]) {
      const t = mat[row[p] + col[c]];
      const delta = d - w + t;
      const wait = Math.max(from[c] - delta - late, 0);
      const warp = Math.max(early + delta - to[c], 0);
      d += t + wait + service[c];
      w += warp;
      early = Math.max(from[c] - delta, early) - wait;
      late = Math.min(to[c] - delta, late) + warp;
      hop[p] = t;
      travel += t;
      load += demand[c];
      headD[c] = d;
      headW[c] = w;
      headE[c] = early;
      headL[c] = late;
      cum[c] = load;
      routeOf[c] = r;
      position[c] = ++k;
      if (c === e) break;
    }
    this.size[r] = k - 1;
    this.load[r] = load;
    this.travel[r] = travel;
    this.warp[r] = w;
    this.over[r] = this.model.maxDuration[r] >= FAR ? 0 : Math.max(0, d - w - this.model.maxDuration[r]);
    this.penalty[r] = this.price(r, load, w, d - w);
    d = 0;
    w = 0;
    early = from[e];
    late = to[e];
    tailD[e] = 0;
    tailW[e] = 0;
    tailE[e] = early;
    tailL[e] = late;
    for (let c = prev[e]; ; c = prev[c]) {
      const delta = service[c] + hop[c];
      const wait = Math.max(early - delta - to[c], 0);
      const warp = Math.max(from[c] + delta - late, 0);
      d += delta + wait;
      w += warp;
      early = Math.max(early - delta, from[c]) - wait;
      late = Math.min(late - delta, to[c]) + warp;
      tailD[c] = d;
      tailW[c] = w;
      tailE[c] = early;
      tailL[c] = late;
      if (c === s) break;
    }
  }

  private price(r: number, load: number, warp: number, duration: number): number {
    const m = this.model;
    let cost = this.warpPrice * warp;
    if (load > m.capacity[r]) cost += this.loadPrice * (load - m.capacity[r]);
    if (duration > m.maxDuration[r]) cost += this.overPrice * (duration - m.maxDuration[r]);
    return cost;
  }

  /** Price of the excess of route r if it were: the stretch up to p, the first `count` of the list, the stretch from q on. */
  priceOf(r: number, p: number, count: number, q: number, load: number): number {
    const { mat, row, col, from, to, service, list } = this;
    let d = this.headD[p];
    let w = this.headW[p];
    let early = this.headE[p];
    let late = this.headL[p];
    let at = row[p];
    for (let i = 0; i < count; i++) {
      const c = list[i];
      const t = mat[at + col[c]];
      const delta = d - w + t;
      const wait = Math.max(from[c] - delta - late, 0);
      const warp = Math.max(early + delta - to[c], 0);
      d += t + wait + service[c];
      w += warp;
      early = Math.max(from[c] - delta, early) - wait;
      late = Math.min(to[c] - delta, late) + warp;
      at = row[c];
    }
    const t = mat[at + col[q]];
    const delta = d - w + t;
    const wait = Math.max(this.tailE[q] - delta - late, 0);
    w += this.tailW[q] + Math.max(early + delta - this.tailL[q], 0);
    return this.price(r, load, w, d + this.tailD[q] + t + wait - w);
  }

  reprice(): void {
    for (let r = 0; r < this.model.routes; r++) this.refresh(r);
  }

  cost(): number {
    let sum = 0;
    for (let r = 0; r < this.model.routes; r++) sum += this.travel[r] + this.penalty[r];
    return sum;
  }
}
