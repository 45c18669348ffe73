import { type Point, type TravelModel, DEFAULT_TRAVEL, straightKm, tripMin } from './travel.js';

// Travel by road, as a table service answers it, and the matrix that takes what was answered and estimates the rest.

/** Never asked, or never answered. */
export const UNKNOWN = -1;
/** Asked, and the service knows no way between the two. */
export const NO_WAY = -2;

/** Minutes of driving between places, row by row; UNKNOWN and NO_WAY where there are none. */
export interface RoadTimes {
  readonly places: number;
  readonly minutes: ArrayLike<number>;
}

/** One question to a table service: all pairs of these sources and destinations, by index of the places. */
export interface TableRequest {
  readonly sources: readonly number[];
  readonly destinations: readonly number[];
}

/**
 * Questions that together ask every missing pair, none with more than `most` places. Pairs known already are asked again only
 * inside the rectangle of a question. Throws RangeError for `most` below 2.
 */
export function tableRequests(missing: ReadonlyMap<number, readonly number[]>, most: number): TableRequest[] {
  if (!(most >= 2)) throw new RangeError(`most is ${most}, accepted is a whole number of at least 2`);
  const rows = [...missing].map(([from, to]) => ({ from, to: to.filter((one) => one !== from) })).filter((row) => row.to.length > 0).map((row) => ({ ...row, keys: keysOf(row) }));
  const often = new Map<string, number>();
  for (const key of rows.flatMap((row) => row.keys)) often.set(key, (often.get(key) ?? 0) + 1);
  const alike = new Map<string, { sources: number[]; destinations: Set<number> }>();
  for (const { from, to, keys } of rows) {
    const key = (often.get(keys[0]) as number) >= (often.get(keys[1]) as number) ? keys[0] : keys[1];
    const one = alike.get(key) ?? { sources: [], destinations: new Set() };
    one.sources.push(from);
    for (const place of to) one.destinations.add(place);
    alike.set(key, one);
  }
  return [...alike.values()].flatMap(({ sources, destinations: wanted }) => {
    const destinations = [...wanted].sort((a, b) => a - b);
    const [rows, columns] = sidesOf(sources.length, destinations.length, most);
    return chunks(sources, rows).flatMap((some) => chunks(destinations, columns).map((others): TableRequest => ({ sources: some, destinations: others })));
  });
}

/** Sides of the rectangles: half each, and what the shorter side does not need goes to the longer. */
function sidesOf(sources: number, destinations: number, most: number): [number, number] {
  const half = Math.floor(most / 2);
  if (sources <= half) return [sources, Math.max(1, most - sources)];
  if (destinations <= half) return [Math.max(1, most - destinations), destinations];
  return [half, most - half];
}

/**
 * What a place lacks, as a short word: as it is, and with the place itself, since places that all lack each other lack the same but for
 * themselves. Two lists with one word by chance would be asked together: more is asked then, never less.
 */
function keysOf({ from, to }: { from: number; to: readonly number[] }): [string, string] {
  let [a, b] = [0, 0];
  for (const place of to) { a ^= mixed(place, 0x9e3779b1); b ^= mixed(place, 0x85ebca77); }
  return [`${to.length} ${a} ${b}`, `${to.length + 1} ${a ^ mixed(from, 0x9e3779b1)} ${b ^ mixed(from, 0x85ebca77)}`];
}

/** Murmur3's last step (from memory). */
function mixed(n: number, by: number): number {
  let h = Math.imul(n + 1, by);
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
}

const chunks = (list: readonly number[], size: number): number[][] => Array.from({ length: Math.ceil(list.length / size) }, (_, i) => list.slice(i * size, (i + 1) * size));

/**
 * The address of a question to an OSRM-compatible table service (HTTP API v1, service 'table', from memory): longitude before
 * latitude, sources and destinations by their place in that list. `service` ends in the profile
 * (http://roads.example:5000/table/v1/driving); what it carries after a question mark is kept.
 */
export function tableAddress(service: string, points: readonly { readonly lat: number; readonly lon: number }[], request: TableRequest): string {
  const places = [...new Set([...request.sources, ...request.destinations])];
  const at = new Map(places.map((place, index) => [place, index]));
  const coordinates = places.map((place) => `${points[place].lon.toFixed(6)},${points[place].lat.toFixed(6)}`).join(';');
  const list = (some: readonly number[]): string => some.map((place) => at.get(place)).join(';');
  const [base, query] = service.split('?', 2);
  return `${base.replace(/\/+$/, '')}/${coordinates}?sources=${list(request.sources)}&destinations=${list(request.destinations)}&annotations=duration${query === undefined ? '' : `&${query}`}`;
}

export type TableAnswer =
  | { readonly kind: 'times'; /** minutes by source and destination; NO_WAY where there is none */ readonly minutes: readonly (readonly number[])[] }
  /** the service knows no road near this place */
  | { readonly kind: 'off-road'; readonly place: number }
  | { readonly kind: 'failed'; readonly words: string };

/** What a table service answered: seconds become whole minutes, rounded up. An answer of another shape is a failure, in words. */
export function readTable(request: TableRequest, body: unknown): TableAnswer {
  if (typeof body !== 'object' || body === null) return { kind: 'failed', words: 'the answer is no table' };
  const { code, message, durations } = body as { code?: unknown; message?: unknown; durations?: unknown };
  if (code === 'NoSegment') {
    const nth = /coordinate (\d+)/.exec(String(message))?.[1];
    const place = nth === undefined ? undefined : [...new Set([...request.sources, ...request.destinations])][Number(nth)];
    if (place !== undefined) return { kind: 'off-road', place };
  }
  if (code !== 'Ok') return { kind: 'failed', words: `the service says ${String(code ?? 'nothing')}${typeof message === 'string' ? `: ${message}` : ''}` };
  if (!Array.isArray(durations) || durations.length !== request.sources.length || durations.some((row) => !Array.isArray(row) || row.length !== request.destinations.length)) {
    return { kind: 'failed', words: `the table is not ${request.sources.length} by ${request.destinations.length}` };
  }
  const rows = durations as unknown[][];
  const bad = rows.flat().find((seconds) => seconds !== null && !(typeof seconds === 'number' && seconds >= 0 && seconds < 1e7));
  if (bad !== undefined) return { kind: 'failed', words: `a time in the table is ${JSON.stringify(bad)}` };
  return { kind: 'times', minutes: rows.map((row) => row.map((seconds) => (seconds === null ? NO_WAY : Math.max(0, Math.ceil((seconds as number) / 60 - 1e-9))))) };
}

/** Minutes between two places: by road where it was answered, with the model's fixed part; the model's estimate otherwise. */
export function travelMin(a: Point, b: Point, byRoad: number, model: TravelModel): number {
  const km = straightKm(a, b);
  if (km <= model.nextDoorKm) return 0;
  return byRoad >= 0 ? byRoad + Math.ceil(model.fixedMin) : tripMin(km, model);
}

/** The travel matrix of places: by road where it was answered, estimated where not. Throws RangeError for times of another number of places. */
export function travelMatrix(places: readonly Point[], model: TravelModel = DEFAULT_TRAVEL, road: RoadTimes | null = null): number[][] {
  if (road !== null && (road.places !== places.length || road.minutes.length !== places.length ** 2)) throw new RangeError(`road times are of ${road.places} places, accepted are ${places.length}`);
  return places.map((a, i) => places.map((b, j) => (i === j ? 0 : travelMin(a, b, road === null ? UNKNOWN : road.minutes[i * places.length + j], model))));
}
