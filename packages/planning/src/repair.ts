import { compile, loadRounds } from './compile.js';
import { clock } from './eligibility.js';
import type { Round, WeekPlan } from './plan.js';
import type { Day, Visit, WeekProblem } from './problem.js';
import { planOf, solve, type StopRule } from './solve.js';

export interface Moved {
  readonly visitId: string;
  /** null: was, or is now, in no round. */
  readonly from: Spot | null;
  readonly to: Spot | null;
}

export interface Spot {
  readonly technicianId: string;
  readonly day: Day;
  readonly startMin: number;
}

export interface Repair {
  /** The week as it now is; check the plan against this one. */
  readonly problem: WeekProblem;
  readonly plan: WeekPlan;
  /** Visits with another technician or day, or now left out. */
  readonly moved: readonly Moved[];
  /** Visits that stay with their technician and day but start at least `NOTICE_MIN` later or earlier. */
  readonly shifted: readonly Moved[];
  /** Whom to call, in words. */
  readonly calls: readonly string[];
}

export interface RepairOptions {
  readonly seed?: number;
  /** Default: 1,500 steps. */
  readonly stop?: StopRule;
}

/** A start that moves by less is not worth a call (common practice). */
export const NOTICE_MIN = 15;

/** A moved promise weighs as much as two hours of driving while a plan is being repaired. */
const REPAIR_CHANGE_MIN = 120;

/** The plan when a technician is away from fromDay to toDay: who takes over what, moving as few other visits as possible. Throws RangeError for an unknown technician. */
export function repairAbsence(problem: WeekProblem, plan: WeekPlan, technicianId: string, fromDay: Day, toDay: Day, options: RepairOptions = {}): Repair {
  if (!problem.technicians.some((t) => t.id === technicianId)) throw new RangeError(`technician '${technicianId}' is not in this week`);
  const technicians = problem.technicians.map((t) => (t.id !== technicianId ? t : { ...t, shifts: t.shifts.filter((s) => s.day < fromDay || s.day > toDay) }));
  const visits = problem.visits.map((v) => unpinned(v, technicianId, fromDay, toDay));
  return repair({ ...problem, technicians, visits }, plan, options);
}

/** A pin to somebody who is away cannot hold. */
function unpinned(v: Visit, technicianId: string, fromDay: Day, toDay: Day): Visit {
  const pin = v.pinned;
  if (pin?.technicianId !== technicianId) return v;
  if (pin.day !== undefined && (pin.day < fromDay || pin.day > toDay)) return v;
  const { technicianId: _gone, ...rest } = pin;
  return { ...v, pinned: rest };
}

export interface Overrun {
  readonly technicianId: string;
  readonly day: Day;
  readonly visitId: string;
  /** How much longer the visit takes than planned. */
  readonly extraMin: number;
}

/** A visit overruns: what stands before it, and the visit itself, stay; the rest is repaired. Throws RangeError where the plan has no such stop. */
export function repairOverrun(problem: WeekProblem, plan: WeekPlan, overrun: Overrun, options: RepairOptions = {}): Repair {
  const round = plan.rounds.find((r) => r.technicianId === overrun.technicianId && r.day === overrun.day);
  const at = round?.stops.findIndex((s) => s.visitId === overrun.visitId) ?? -1;
  if (round === undefined || at < 0) throw new RangeError(`no stop '${overrun.visitId}' in the round of ${overrun.technicianId} on ${overrun.day}`);
  const done = new Map(round.stops.slice(0, at + 1).map((s) => [s.visitId, s]));
  const visits = problem.visits.map((v): Visit => {
    const stop = done.get(v.id);
    if (stop === undefined) return v;
    const serviceMin = v.id === overrun.visitId ? v.serviceMin + overrun.extraMin : v.serviceMin;
    const technicianId = stop.joins ?? overrun.technicianId;
    // it has begun: neither hours nor closing time can be asked of it any more
    const windows = [{ day: overrun.day, startMin: stop.startMin, endMin: stop.startMin }];
    return { ...v, serviceMin, windows, pinned: { technicianId, day: overrun.day, startMin: stop.startMin }, prize: (v.prize ?? 1) + 1e4 };
  });
  return repair({ ...problem, visits }, plan, options);
}

/** Travel of one day takes longer or shorter by a factor (a storm: 1.6). */
export function repairTravel(problem: WeekProblem, plan: WeekPlan, day: Day, factor: number, options: RepairOptions = {}): Repair {
  const travel = { ...problem.travel, factorByDay: { ...problem.travel.factorByDay, [day]: factor } };
  return repair({ ...problem, travel }, plan, options);
}

/** One visit more, or one that must be in: it goes first, everything else stays as near to the plan as it can. */
export function forceIn(problem: WeekProblem, plan: WeekPlan, visit: Visit, options: RepairOptions = {}): Repair {
  const last = problem.days.at(-1) ?? '';
  const weight = 1 + problem.visits.reduce((sum, v) => sum + (v.lapsePenalty ?? 1), 0);
  const forced = { ...visit, lapseDay: last, lapsePenalty: weight };
  const others = problem.visits.filter((v) => v.id !== visit.id);
  return repair({ ...problem, visits: [...others, forced] }, plan, options, { ...problem, visits: [...others, visit] });
}

/** `handed`: the week that the repaired plan is handed back with, where it differs from the one searched. */
function repair(problem: WeekProblem, plan: WeekPlan, options: RepairOptions, handed = problem): Repair {
  const wanted: WeekProblem = { ...problem, published: { rounds: plan.rounds }, rates: { ...problem.rates, changeMin: REPAIR_CHANGE_MIN } };
  const after = solve(wanted, { seed: options.seed ?? 1, stop: options.stop ?? { iterations: 1500 } });
  // the plan is handed back with the cost of the week as the caller defined it
  const lasting = { ...handed, published: { rounds: plan.rounds } };
  const compiled = compile(lasting, false);
  const repaired = planOf(compiled, loadRounds(compiled, after.rounds));
  const { moved, shifted } = comparePlans(plan, repaired);
  const where = (s: Spot): string => `${nameOf(problem, s.technicianId)} on ${s.day} at ${clock(s.startMin)}`;
  const calls = [...moved, ...shifted].filter((m) => m.from !== null).map((m) =>
    m.to === null ? `${m.visitId}: not coming any more (was ${where(m.from as Spot)})` : `${m.visitId}: now ${where(m.to)} (was ${where(m.from as Spot)})`);
  return { problem: lasting, plan: repaired, moved, shifted, calls };
}

function nameOf(problem: WeekProblem, id: string): string {
  return problem.technicians.find((t) => t.id === id)?.name ?? id;
}

/** Two plans side by side: visits with another technician or day (or in only one of them), and visits whose start moved by NOTICE_MIN or more. */
export function comparePlans(before: { readonly rounds: readonly Round[] }, after: { readonly rounds: readonly Round[] }): { moved: Moved[]; shifted: Moved[] } {
  const a = spots(before.rounds);
  const b = spots(after.rounds);
  const moved: Moved[] = [];
  const shifted: Moved[] = [];
  for (const visitId of new Set([...a.keys(), ...b.keys()])) {
    const from = a.get(visitId) ?? null;
    const to = b.get(visitId) ?? null;
    if (from === null || to === null || from.technicianId !== to.technicianId || from.day !== to.day) moved.push({ visitId, from, to });
    else if (Math.abs(from.startMin - to.startMin) >= NOTICE_MIN) shifted.push({ visitId, from, to });
  }
  return { moved, shifted };
}

function spots(rounds: readonly Round[]): Map<string, Spot> {
  return new Map(rounds.flatMap((r) => r.stops.filter((s) => s.joins === undefined).map((s) => [s.visitId, { technicianId: r.technicianId, day: r.day, startMin: s.startMin }] as const)));
}
