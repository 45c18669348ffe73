import type { CostValues } from '../plan.js';
import type { Routes } from './routes.js';

/** A plan as sequences, small enough to copy. */
export interface Snapshot {
  readonly sequences: readonly (readonly number[])[];
  readonly starts: ReadonlyMap<number, number>;
  readonly lapse: number;
  readonly exposure: number;
  readonly overtime: number;
  readonly last: number;
  readonly strict: number;
  readonly soft: number;
  readonly terms: CostValues;
}

export function snapshotOf(routes: Routes): Snapshot {
  const sequences: number[][] = [];
  const starts = new Map<number, number>();
  for (let r = 0; r < routes.model.routes; r++) {
    const seq = routes.sequence(r);
    for (const c of seq) if (routes.fixed[c] >= 0) starts.set(c, routes.fixed[c]);
    sequences.push(seq);
  }
  return {
    sequences, starts, lapse: routes.lapse, exposure: routes.exposure, overtime: routes.overtimeSum, last: routes.last(), strict: routes.strict(), soft: routes.softCost(),
    terms: { lapses: routes.lapse, exposure: routes.exposure, overtime: routes.overtimeSum, travel: routes.travelSum, promises: routes.promiseSum, change: routes.changeSum, balance: routes.balanceSum },
  };
}

export function restore(routes: Routes, snap: Snapshot): void {
  const m = routes.model;
  routes.begin();
  for (let r = 0; r < m.routes; r++) for (const c of routes.sequence(r)) routes.unlink(c);
  snap.sequences.forEach((seq, r) => {
    let p = routes.start + r;
    for (const c of seq) {
      routes.link(c, p, snap.starts.get(c) ?? -1);
      p = c;
    }
    routes.refresh(r);
  });
}
