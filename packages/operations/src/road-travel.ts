import { keepTravelRows, knownPlaces, lockTravel, numberPlaces, travelRows, tripsDriven, type KnownPlace, type RoadPoint } from '@bellround/database';
import { DEFAULT_TRAVEL, learnTravel, NO_WAY, pacedTravel, straightKm, UNKNOWN, type LearntTravel, type WeekPlan, type WeekProblem } from '@bellround/planning';
import type { Ctx } from './perform.js';
import type { WeekTravel } from './week-parts.js';

// How long it takes to get somewhere: by road where a table service answered, estimated by a model that past trips calibrate
// where not. A plan keeps what it was counted with, so that questions to it count the same.

/** No way between two places is asked again after so many days: roads open and maps are mended. */
const ASK_AGAIN_DAYS = 30;
const DAY_MS = 86_400_000;

/** As a plan keeps it. `why`: what kept the service from answering, in words. */
export interface TravelOfPlan { percents: number[]; percent: number; trips: number; why: string | null; legs: number; estimated: number }
export const AS_ESTIMATED: TravelOfPlan = { percents: DEFAULT_TRAVEL.bands.map(() => 100), percent: 100, trips: 0, why: null, legs: 0, estimated: 0 };

export const travelOfPlan = (stored: unknown): TravelOfPlan => ({ ...AS_ESTIMATED, ...(stored as Partial<TravelOfPlan> | null) });

export async function learnedTravel(ctx: Ctx, today: string): Promise<LearntTravel> {
  const trips = await tripsDriven(ctx.tx, today);
  return learnTravel(trips.map((one) => ({ km: straightKm({ lat: one.from_lat, lon: one.from_lon }, { lat: one.lat, lon: one.lon }), minutes: one.minutes })));
}

/** Travel of a plan between these places. */
export async function weekTravel(ctx: Ctx, points: readonly RoadPoint[], plan: unknown): Promise<WeekTravel> {
  return { model: pacedTravel(travelOfPlan(plan).percents), road: await roadTimes(ctx, points) };
}

const rowText = (minutes: readonly number[]): string => minutes.map((one) => (one === UNKNOWN ? '' : one)).join(',');
const rowOf = (text: string): number[] => text.split(',').map((one) => (one === '' ? UNKNOWN : Number(one)));

/** Rows as read before, by company, place and writing: what they hold never changes. */
const read = new Map<string, Int16Array>();
/** About 40 MB at 2,000 places. */
const MOST_READ = 10_000;
const keyOf = (ctx: Ctx, place: KnownPlace): string => `${ctx.who.companyId} ${place.n} ${place.version} ${place.asked_at?.getTime()}`;

/** Minutes by road between the points; null where the company has none. */
async function roadTimes(ctx: Ctx, points: readonly RoadPoint[]): Promise<WeekTravel['road']> {
  const places = (await knownPlaces(ctx.tx, points)).filter((one) => one.version !== null);
  if (places.length === 0) return null;
  const fresh = new Map(places.filter((one) => !read.has(keyOf(ctx, one))).map((one) => [one.n, one]));
  if (read.size + fresh.size > MOST_READ) read.clear();
  const rows = new Map(places.flatMap((one) => { const row = read.get(keyOf(ctx, one)); return row ? [[one.n, row] as const] : []; }));
  for (const row of await travelRows(ctx.tx, places.filter((one) => !rows.has(one.n)).map((one) => one.n))) {
    const minutes = Int16Array.from(rowOf(row.minutes), (one) => Math.min(one, 32_767));
    rows.set(row.n, minutes);
    const place = fresh.get(row.n);
    if (place) read.set(keyOf(ctx, place), minutes);
  }
  const numbers = numbersOf(points, places);
  const size = points.length;
  const minutes = new Int16Array(size * size).fill(UNKNOWN);
  points.forEach((_, from) => {
    const row = rows.get(numbers[from] ?? -1);
    // past the end of a row stands nothing, as before its beginning
    if (row) for (let to = 0; to < size; to++) minutes[from * size + to] = row[numbers[to] ?? -1] ?? UNKNOWN;
  });
  return { key: `${ctx.who.companyId} ${places.map((one) => `${one.n}:${one.version}:${one.asked_at!.getTime()}`).sort().join(' ')}`, places: size, minutes };
}

function numbersOf(points: readonly RoadPoint[], places: readonly KnownPlace[]): (number | undefined)[] {
  const at = new Map(places.map((one) => [`${one.lat} ${one.lon}`, one.n]));
  return points.map((point) => at.get(`${point.lat} ${point.lon}`));
}

export interface RoadsWanted { readonly points: readonly (RoadPoint & { n: number })[]; readonly missing: ReadonlyMap<number, readonly number[]> }

/** Numbers the points and says which pairs, by index, were never answered. */
export async function roadsWanted(ctx: Ctx, points: readonly RoadPoint[]): Promise<RoadsWanted> {
  await lockTravel(ctx.tx);
  await numberPlaces(ctx.tx, points);
  const places = await knownPlaces(ctx.tx, points);
  const rows = new Map((await travelRows(ctx.tx, places.map((one) => one.n))).map((row) => [row.n, rowOf(row.minutes)]));
  const old = new Set(places.filter((one) => one.asked_at !== null && ctx.now.getTime() - one.asked_at.getTime() > ASK_AGAIN_DAYS * DAY_MS).map((one) => one.n));
  const numbers = numbersOf(points, places) as number[];
  const missing = new Map(numbers.map((from, i) => {
    const row = rows.get(from);
    return [i, numbers.flatMap((to, j) => { const one = row?.[to] ?? UNKNOWN; return i !== j && (one === UNKNOWN || (one === NO_WAY && old.has(from))) ? [j] : []; })] as const;
  }));
  return { points: points.map((point, i) => ({ ...point, n: numbers[i]! })), missing };
}

/** Minutes from a numbered place to others. */
export interface RoadsFound { readonly from: number; readonly to: readonly number[]; readonly minutes: readonly number[] }

/** Writes what was answered into the rows; what they held of other pairs stays. */
export async function keepRoads(ctx: Ctx, found: readonly RoadsFound[]): Promise<void> {
  await lockTravel(ctx.tx);
  const from = [...new Set(found.map((one) => one.from))];
  const rows = new Map((await travelRows(ctx.tx, from)).map((row) => [row.n, rowOf(row.minutes)]));
  for (const one of found) {
    const row = rows.get(one.from) ?? [];
    one.to.forEach((to, i) => { while (row.length <= to) row.push(UNKNOWN); row[to] = one.minutes[i]!; });
    rows.set(one.from, row);
  }
  await keepTravelRows(ctx.tx, [...rows].map(([n, minutes]) => ({ n, minutes: rowText(minutes) })), ctx.now);
}

/** Legs of the rounds that are driven, and how many of them are estimates. */
export function legsOf(problem: WeekProblem, plan: Pick<WeekPlan, 'rounds'>, road: WeekTravel['road']): { legs: number; estimated: number } {
  const placeOf = new Map(problem.visits.map((visit) => [visit.id, visit.place]));
  const people = new Map(problem.technicians.map((one) => [one.id, one]));
  let [legs, estimated] = [0, 0];
  for (const round of plan.rounds) {
    const person = people.get(round.technicianId);
    if (!person) continue;
    const shift = person.shifts.find((one) => one.day === round.day);
    const stops = round.stops.flatMap((stop) => placeOf.get(stop.visitId) ?? []);
    const places = [shift?.startPlace ?? person.home, ...stops, shift?.endPlace ?? person.endPlace ?? person.home];
    places.slice(1).forEach((to, i) => {
      const from = places[i]!;
      if (problem.travel.minutes[from]![to] === 0) return;
      legs += 1;
      if (road === null || from >= road.places || to >= road.places || road.minutes[from * road.places + to]! < 0) estimated += 1;
    });
  }
  return { legs, estimated };
}
