import { usableWindows } from './eligibility.js';
import type { Round, Stop, WeekPlan } from './plan.js';
import { breakOf, type Day, type Visit, type WeekProblem } from './problem.js';
import { Random } from './random.js';

/** Spreads are standard deviations of the logarithm; the mean of what is drawn is what was planned. */
export interface DayUncertainty {
  /** Default 0.25 (common practice); learn it with learnMinutes. */
  readonly serviceSpread?: number;
  /** Default 0.2 (common practice). */
  readonly travelSpread?: number;
  /** How often each day is played. Default 400. */
  readonly runs?: number;
  readonly seed: number;
}

export interface RoundFinish {
  readonly technicianId: string;
  readonly day: Day;
  /** Back home as planned; on average; on a bad day (nine days in ten end earlier). */
  readonly plannedMin: number;
  readonly expectedMin: number;
  readonly badDayMin: number;
  /** Chance of ending after the shift and its allowed overtime. */
  readonly overLimitChance: number;
}

export interface StopStart {
  readonly visitId: string;
  readonly technicianId: string;
  readonly day: Day;
  readonly plannedMin: number;
  readonly earlyMin: number;
  readonly usualMin: number;
  /** Nine days in ten it starts earlier. */
  readonly badDayMin: number;
  /** Chance of starting outside the hours in which it may start. */
  readonly lateChance: number;
}

export interface FinishTimes {
  readonly rounds: readonly RoundFinish[];
  readonly stops: readonly StopStart[];
}

interface Drawn {
  readonly ends: number[];
}

/**
 * Plays the plan many times with service and travel that scatter, everybody keeping the planned order: expected and bad-day
 * finish of every round and start of every stop. Without spread it gives the planned times. Throws RangeError for runs below 1.
 */
export function finishTimes(problem: WeekProblem, plan: Pick<WeekPlan, 'rounds'>, uncertainty: DayUncertainty): FinishTimes {
  const runs = uncertainty.runs ?? 400;
  if (!(runs >= 1)) throw new RangeError(`runs is ${runs}, accepted is a whole number of at least 1`);
  const random = new Random(uncertainty.seed);
  const visits = new Map(problem.visits.map((v) => [v.id, v]));
  const rounds: RoundFinish[] = [];
  const stops: StopStart[] = [];
  for (const day of problem.days) {
    const today = plan.rounds.filter((r) => r.day === day && r.stops.length > 0);
    const ends = new Map<Round, number[]>(today.map((r) => [r, []]));
    const starts = new Map<Stop, Drawn & { late: number }>(today.flatMap((r) => r.stops.map((s) => [s, { ends: [], late: 0 }] as const)));
    const order = today.flatMap((r) => r.stops.map((s, i) => ({ round: r, stop: s, at: i }))).sort((a, b) => a.stop.startMin - b.stop.startMin || a.at - b.at);
    for (let run = 0; run < runs; run++) playDay(problem, today, order, visits, uncertainty, random, ends, starts);
    for (const round of today) {
      rounds.push(finishOf(problem, round, ends.get(round) ?? []));
      for (const s of round.stops) {
        const drawn = starts.get(s) ?? { ends: [], late: 0 };
        const at = quantiles(drawn.ends);
        stops.push({ visitId: s.visitId, technicianId: round.technicianId, day, plannedMin: s.startMin, earlyMin: at(0.1), usualMin: at(0.5), badDayMin: at(0.9), lateChance: drawn.late / runs });
      }
    }
  }
  return { rounds, stops };
}

function finishOf(problem: WeekProblem, round: Round, ends: readonly number[]): RoundFinish {
  const shift = problem.technicians.find((t) => t.id === round.technicianId)?.shifts.find((s) => s.day === round.day);
  const limit = shift === undefined ? Infinity : shift.endMin + (shift.maxOvertimeMin ?? 0);
  return {
    technicianId: round.technicianId, day: round.day, plannedMin: round.endMin, expectedMin: Math.round(ends.reduce((a, b) => a + b, 0) / Math.max(1, ends.length)),
    badDayMin: quantiles(ends)(0.9), overLimitChance: ends.filter((e) => e > limit + 0.5).length / Math.max(1, ends.length),
  };
}

function quantiles(values: readonly number[]): (q: number) => number {
  const sorted = [...values].sort((a, b) => a - b);
  return (q) => Math.round(sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))] ?? 0);
}

function playDay(
  problem: WeekProblem, today: readonly Round[], order: readonly { round: Round; stop: Stop; at: number }[], visits: ReadonlyMap<string, Visit>, u: DayUncertainty, random: Random,
  ends: ReadonlyMap<Round, number[]>, starts: ReadonlyMap<Stop, Drawn & { late: number }>,
): void {
  const free = new Map<Round, number>(today.map((r) => [r, r.startMin]));
  const arrived = new Map<string, number>();
  const serviceOf = new Map<string, number>();
  const travel = (planned: number): number => planned * drawn(random, u.travelSpread ?? 0.2);
  for (const { round, stop, at } of order) {
    const visit = visits.get(stop.visitId);
    if (visit === undefined) continue;
    const ready = reach(problem, round, at, free.get(round) ?? 0, travel(stop.travelMin));
    const partner = stop.second ?? stop.joins;
    // the second of the two to be looked at knows when both are there
    const meet = partner === undefined ? ready : Math.max(ready, arrived.get(stop.visitId) ?? -Infinity);
    if (partner !== undefined && !arrived.has(stop.visitId)) {
      arrived.set(stop.visitId, ready);
      const other = today.find((r) => r.technicianId === partner && r.stops.some((s) => s.visitId === stop.visitId));
      if (other !== undefined) continue;
    }
    const window = usableWindows(visit, round.day).find((w) => meet <= w.endMin + 0.5);
    const start = partner !== undefined ? Math.max(meet, stop.startMin) : window === undefined ? meet : Math.max(meet, window.startMin);
    const minutes = serviceOf.get(visit.id) ?? (stop.endMin - stop.startMin) * drawn(random, u.serviceSpread ?? 0.25);
    serviceOf.set(visit.id, minutes);
    for (const r of today) {
      const s = r.stops.find((x) => x.visitId === stop.visitId);
      if (s === undefined) continue;
      starts.get(s)?.ends.push(start);
      const seen = starts.get(s);
      if (seen !== undefined && window === undefined) seen.late += 1;
      free.set(r, start + minutes);
    }
  }
  for (const r of today) ends.get(r)?.push(reach(problem, r, r.stops.length, free.get(r) ?? 0, travel(homeTravel(r))));
}

function homeTravel(round: Round): number {
  return round.travelMin - round.stops.reduce((sum, s) => sum + s.travelMin, 0);
}

/** When the next place is reached, with the break on the way where the plan has it. */
function reach(problem: WeekProblem, round: Round, at: number, free: number, travel: number): number {
  const shift = problem.technicians.find((t) => t.id === round.technicianId)?.shifts.find((s) => s.day === round.day);
  const owed = shift === undefined ? null : breakOf(shift);
  const before = at === 0 ? round.startMin : round.stops[at - 1].endMin;
  const next = at === round.stops.length ? round.endMin : round.stops[at].startMin;
  const taken = round.break;
  if (owed === null || taken === undefined || taken.startMin < before || taken.endMin > next) return free + travel;
  const planned = at === round.stops.length ? homeTravel(round) : round.stops[at].travelMin;
  if (taken.startMin < before + planned) return Math.max(free, owed.fromMin) + owed.lengthMin + travel;
  return Math.max(free + travel, owed.fromMin) + owed.lengthMin;
}

/** Log-normal with mean 1. Box-Muller (1958, from memory). */
function drawn(random: Random, spread: number): number {
  if (spread <= 0) return 1;
  const z = Math.sqrt(-2 * Math.log(1 - random.unit())) * Math.cos(2 * Math.PI * random.unit());
  return Math.exp(spread * z - (spread * spread) / 2);
}
