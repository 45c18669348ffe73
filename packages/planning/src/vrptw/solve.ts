import { Board, boardBytes } from '../core/board.js';
import { FAR, nearestClients, plainFields, type RoutingModel, shareRoute } from '../core/model.js';
import { breeds, breedSearch } from '../core/breed/run.js';
import { search } from '../core/search.js';
import type { VrptwInstance } from './parse.js';

export interface VrptwStop {
  readonly iterations?: number;
  readonly until?: () => boolean;
  readonly fraction?: () => number;
  readonly cancelled?: () => boolean;
}

export interface VrptwSolution {
  /** Clients 1.. in order, one list per used vehicle; vehicle gives its index. */
  readonly routes: readonly { readonly vehicle: number; readonly clients: readonly number[] }[];
  /** Clients that no route serves. */
  readonly unserved: readonly number[];
  /** Distance plus prizes not collected, in the instance's own unit. */
  readonly cost: number;
  readonly distance: number;
  readonly iterations: number;
}

/** The instance as the model that the weekly plans use: one day, one route per vehicle. */
export function vrptwModel(v: VrptwInstance): RoutingModel {
  const clients = v.size - 1;
  const routes = v.vehicles;
  const nodes = clients + 2 * routes;
  const place = new Int32Array(nodes);
  for (let c = 0; c < clients; c++) place[c] = c + 1;
  const ints = (f: (c: number) => number, n = clients): Int32Array => Int32Array.from({ length: n }, (_, i) => f(i));
  const service = ints((c) => Math.round(v.service[c + 1]));
  const winFrom = ints((c) => Math.round(v.ready[c + 1]));
  const winTo = ints((c) => Math.round(v.due[c + 1]));
  const allowed = new Uint8Array(clients * routes).fill(1);
  if (v.allowed !== null) {
    for (let c = 0; c < clients; c++) for (let r = 0; r < routes; r++) allowed[c * routes + r] = v.allowed[r].has(c + 1) ? 1 : 0;
  }
  const types = new Map<string, number>();
  const routeType = ints((r) => {
    const key = `${v.capacity[r]} ${v.allowed === null ? '' : [...v.allowed[r]].join(',')}`;
    if (!types.has(key)) types.set(key, types.size);
    return types.get(key) ?? 0;
  }, routes);
  const mandatory = 1e9;
  const weights = { lapse: mandatory, exposure: 1, overtime: 0, travel: 1, change: 0, balance: 0 };
  const neighbourCount = Math.min(clients - 1, 100);
  const zero = (n: number): Int32Array => new Int32Array(n);
  return {
    clients, routes, days: 1, places: v.size, place, mats: [v.distance], matsBack: [v.distance], matOf: zero(routes), service,
    demand: ints((c) => v.demand[c + 1]), capacity: ints((r) => v.capacity[r], routes), winFrom, winTo, moreWindows: new Map(), allowed,
    routeDay: zero(routes), routeTech: ints((r) => r, routes), routeType, open: zero(routes).fill(Math.round(v.ready[0])),
    close: zero(routes).fill(Math.round(v.due[0])), limit: zero(routes).fill(Math.round(v.due[0])),
    maxDuration: zero(routes).fill(v.maxDuration ?? FAR), breakLength: zero(routes), breakFrom: zero(routes), breakTo: zero(routes),
    mate: zero(clients).fill(-1), isSecond: new Uint8Array(clients), ...plainFields(clients),
    lapseAbsent: new Float64Array(clients).fill(v.prize === null ? 1 : 0), lapseOnDay: new Float64Array(clients),
    prizeAbsent: Float64Array.from({ length: clients }, (_, c) => (v.prize === null ? 0 : v.prize[c + 1])), prizeLostOnDay: new Float64Array(clients),
    publishedTech: zero(clients).fill(-1), publishedDay: zero(clients).fill(-1), techs: routes, techCapacity: new Float64Array(routes).fill(1),
    weights, soft: { ...weights, lapse: 0.5 * mandatory }, lexicographic: false, levels: 1, neighbourCount,
    neighbours: nearestClients(clients, 1, v.size, place, v.distance, service, winFrom, winTo, neighbourCount, v.allowed === null ? undefined : (a, b) => shareRoute({ allowed, routes }, a, b)),
  };
}

/** Bytes of the memory that threads solving one instance share. */
export function vrptwBoardBytes(v: VrptwInstance): number {
  return boardBytes(v.size - 1, v.vehicles);
}

/** Solves an academic instance with the engine of the weekly plans. `board`: memory shared with threads solving the same one. */
export function solveVrptw(v: VrptwInstance, options: { readonly seed: number; readonly stop: VrptwStop; readonly onProgress?: (cost: number) => void; readonly board?: SharedArrayBuffer }): VrptwSolution {
  const onProgress = options.onProgress;
  const model = vrptwModel(v);
  const { best, iterations } = (breeds(model) ? breedSearch : search)(model, {
    seed: options.seed, ...options.stop, ...(options.board === undefined ? {} : { board: new Board(options.board, model) }), ...(onProgress === undefined ? {} : { onProgress: (p) => onProgress(p.strict / v.scale) }),
  });
  const routes = best.sequences.flatMap((s, vehicle) => (s.length === 0 ? [] : [{ vehicle, clients: s.map((c) => c + 1) }]));
  const served = new Set(routes.flatMap((r) => r.clients));
  const unserved = Array.from({ length: v.size - 1 }, (_, i) => i + 1).filter((c) => !served.has(c));
  const { distance, cost } = vrptwCost(v, routes);
  return { routes, unserved, cost, distance, iterations };
}

/** Distance and cost of given routes, recomputed from the instance, in its own unit. */
export function vrptwCost(v: VrptwInstance, routes: readonly { readonly clients: readonly number[] }[]): { distance: number; cost: number } {
  let distance = 0;
  const served = new Set<number>();
  for (const r of routes) {
    let at = 0;
    for (const c of [...r.clients, 0]) {
      distance += v.distance[at * v.size + c];
      at = c;
      served.add(c);
    }
  }
  let missed = 0;
  if (v.prize !== null) for (let c = 1; c < v.size; c++) if (!served.has(c)) missed += v.prize[c];
  return { distance: distance / v.scale, cost: (distance + missed) / v.scale };
}

/** Faults of given routes, from scratch: windows, capacity, vehicles, duration, each client at most once (and served, unless optional). */
export function vrptwFaults(v: VrptwInstance, solution: Pick<VrptwSolution, 'routes'>): string[] {
  const faults: string[] = [];
  const seen = new Set<number>();
  if (solution.routes.length > v.vehicles) faults.push(`${solution.routes.length} routes, ${v.vehicles} vehicles`);
  for (const { vehicle, clients } of solution.routes) {
    const load = clients.reduce((sum, c) => sum + v.demand[c], 0);
    if (load > v.capacity[vehicle]) faults.push(`vehicle ${vehicle}: load ${load} over ${v.capacity[vehicle]}`);
    let now = v.ready[0];
    let at = 0;
    for (const c of clients) {
      if (seen.has(c)) faults.push(`client ${c} twice`);
      seen.add(c);
      if (v.allowed !== null && !v.allowed[vehicle].has(c)) faults.push(`client ${c} not allowed on vehicle ${vehicle}`);
      now = Math.max(now + v.distance[at * v.size + c], v.ready[c]);
      if (now > v.due[c]) faults.push(`client ${c} at ${now} after ${v.due[c]}`);
      now += v.service[c];
      at = c;
    }
    const end = now + v.distance[at * v.size];
    if (end > v.due[0]) faults.push(`vehicle ${vehicle} back at ${end} after ${v.due[0]}`);
    if (v.maxDuration !== null && shortest(v, clients, end) > v.maxDuration) faults.push(`vehicle ${vehicle} longer than ${v.maxDuration}`);
  }
  if (v.prize === null) for (let c = 1; c < v.size; c++) if (!seen.has(c)) faults.push(`client ${c} not served`);
  return faults;
}

/** Least duration when the end is as early as possible: walk back from the end, leaving as late as possible. */
function shortest(v: VrptwInstance, clients: readonly number[], end: number): number {
  let late = end;
  let at = 0;
  for (const c of [...clients].reverse()) {
    late = Math.min(v.due[c], late - v.distance[c * v.size + at] - v.service[c]);
    at = c;
  }
  return end - (late - v.distance[at]);
}
