import { scaledTravel } from './compile.js';
import { usableWindows } from './eligibility.js';
import type { Round, Stop } from './plan.js';
import { breakOf, closeOf, endsOf, type Day, type Shift, type Technician, type Visit, type WeekProblem } from './problem.js';

export interface TimedVisit {
  readonly visit: Visit;
  /** Agreed start of a two-person visit. */
  readonly fixedStart?: number;
  readonly second?: string;
  readonly joins?: string;
}

interface State {
  /** Completion at the last place. */
  readonly done: number;
  readonly breakAt: number | null;
  readonly last: Timed | null;
}

/** One stop and those before it: a chain, so that trying an order copies nothing. */
interface Timed {
  readonly before: Timed | null;
  readonly arrive: number;
  readonly start: number;
  readonly travel: number;
  readonly end: number;
  readonly saved: number;
}

/**
 * Times of a round in a given order, each as early as can be, the end of the day earliest; null when the order
 * cannot be kept. `limitMin` replaces the hard end of the day (to learn by how much a round would be too long).
 */
export function timeRound(problem: WeekProblem, technician: Technician, shift: Shift, visits: readonly TimedVisit[], limitMin?: number): Round | null {
  const owed = breakOf(shift);
  const travel = (a: number, b: number): number => scaledTravel(problem.travel.minutes[a][b], problem.travel.factorByDay?.[shift.day] ?? 1);
  let open: State | null = { done: shift.startMin, breakAt: null, last: null };
  let rested: State | null = owed === null ? open : null;
  if (owed === null) open = null;
  const ends = endsOf(technician, shift);
  let at = ends.from;
  let before: Visit | null = null;
  for (const timed of visits) {
    const t = travel(at, timed.visit.place);
    const saved = savedAfter(before, timed.visit);
    before = timed.visit;
    const choices: State[] = [];
    if (rested !== null) choices.push(...serve(rested, rested.done + t, rested.breakAt, timed, t, shift.day, saved));
    if (open !== null && owed !== null) {
      const b = breakOn(open.done, t, owed);
      if (b !== null) choices.push(...serve(open, b.ready, b.at, timed, t, shift.day, saved));
    }
    const stillOpen: State[] = open === null ? [] : serve(open, open.done + t, null, timed, t, shift.day, saved);
    rested = earliest(choices);
    open = earliest(stillOpen);
    if (rested === null && open === null) return null;
    at = timed.visit.place;
  }
  const home = travel(at, ends.to);
  const ways: { end: number; breakAt: number | null; state: State }[] = [];
  if (rested !== null) ways.push({ end: rested.done + home, breakAt: rested.breakAt, state: rested });
  if (open !== null && owed !== null) {
    if (open.done + home <= owed.toMin) ways.push({ end: open.done + home, breakAt: null, state: open });
    const b = breakOn(open.done, home, owed);
    if (b !== null) ways.push({ end: b.ready, breakAt: b.at, state: open });
  }
  const limit = limitMin ?? closeOf(shift).limitMin;
  const best = ways.filter((e) => e.end <= limit).sort((x, y) => x.end - y.end)[0];
  return best === undefined ? null : asRound(technician, shift, visits, best, home, owed?.lengthMin ?? 0);
}

function serve(state: State, ready: number, breakAt: number | null, timed: TimedVisit, travel: number, day: Day, saved: number): State[] {
  const start = timed.fixedStart !== undefined ? (ready <= timed.fixedStart ? timed.fixedStart : null) : earliestStart(timed.visit, day, ready);
  if (start === null) return [];
  const end = start + timed.visit.serviceMin - saved;
  return [{ done: end, breakAt, last: { before: state.last, arrive: ready, start, travel, end, saved } }];
}

/** Minutes of set-up saved by a visit right after another at the same address. */
export function savedAfter(before: Visit | null, visit: Visit): number {
  const mine = visit.sharesSetUp;
  return mine !== undefined && before?.sharesSetUp?.address === mine.address ? mine.minutes : 0;
}

function earliestStart(visit: Visit, day: Day, ready: number): number | null {
  const w = usableWindows(visit, day).find((x) => ready <= x.endMin);
  return w === undefined ? null : Math.max(ready, w.startMin);
}

function earliest(states: readonly State[]): State | null {
  return states.reduce<State | null>((best, s) => (best === null || s.done < best.done ? s : best), null);
}

/** The break on the way: on arrival where that is early enough, else before leaving. */
function breakOn(done: number, travel: number, owed: { lengthMin: number; fromMin: number; toMin: number }): { at: number; ready: number } | null {
  if (done + travel <= owed.toMin) {
    const at = Math.max(done + travel, owed.fromMin);
    return { at, ready: at + owed.lengthMin };
  }
  if (done <= owed.toMin) {
    const at = Math.max(done, owed.fromMin);
    return { at, ready: at + owed.lengthMin + travel };
  }
  return null;
}

function asRound(
  technician: Technician, shift: Shift, visits: readonly TimedVisit[], best: { end: number; breakAt: number | null; state: State }, home: number, breakMin: number,
): Round {
  const times: Timed[] = [];
  for (let t = best.state.last; t !== null; t = t.before) times.unshift(t);
  const b = best.breakAt;
  const first = times[0];
  const beforeFirst = b !== null && first !== undefined && b < first.start;
  let startMin = shift.startMin;
  if (first !== undefined && !beforeFirst) startMin = Math.max(shift.startMin, first.start - first.travel);
  let left = startMin;
  const stops: Stop[] = times.map((s, i) => {
    const timed = visits[i];
    const endMin = s.end;
    const pause = b !== null && b >= left && b < s.start ? breakMin : 0;
    // the break on the way moves the arrival only when it is taken before leaving
    const arriveMin = pause > 0 && b !== null && b < left + s.travel ? b + breakMin + s.travel : left + s.travel;
    const restedThere = pause > 0 && b !== null && b >= left + s.travel ? breakMin : 0;
    left = endMin;
    return {
      visitId: timed.visit.id, arriveMin, startMin: s.start, endMin, travelMin: s.travel, waitMin: s.start - arriveMin - restedThere, ...(s.saved > 0 ? { savedMin: s.saved } : {}),
      ...(timed.second === undefined ? {} : { second: timed.second }), ...(timed.joins === undefined ? {} : { joins: timed.joins }),
    };
  });
  return {
    technicianId: technician.id, day: shift.day, startMin, endMin: visits.length === 0 ? startMin : best.end, stops,
    ...(b === null ? {} : { break: { startMin: b, endMin: b + breakMin } }),
    overtimeMin: visits.length === 0 ? 0 : Math.max(0, best.end - shift.endMin), travelMin: visits.length === 0 ? 0 : times.reduce((sum, s) => sum + s.travel, home),
  };
}
