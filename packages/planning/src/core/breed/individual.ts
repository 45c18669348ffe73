import type { Tours } from './tours.js';

/** A complete solution, feasible or not, small enough to keep dozens of. */
export interface Individual {
  /** Clients in the order of the routes; those of route r from at[r] to before at[r + 1]. */
  readonly clients: Int32Array;
  readonly at: Int32Array;
  /** Next client of each client, -1 at the end of a route; and the one before. */
  readonly after: Int32Array;
  readonly before: Int32Array;
  readonly travel: number;
  readonly load: number;
  readonly warp: number;
  readonly over: number;
}

export function individualOf(tours: Tours): Individual {
  const m = tours.model;
  const clients = new Int32Array(m.clients);
  const at = new Int32Array(m.routes + 1);
  const after = new Int32Array(m.clients).fill(-1);
  const before = new Int32Array(m.clients).fill(-1);
  let [k, travel, load, warp, over] = [0, 0, 0, 0, 0];
  for (let r = 0; r < m.routes; r++) {
    at[r] = k;
    for (let c = tours.next[tours.start + r]; c < tours.start; c = tours.next[c]) {
      if (k > at[r]) {
        before[c] = clients[k - 1];
        after[clients[k - 1]] = c;
      }
      clients[k++] = c;
    }
    travel += tours.travel[r];
    load += Math.max(0, tours.load[r] - m.capacity[r]);
    warp += tours.warp[r];
    over += tours.over[r];
  }
  at[m.routes] = k;
  return { clients, at, after, before, travel, load, warp, over };
}

export function feasible(x: Individual): boolean {
  return x.load === 0 && x.warp === 0 && x.over === 0;
}

/** Puts an individual into the tours. */
export function lay(tours: Tours, x: Individual): void {
  for (let r = 0; r < tours.model.routes; r++) {
    let p = tours.start + r;
    for (let k = x.at[r]; k < x.at[r + 1]; k++) {
      tours.link(p, x.clients[k]);
      p = x.clients[k];
    }
    tours.link(p, tours.end + r);
    tours.refresh(r);
  }
}

/** Share of the clients that are followed, or preceded, by another one. */
export function distance(a: Individual, b: Individual): number {
  const n = a.after.length;
  let differ = 0;
  for (let c = 0; c < n; c++) {
    if (a.after[c] !== b.after[c]) differ++;
    if (a.before[c] !== b.before[c]) differ++;
  }
  return differ / (2 * n);
}
