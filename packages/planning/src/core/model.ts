/**
 * What the search sees: clients (visits; a two-person visit is two clients that are mates) and routes (technician-days,
 * vehicles), all as numbers. Nodes: 0..clients-1, then the start node of each route, then the end node of each route.
 */
export interface RoutingModel {
  readonly clients: number;
  readonly routes: number;
  readonly days: number;
  readonly places: number;
  /** Place of each node. */
  readonly place: Int32Array;
  /** Travel (cost and time) as places x places, one per distinct travel factor, and the same transposed. */
  readonly mats: readonly Int32Array[];
  readonly matsBack: readonly Int32Array[];
  readonly matOf: Int32Array;
  readonly service: Int32Array;
  readonly demand: Int32Array;
  readonly capacity: Int32Array;
  /** First window of client on day, at client * days + day; to < from where there is none. */
  readonly winFrom: Int32Array;
  readonly winTo: Int32Array;
  /** All windows where there are several that day: flat from, to, from, to, rising. */
  readonly moreWindows: ReadonlyMap<number, readonly number[]>;
  /** allowed[client * routes + route]. */
  readonly allowed: Uint8Array;
  readonly routeDay: Int32Array;
  readonly routeTech: Int32Array;
  /** Routes of equal type are interchangeable while empty. */
  readonly routeType: Int32Array;
  readonly open: Int32Array;
  readonly close: Int32Array;
  readonly limit: Int32Array;
  readonly maxDuration: Int32Array;
  readonly breakLength: Int32Array;
  readonly breakFrom: Int32Array;
  readonly breakTo: Int32Array;
  /** -1, or the other client of a two-person visit. The first of the two has role 0. */
  readonly mate: Int32Array;
  readonly isSecond: Uint8Array;
  /** Does any client share its set-up? */
  readonly shares: boolean;
  /** Address of each client, -1: shares with nobody; minutes saved right after another client of the same address. */
  readonly address: Int32Array;
  readonly setUp: Int32Array;
  /** Kinds of parts; needs[client * parts + kind] against stock[route * parts + kind]. */
  readonly parts: number;
  readonly needs: Int32Array;
  readonly stock: Int32Array;
  /** Priced promises of clients that have any; what leaving a client out counts for. */
  readonly promises: ReadonlyMap<number, readonly PricedPromise[]>;
  readonly promiseAbsent: Float64Array;
  /** Clients that collect or return the key of a client, -1: none; and the client of an errand, -1: it is none. */
  readonly collectOf: Int32Array;
  readonly returnOf: Int32Array;
  readonly errandFor: Int32Array;
  readonly lapseAbsent: Float64Array;
  readonly lapseOnDay: Float64Array;
  readonly prizeAbsent: Float64Array;
  readonly prizeLostOnDay: Float64Array;
  /** Published technician and day index, -1 where not published. */
  readonly publishedTech: Int32Array;
  readonly publishedDay: Int32Array;
  readonly techs: number;
  /** Week capacity in minutes of each technician, for the evenness term. */
  readonly techCapacity: Float64Array;
  readonly weights: Weights;
  readonly soft: Weights;
  /** True: lapses, exposure, overtime decide in that order before the rest. False: the weighted sum decides. */
  readonly lexicographic: boolean;
  /** How many levels there are then: 4, or 2 where the weighted sum decides after lapses. */
  readonly levels: number;
  readonly neighbourCount: number;
  /** The nearest clients of each client, nearest first. */
  readonly neighbours: Int32Array;
}

/** A promise that may be broken at a price (in travel); -1 where day or technician is free. */
export interface PricedPromise {
  readonly day: number;
  readonly tech: number;
  readonly from: number;
  readonly to: number;
  readonly price: number;
}

/** The fields of what only rich weeks have, at rest. */
export function plainFields(clients: number): Pick<RoutingModel, 'shares' | 'address' | 'setUp' | 'parts' | 'needs' | 'stock' | 'promises' | 'promiseAbsent' | 'collectOf' | 'returnOf' | 'errandFor'> {
  const none = (): Int32Array => new Int32Array(clients).fill(-1);
  return {
    shares: false, address: none(), setUp: new Int32Array(clients), parts: 0, needs: new Int32Array(0), stock: new Int32Array(0),
    promises: new Map(), promiseAbsent: new Float64Array(clients), collectOf: none(), returnOf: none(), errandFor: none(),
  };
}

export interface Weights {
  readonly lapse: number;
  readonly exposure: number;
  readonly overtime: number;
  readonly travel: number;
  readonly change: number;
  readonly balance: number;
}

export const FAR = 1 << 29;

/** Is there a route that may serve both? */
export function shareRoute({ allowed, routes }: Pick<RoutingModel, 'allowed' | 'routes'>, c: number, d: number): boolean {
  for (let r = 0; r < routes; r++) if (allowed[c * routes + r] === 1 && allowed[d * routes + r] === 1) return true;
  return false;
}

/** Added to how far apart two are that no route can both serve: they come after all others. */
const APART = 1e9;

/**
 * Nearest clients by travel plus a share of the waiting and lateness that serving one after the other forces
 * (as in granular neighbourhoods for time windows: Vidal et al. 2013, from memory). `together`: can one route serve both?
 */
export function nearestClients(
  clients: number, days: number, places: number, place: Int32Array, mat: Int32Array, service: Int32Array,
  winFrom: Int32Array, winTo: Int32Array, count: number, together?: (i: number, j: number) => boolean,
): Int32Array {
  const k = Math.max(0, Math.min(count, clients - 1));
  const result = new Int32Array(clients * k).fill(-1);
  const score = new Float64Array(clients);
  for (let i = 0; i < clients; i++) {
    for (let j = 0; j < clients; j++) {
      score[j] = i === j ? Infinity : nearness(i, j) + (together === undefined || together(i, j) ? 0 : APART);
    }
    const order = days > 1 ? smallestWhole(score, k) : smallest(score, k);
    for (let x = 0; x < k; x++) result[i * k + x] = order[x];
  }
  return result;

  function nearness(i: number, j: number): number {
    const there = mat[place[i] * places + place[j]];
    const back = mat[place[j] * places + place[i]];
    if (days > 1) return Math.min(there, back);
    return Math.min(oneWay(i, j, there), oneWay(j, i, back));
  }

  function oneWay(i: number, j: number, t: number): number {
    const wait = Math.max(0, winFrom[j] - t - service[i] - winTo[i]);
    const late = Math.max(0, winFrom[i] + service[i] + t - winTo[j]);
    return t + 0.2 * wait + 1 * late;
  }
}

const MOST_WHOLE = 4096;
const counted = new Int32Array(MOST_WHOLE + 1);

/** The same for whole numbers, most of them small: by counting instead of comparing. */
function smallestWhole(score: Float64Array, k: number): ArrayLike<number> {
  counted.fill(0);
  for (let j = 0; j < score.length; j++) if (score[j] < MOST_WHOLE) counted[score[j]]++;
  let last = 0;
  for (let sum = 0; last < MOST_WHOLE; last++) {
    sum += counted[last];
    if (sum >= k) break;
  }
  if (last === MOST_WHOLE) return smallest(score, k);
  for (let v = 0, at = 0; v <= last; v++) {
    const here = counted[v];
    counted[v] = at;
    at += here;
  }
  const order = new Int32Array(k);
  for (let j = 0; j < score.length; j++) {
    if (score[j] > last) continue;
    const at = counted[score[j]]++;
    if (at < k) order[at] = j;
  }
  return order;
}

/** Indices of the k smallest values, in order (ties by index). */
function smallest(score: Float64Array, k: number): number[] {
  const heap: number[] = [];
  const worse = (a: number, b: number): boolean => score[a] > score[b] || (score[a] === score[b] && a > b);
  for (let j = 0; j < score.length; j++) {
    if (heap.length < k) {
      heap.push(j);
      let c = heap.length - 1;
      while (c > 0) {
        const p = (c - 1) >> 1;
        if (!worse(heap[c], heap[p])) break;
        [heap[c], heap[p]] = [heap[p], heap[c]];
        c = p;
      }
    } else if (k > 0 && worse(heap[0], j)) {
      heap[0] = j;
      let p = 0;
      for (;;) {
        let c = 2 * p + 1;
        if (c >= k) break;
        if (c + 1 < k && worse(heap[c + 1], heap[c])) c++;
        if (!worse(heap[c], heap[p])) break;
        [heap[c], heap[p]] = [heap[p], heap[c]];
        p = c;
      }
    }
  }
  return heap.sort((a, b) => score[a] - score[b] || a - b);
}
