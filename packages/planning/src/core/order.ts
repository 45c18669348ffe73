import type { Random } from '../random.js';
import type { RoutingModel } from './model.js';
import type { Routes } from './routes.js';
import { width } from './yardstick.js';

export interface ToInsert {
  readonly model: RoutingModel;
  readonly routes: Routes;
  readonly random: Random;
  /** One per client, overwritten. */
  readonly key: Float64Array;
  readonly removed: number[];
  readonly scale: number;
  /** Do clients differ in what leaving them out costs? */
  readonly worth: boolean;
  readonly lapsing: boolean;
}

/** Orders what is to be inserted. How 0: by worth; else one of several orders by lot. */
export function orderForInsertion(of: ToInsert, how: number): void {
  const { model: m, key, removed, random, routes, scale } = of;
  const lot = how === 0 ? 0 : random.below(22);
  const depot = m.place[routes.start];
  for (const c of removed) {
    if (of.worth && (how === 0 || lot < 7)) key[c] = -routes.absentCost(c) / (how === 0 || lot < 3 ? 1 : m.service[c] + scale);
    else if (lot < 10) key[c] = random.unit();
    else if (lot < 13) key[c] = -(m.demand[c] + m.service[c] * 1e-3);
    else if (lot < 15) key[c] = -m.mats[0][depot * m.places + m.place[c]];
    else if (lot < 16) key[c] = m.mats[0][depot * m.places + m.place[c]];
    else if (lot < 18) key[c] = width(m, c);
    else if (lot < 20) key[c] = m.winFrom[c * m.days];
    else key[c] = -m.winTo[c * m.days];
    // the second of a pair follows its first
    if (m.isSecond[c] === 1) key[c] = Infinity;
    else if (m.mate[c] >= 0 && random.unit() < 0.5) key[c] = -Infinity;
  }
  removed.sort((a, b) => key[a] - key[b] || a - b);
  if (m.lexicographic && of.lapsing && (how === 0 || random.unit() < 0.7)) {
    removed.sort((a, b) => (m.lapseAbsent[b] > 0 ? 1 : 0) - (m.lapseAbsent[a] > 0 ? 1 : 0));
  }
}
