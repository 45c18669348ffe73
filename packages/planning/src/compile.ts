import { FAR, nearestClients, plainFields, type PricedPromise, type RoutingModel, type Weights } from './core/model.js';
import { Routes } from './core/routes.js';
import { mayServe, usableWindows } from './eligibility.js';
import {
  breakOf, closeOf, DEFAULT_BALANCE_MIN, DEFAULT_CHANGE_MIN, type Day, endsOf, type PublishedRound, requireSound, type Shift, type Technician, type TravelMatrix, type Visit, type WeekProblem,
} from './problem.js';

/** A technician's day as a route of the model. */
export interface RouteInfo {
  readonly technician: Technician;
  readonly day: Day;
  readonly shift: Shift;
}

export interface Compiled {
  readonly problem: WeekProblem;
  readonly model: RoutingModel;
  readonly routes: readonly RouteInfo[];
  /** Visit of each client; seconds of two-person visits follow after all firsts. */
  readonly visitOf: readonly Visit[];
  readonly clientOf: ReadonlyMap<string, number>;
  readonly routeAt: ReadonlyMap<string, number>;
}

/** Neighbours kept per visit. */
const MOST_NEIGHBOURS = 100;

export const routeKey = (technicianId: string, day: Day): string => `${day} ${technicianId}`;

/** Turns the week into numbers; without the neighbour lists where no search follows (half of the work). Throws BadProblem. */
export function compile(problem: WeekProblem, withNeighbours = true, order: 'strict' | 'repair' = 'strict'): Compiled {
  requireSound(problem);
  const dayIndex = new Map(problem.days.map((d, i) => [d, i]));
  const routes: RouteInfo[] = problem.technicians.flatMap((technician) =>
    technician.shifts.filter((s) => dayIndex.has(s.day)).map((shift) => ({ technician, day: shift.day, shift })));
  const firsts = problem.visits;
  const seconds = firsts.filter((v) => v.persons === 2);
  const visitOf = [...firsts, ...seconds];
  const clientOf = new Map(firsts.map((v, i) => [v.id, i]));
  const model = numbers(problem, routes, visitOf, dayIndex, clientOf, withNeighbours ? MOST_NEIGHBOURS : 0, order);
  return { problem, model, routes, visitOf, clientOf, routeAt: new Map(routes.map((r, i) => [routeKey(r.technician.id, r.day), i])) };
}

function numbers(problem: WeekProblem, info: readonly RouteInfo[], visitOf: readonly Visit[], dayIndex: ReadonlyMap<Day, number>, clientOf: ReadonlyMap<string, number>, most: number, order: 'strict' | 'repair'): RoutingModel {
  const clients = visitOf.length;
  const routes = info.length;
  const days = Math.max(1, problem.days.length);
  const places = problem.travel.minutes.length;
  const place = new Int32Array(clients + 2 * routes);
  visitOf.forEach((v, c) => { place[c] = v.place; });
  info.forEach((r, i) => {
    const ends = endsOf(r.technician, r.shift);
    place[clients + i] = ends.from;
    place[clients + routes + i] = ends.to;
  });
  const windows = windowArrays(problem, visitOf, days);
  const { mats, matsBack, matOf } = matrices(problem, info);
  const techIndex = new Map(problem.technicians.map((t, i) => [t.id, i]));
  const ints = (f: (r: RouteInfo) => number): Int32Array => Int32Array.from(info, f);
  const service = Int32Array.from(visitOf, (v) => v.serviceMin);
  const neighbourCount = Math.min(Math.max(0, clients - 1), most);
  const worth = worthArrays(problem, visitOf, days);
  const techCapacity = new Float64Array(Math.max(1, problem.technicians.length)).fill(1);
  for (const r of info) {
    const t = techIndex.get(r.technician.id) ?? 0;
    techCapacity[t] += r.shift.endMin - r.shift.startMin - (breakOf(r.shift)?.lengthMin ?? 0);
  }
  return {
    clients, routes, days, places, place, mats, matsBack, matOf, service,
    demand: new Int32Array(clients), capacity: new Int32Array(routes).fill(FAR), ...windows,
    allowed: allowedArray(problem, info, visitOf),
    routeDay: ints((r) => dayIndex.get(r.day) ?? 0), routeTech: ints((r) => techIndex.get(r.technician.id) ?? 0), routeType: Int32Array.from(info, (_, i) => i),
    open: ints((r) => r.shift.startMin), close: ints((r) => r.shift.endMin), limit: ints((r) => closeOf(r.shift).limitMin),
    maxDuration: new Int32Array(routes).fill(FAR),
    breakLength: ints((r) => breakOf(r.shift)?.lengthMin ?? 0), breakFrom: ints((r) => breakOf(r.shift)?.fromMin ?? 0), breakTo: ints((r) => breakOf(r.shift)?.toMin ?? 0),
    ...pairs(problem, visitOf), ...richArrays(problem, info, visitOf, dayIndex, techIndex, clientOf), ...worth, ...publishedArrays(problem, visitOf, dayIndex, clientOf, techIndex),
    techs: techCapacity.length, techCapacity, ...weightsOf(problem, info, worth, order), lexicographic: true, levels: order === 'strict' ? 4 : 2, neighbourCount,
    neighbours: most === 0 ? new Int32Array(0) : nearestClients(clients, days, places, place, mats[0], service, windows.winFrom, windows.winTo, neighbourCount),
  };
}

function matrices(problem: WeekProblem, info: readonly RouteInfo[]): Pick<RoutingModel, 'mats' | 'matsBack' | 'matOf'> {
  const factors = [1];
  const matOf = Int32Array.from(info, (r) => {
    const f = problem.travel.factorByDay?.[r.day] ?? 1;
    if (!factors.includes(f)) factors.push(f);
    return factors.indexOf(f);
  });
  const { mats, back } = travelNumbers(problem.travel);
  return { mats: factors.map((f) => scaled(mats, f)), matsBack: factors.map((f) => scaled(back, f)), matOf };
}

interface TravelNumbers {
  readonly mats: Map<number, Int32Array>;
  /** The same map where travel is symmetric. */
  readonly back: Map<number, Int32Array>;
}

/** A week's travel as numbers, made once per list of minutes: it is the largest thing there, and never changed in place. */
const travelKnown = new WeakMap<TravelMatrix['minutes'], TravelNumbers>();

function travelNumbers(travel: TravelMatrix): TravelNumbers {
  const found = travelKnown.get(travel.minutes);
  if (found !== undefined) return found;
  const n = travel.minutes.length;
  const plain = new Int32Array(n * n);
  travel.minutes.forEach((row, i) => { plain.set(row, i * n); });
  const mats = new Map([[1, plain]]);
  let symmetric = true;
  for (let i = 0; i < n && symmetric; i++) for (let j = 0; j < i && symmetric; j++) symmetric = plain[i * n + j] === plain[j * n + i];
  let back = mats;
  if (!symmetric) {
    const turned = new Int32Array(n * n);
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) turned[i * n + j] = plain[j * n + i];
    back = new Map([[1, turned]]);
  }
  const made = { mats, back };
  travelKnown.set(travel.minutes, made);
  return made;
}

function scaled(known: Map<number, Int32Array>, factor: number): Int32Array {
  const found = known.get(factor);
  if (found !== undefined) return found;
  const made = (known.get(1) as Int32Array).map((t) => scaledTravel(t, factor));
  // one storm is kept, not every factor that a person tries out
  for (const f of known.keys()) if (f !== 1) known.delete(f);
  known.set(factor, made);
  return made;
}

/** Travel on a day with a factor, rounded up to whole minutes (1e-9 guards against binary fractions such as 10 x 1.1). */
export function scaledTravel(minutes: number, factor: number): number {
  return factor === 1 ? minutes : Math.ceil(minutes * factor - 1e-9);
}

function windowArrays(problem: WeekProblem, visitOf: readonly Visit[], days: number): Pick<RoutingModel, 'winFrom' | 'winTo' | 'moreWindows'> {
  const winFrom = new Int32Array(visitOf.length * days);
  const winTo = new Int32Array(visitOf.length * days).fill(-1);
  const moreWindows = new Map<number, number[]>();
  visitOf.forEach((v, c) => problem.days.forEach((day, d) => {
    const list = usableWindows(v, day);
    if (list.length === 0) return;
    winFrom[c * days + d] = list[0].startMin;
    winTo[c * days + d] = list[0].endMin;
    if (list.length > 1) moreWindows.set(c * days + d, list.flatMap((w) => [w.startMin, w.endMin]));
  }));
  return { winFrom, winTo, moreWindows };
}

/** Rows worked out before for the same staff; neither visits nor staff are ever changed in place. */
const allowedKnown = new WeakMap<readonly Technician[], { readonly days: readonly Day[]; readonly rows: readonly [WeakMap<Visit, Uint8Array>, WeakMap<Visit, Uint8Array>] }>();

function allowedArray(problem: WeekProblem, info: readonly RouteInfo[], visitOf: readonly Visit[]): Uint8Array {
  let known = allowedKnown.get(problem.technicians);
  if (known === undefined || known.days.join() !== problem.days.join()) allowedKnown.set(problem.technicians, (known = { days: problem.days, rows: [new WeakMap(), new WeakMap()] }));
  const allowed = new Uint8Array(visitOf.length * info.length);
  for (let c = 0; c < visitOf.length; c++) {
    const role = c < problem.visits.length ? 'first' : 'second';
    const rows = known.rows[role === 'first' ? 0 : 1];
    let row = rows.get(visitOf[c]);
    if (row === undefined) rows.set(visitOf[c], (row = allowedRow(problem, info, visitOf[c], role)));
    allowed.set(row, c * info.length);
  }
  return allowed;
}

function allowedRow(problem: WeekProblem, info: readonly RouteInfo[], v: Visit, role: 'first' | 'second'): Uint8Array {
  const open = new Set(problem.days.filter((day) => usableWindows(v, day).length > 0));
  return Uint8Array.from(info, (r) => (open.has(r.day) && mayServe(v, r.technician, r.day, role) ? 1 : 0));
}

function pairs(problem: WeekProblem, visitOf: readonly Visit[]): Pick<RoutingModel, 'mate' | 'isSecond'> {
  const mate = new Int32Array(visitOf.length).fill(-1);
  const isSecond = new Uint8Array(visitOf.length);
  let second = problem.visits.length;
  problem.visits.forEach((v, c) => {
    if (v.persons !== 2) return;
    mate[c] = second;
    mate[second] = c;
    isSecond[second++] = 1;
  });
  return { mate, isSecond };
}

type Rich = ReturnType<typeof plainFields>;

/** Shared set-up, parts, priced promises and errands. */
function richArrays(
  problem: WeekProblem, info: readonly RouteInfo[], visitOf: readonly Visit[], dayIndex: ReadonlyMap<Day, number>, techIndex: ReadonlyMap<string, number>, clientOf: ReadonlyMap<string, number>,
): Rich {
  const rest = plainFields(visitOf.length);
  const addresses = [...new Set(problem.visits.flatMap((v) => v.sharesSetUp?.address ?? []))];
  const kinds = [...new Set(problem.visits.flatMap((v) => Object.keys(v.uses ?? {})))];
  const needs = new Int32Array(visitOf.length * kinds.length);
  const promises = new Map<number, PricedPromise[]>();
  problem.visits.forEach((v, c) => {
    if (v.sharesSetUp !== undefined) {
      rest.address[c] = addresses.indexOf(v.sharesSetUp.address);
      rest.setUp[c] = v.sharesSetUp.minutes;
    }
    kinds.forEach((kind, k) => { needs[c * kinds.length + k] = v.uses?.[kind] ?? 0; });
    const priced = (v.promises ?? []).flatMap((p) => (p.priceMin === undefined || p.priceMin === 0 ? [] : [{
      day: p.day === undefined ? -1 : (dayIndex.get(p.day) ?? FAR), tech: p.technicianId === undefined ? -1 : (techIndex.get(p.technicianId) ?? FAR),
      from: p.fromMin ?? -FAR, to: p.toMin ?? FAR, price: p.priceMin,
    }]));
    if (priced.length > 0) promises.set(c, priced);
    rest.promiseAbsent[c] = priced.reduce((sum, p) => sum + p.price, 0);
    const of = v.errand === undefined ? undefined : clientOf.get(v.errand.of);
    if (v.errand === undefined || of === undefined) return;
    (v.errand.kind === 'collect' ? rest.collectOf : rest.returnOf)[of] = c;
    rest.errandFor[c] = of;
  });
  const stock = new Int32Array(info.length * kinds.length);
  info.forEach((r, i) => kinds.forEach((kind, k) => { stock[i * kinds.length + k] = r.technician.stock?.[kind] ?? 0; }));
  return { ...rest, shares: addresses.length > 0, parts: kinds.length, needs, stock, promises };
}

type Worth = Pick<RoutingModel, 'lapseAbsent' | 'lapseOnDay' | 'prizeAbsent' | 'prizeLostOnDay'>;

/** Prize of a visit where none is given: it should be made when it can be. */
export const DEFAULT_PRIZE = 1;

export function bestPrize(v: Visit): number {
  return Math.max(v.prize ?? DEFAULT_PRIZE, ...Object.values(v.prizeByDay ?? {}));
}

function worthArrays(problem: WeekProblem, visitOf: readonly Visit[], days: number): Worth {
  const n = visitOf.length;
  const w = { lapseAbsent: new Float64Array(n), lapseOnDay: new Float64Array(n * days), prizeAbsent: new Float64Array(n), prizeLostOnDay: new Float64Array(n * days) };
  const last = problem.days.at(-1) ?? '';
  problem.visits.forEach((v, c) => {
    const best = bestPrize(v);
    w.prizeAbsent[c] = best;
    const lapses = v.lapseDay != null && v.lapseDay <= last ? (v.lapsePenalty ?? 1) : 0;
    w.lapseAbsent[c] = lapses;
    problem.days.forEach((day, d) => {
      w.prizeLostOnDay[c * days + d] = best - (v.prizeByDay?.[day] ?? v.prize ?? DEFAULT_PRIZE);
      if (v.lapseDay != null && day > v.lapseDay) w.lapseOnDay[c * days + d] = lapses;
    });
  });
  return w;
}

function publishedArrays(
  problem: WeekProblem, visitOf: readonly Visit[], dayIndex: ReadonlyMap<Day, number>, clientOf: ReadonlyMap<string, number>, techIndex: ReadonlyMap<string, number>,
): Pick<RoutingModel, 'publishedTech' | 'publishedDay'> {
  const publishedTech = new Int32Array(visitOf.length).fill(-1);
  const publishedDay = new Int32Array(visitOf.length).fill(-1);
  for (const round of problem.published?.rounds ?? []) {
    for (const stop of round.stops) {
      const c = clientOf.get(stop.visitId);
      if (c === undefined || stop.joins !== undefined) continue;
      publishedTech[c] = techIndex.get(round.technicianId) ?? problem.technicians.length;
      publishedDay[c] = dayIndex.get(round.day) ?? problem.days.length;
    }
  }
  return { publishedTech, publishedDay };
}

/** Weights so large that no sum of a later level ever pays for the smallest step of an earlier one. */
function weightsOf(problem: WeekProblem, info: readonly RouteInfo[], worth: Worth, order: 'strict' | 'repair'): { weights: Weights; soft: Weights } {
  const change = problem.published === undefined ? 0 : (problem.rates?.changeMin ?? DEFAULT_CHANGE_MIN);
  const balance = problem.rates?.balanceMin ?? DEFAULT_BALANCE_MIN;
  const minutes = info.reduce((sum, r) => sum + r.shift.endMin + (r.shift.maxOvertimeMin ?? 0) - r.shift.startMin, 0);
  const promised = problem.visits.reduce((sum, v) => sum + (v.promises ?? []).reduce((a, p) => a + (p.priceMin ?? 0), 0), 0);
  const lastLevel = promised + minutes * (1 + 2 * balance) + change * worth.prizeAbsent.length + 1;
  const overtime = lastLevel;
  const overtimeLevel = (info.reduce((sum, r) => sum + (r.shift.maxOvertimeMin ?? 0), 0) + 1) * overtime;
  const exposure = overtimeLevel / 0.01;
  const prizes = worth.prizeAbsent.reduce((a, b) => a + b, 0);
  const least = worth.lapseAbsent.reduce((a, b) => (b > 0 && b < a ? b : a), 1);
  const lapse = ((prizes + 1) * exposure) / least;
  const served = Math.max(1, problem.visits.length);
  // for accepting worse plans on the way only; the best plan is chosen by the strict order
  const soft = { lapse: 3000 / least, exposure: prizes > 0 ? (300 * served) / prizes : 0, overtime: 4, travel: 1, change, balance };
  // a repair is no new plan: nothing but a lapse may move half of the week about
  if (order === 'repair') return { weights: { ...soft, lapse: (lastLevel + 4 * minutes + soft.exposure * (prizes + 1)) / least }, soft };
  return {
    weights: { lapse, exposure, overtime, travel: 1, change, balance },
    soft,
  };
}

/** Loads rounds as they stand, stop by stop; what no longer fits stays out. */
export function loadRounds(compiled: Compiled, rounds: readonly PublishedRound[], routes = new Routes(compiled.model)): Routes {
  const m = compiled.model;
  for (const round of rounds) {
    const r = compiled.routeAt.get(routeKey(round.technicianId, round.day));
    if (r === undefined) continue;
    let p = routes.start + r;
    for (const stop of round.stops) {
      const first = compiled.clientOf.get(stop.visitId);
      if (first === undefined) continue;
      const c = stop.joins !== undefined ? m.mate[first] : first;
      if (c < 0 || routes.routeOf[c] >= 0 || m.allowed[c * m.routes + r] === 0 || !routes.stocked(c, r)) continue;
      const fixed = m.mate[c] >= 0 ? stop.startMin : -1;
      if (fixed >= 0 && routes.earliestOn(c, m.routeDay[r], fixed) !== fixed) continue;
      if (!routes.fits(c, p, fixed)) continue;
      routes.link(c, p, fixed);
      routes.refresh(r);
      p = c;
    }
  }
  dropHalves(routes);
  return routes;
}

/** A two-person visit with one person, or with two starts, is no visit. */
function dropHalves(routes: Routes): void {
  const m = routes.model;
  for (let c = 0; c < m.clients; c++) {
    const mate = m.mate[c];
    if (mate < 0 || routes.routeOf[c] < 0) continue;
    const whole = routes.routeOf[mate] >= 0 && routes.fixed[mate] === routes.fixed[c] && m.routeDay[routes.routeOf[mate]] === m.routeDay[routes.routeOf[c]];
    if (whole) continue;
    dropChecked(routes, c);
  }
  dropErrands(routes);
}

/** Takes out with all that depends on it, and recomputes the routes. */
function dropChecked(routes: Routes, c: number): void {
  const m = routes.model;
  const touched = new Set([c, m.mate[c], m.errandFor[c], m.collectOf[c], m.returnOf[c]].filter((x) => x >= 0).map((x) => routes.routeOf[x]).filter((r) => r >= 0));
  routes.takeOut(c, []);
  for (const other of [m.mate[c], m.collectOf[c], m.returnOf[c], m.errandFor[c]]) if (other >= 0 && routes.routeOf[other] >= 0) routes.takeOut(other, []);
  for (const r of touched) routes.refresh(r);
}

/** A visit whose key is not collected before and returned after it in the same round stays out, and so do its errands. */
function dropErrands(routes: Routes): void {
  const m = routes.model;
  for (let c = 0; c < m.clients; c++) {
    const errands = [m.collectOf[c], m.returnOf[c]].filter((x) => x >= 0);
    if (errands.length === 0) continue;
    const all = [m.collectOf[c], c, m.returnOf[c]].filter((x) => x >= 0);
    if (all.every((x) => routes.routeOf[x] < 0)) continue;
    const r = routes.routeOf[c];
    const seq = r < 0 ? [] : routes.sequence(r);
    const places = all.map((x) => seq.indexOf(x));
    if (places.every((at, i) => at >= 0 && (i === 0 || at > places[i - 1]))) continue;
    const touched = new Set(all.map((x) => routes.routeOf[x]).filter((x) => x >= 0));
    for (const x of all) if (routes.routeOf[x] >= 0) routes.takeOut(x, []);
    for (const t of touched) routes.refresh(t);
  }
}
