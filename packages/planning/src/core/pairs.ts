import { FAR } from './model.js';
import type { Routes } from './routes.js';

/** Pulls the common starts of two-person visits as early as both rounds allow, after what stands before them has changed. */
export class PairStarts {
  private readonly firsts: readonly number[];
  /** Versions of both routes when the pair was last looked at. */
  private readonly seen: Int32Array;

  constructor(private readonly routes: Routes) {
    const m = routes.model;
    this.firsts = Array.from({ length: m.clients }, (_, c) => c).filter((c) => m.mate[c] >= 0 && m.isSecond[c] === 0);
    this.seen = new Int32Array(2 * m.clients).fill(-1);
  }

  settle(): void {
    for (let again = 0; again < 4; again++) {
      let changed = false;
      for (const c of this.firsts) if (this.settleOne(c)) changed = true;
      if (!changed) return;
    }
  }

  private settleOne(c: number): boolean {
    const { routes, seen } = this;
    const mate = routes.model.mate[c];
    const [r, q] = [routes.routeOf[c], routes.routeOf[mate]];
    if (r < 0 || q < 0 || (seen[2 * c] === routes.version[r] && seen[2 * c + 1] === routes.version[q])) return false;
    const start = routes.earliestOn(c, routes.model.routeDay[r], Math.max(routes.earliestStay(c), routes.earliestStay(mate)));
    const earlier = start < routes.fixed[c] && start < FAR;
    if (earlier) {
      routes.refix(c, start);
      routes.refix(mate, start);
      routes.refresh(r);
      routes.refresh(q);
    }
    seen[2 * c] = routes.version[r];
    seen[2 * c + 1] = routes.version[q];
    return earlier;
  }
}
