import type { RoutingModel } from './model.js';

/** Minutes of all windows of a client together. */
export function width(m: RoutingModel, c: number): number {
  let sum = 0;
  for (let d = 0; d < m.days; d++) sum += Math.max(0, m.winTo[c * m.days + d] - m.winFrom[c * m.days + d]);
  return sum;
}

/** Mean travel to the ten nearest clients: the yardstick of the annealing. */
export function typicalHop(m: RoutingModel): number {
  const k = Math.min(10, m.neighbourCount);
  let sum = 0;
  let count = 0;
  for (let c = 0; c < m.clients; c++) {
    for (let x = 0; x < k; x++) {
      sum += m.mats[0][m.place[c] * m.places + m.place[m.neighbours[c * m.neighbourCount + x]]];
      count++;
    }
  }
  return count === 0 ? 1 : Math.max(1, sum / count) * m.soft.travel;
}
