import type { Routes } from './routes.js';

/** Where a visit and the errands for its key go: link the visit after `visit`, then collect after `collect`, then return after `back` (-1: none). */
export interface ChainPlace {
  readonly visit: number;
  readonly collect: number;
  readonly back: number;
  /** Added cost, without what leaving it out counts for. */
  readonly cost: number;
}

/** Places kept per stage where not every combination is tried. */
const KEPT = 2;

export function hasErrands(routes: Routes, c: number): boolean {
  return routes.model.collectOf[c] >= 0 || routes.model.returnOf[c] >= 0;
}

/** The cheapest place of an absent visit whose key must be collected and returned in the same round; `exact` tries every combination, `only` one route. */
export function bestChain(routes: Routes, c: number, exact: boolean, only = -1): ChainPlace | null {
  const m = routes.model;
  const finder = new ChainFinder(routes, c, exact);
  for (let r = only < 0 ? 0 : only; r < (only < 0 ? m.routes : only + 1); r++) {
    const open = [c, m.collectOf[c], m.returnOf[c]].every((x) => x < 0 || m.allowed[x * m.routes + r] === 1);
    if (open && routes.stocked(c, r)) finder.tryRoute(r);
  }
  return finder.best;
}

/** Puts the visit and its errands where bestChain found. */
export function placeChain(routes: Routes, c: number, at: ChainPlace): void {
  const m = routes.model;
  const steps: readonly (readonly [number, number])[] = [[c, at.visit], [m.collectOf[c], at.collect], [m.returnOf[c], at.back]];
  for (const [x, p] of steps) if (x >= 0) routes.link(x, p);
  routes.refresh(routes.routeOf[c]);
}

class ChainFinder {
  best: ChainPlace | null = null;
  private readonly before: readonly number[];

  constructor(private readonly routes: Routes, private readonly c: number, private readonly exact: boolean) {
    this.before = totals(routes);
  }

  tryRoute(r: number): void {
    const { routes, c } = this;
    const version = routes.version[r];
    for (const p of this.spots(c, routes.start + r, routes.end + r)) this.with(c, p, () => this.tryCollect(r, p));
    routes.version[r] = version;
  }

  private tryCollect(r: number, visit: number): void {
    const { routes, c } = this;
    const k = routes.model.collectOf[c];
    if (k < 0) this.tryReturn(r, visit, -1);
    else for (const p of this.spots(k, routes.start + r, c)) this.with(k, p, () => this.tryReturn(r, visit, p));
  }

  private tryReturn(r: number, visit: number, collect: number): void {
    const { routes, c } = this;
    const b = routes.model.returnOf[c];
    if (b < 0) this.judge(visit, collect, -1);
    else for (const p of this.spots(b, c, routes.end + r)) this.with(b, p, () => this.judge(visit, collect, p));
  }

  private judge(visit: number, collect: number, back: number): void {
    const { routes, c, before } = this;
    const m = routes.model;
    const now = totals(routes);
    const d = now.map((x, i) => x - before[i]);
    const w = m.weights;
    // what its absence counts for is left out before the large weights come in, so that no digit is lost
    const cost = w.lapse * (d[0] + m.lapseAbsent[c]) + w.exposure * (d[1] + m.prizeAbsent[c]) + w.overtime * d[2]
      + w.travel * (d[3] + d[6] + m.promiseAbsent[c]) + w.change * (d[4] + (m.publishedTech[c] >= 0 ? 1 : 0)) + w.balance * d[5];
    if (this.best === null || cost < this.best.cost) this.best = { visit, collect, back, cost };
  }

  private with(x: number, p: number, then: () => void): void {
    const r = this.routes.routeOf[p];
    this.routes.link(x, p);
    this.routes.refresh(r);
    then();
    this.routes.unlink(x);
    this.routes.refresh(r);
  }

  /** Feasible places of x from node `from` up to before node `to`, shortest way first. */
  private spots(x: number, from: number, to: number): number[] {
    const { routes } = this;
    const m = routes.model;
    const mat = m.mats[m.matOf[routes.routeOf[from]]];
    const hop = (a: number, b: number): number => mat[m.place[a] * m.places + m.place[b]];
    const found: { p: number; way: number }[] = [];
    for (let p = from; p !== to; p = routes.next[p]) {
      const q = routes.next[p];
      if (routes.fits(x, p)) found.push({ p, way: hop(p, x) + hop(x, q) - hop(p, q) });
    }
    found.sort((a, b) => a.way - b.way);
    return (this.exact ? found : found.slice(0, KEPT)).map((f) => f.p);
  }
}

function totals(s: Routes): number[] {
  return [s.lapse, s.exposure, s.overtimeSum, s.travelSum, s.changeSum, s.balanceSum, s.promiseSum];
}
