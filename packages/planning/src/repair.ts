import { compile, loadRounds, scaledTravel } from './compile.js';
import { clock, usableWindows } from './eligibility.js';
import { recomputeCost } from './check-plan.js';
import { termsOf, type Round, type WeekPlan } from './plan.js';
import { closeOf, endsOf, type Day, type Shift, type Technician, type Visit, type WeekProblem } from './problem.js';
import { timeRound } from './timing.js';
import { planOf, roundsOf, searchWeek, type StopRule } from './solve.js';

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
  /** The present moment: what has started stays as it is, nothing new starts earlier. Default: the whole week is still open. */
  readonly now?: Now;
}

export interface Now {
  readonly day: Day;
  /** Minutes after local midnight. */
  readonly minute: number;
}

/** A start that moves by less is not worth a call (common practice). */
export const NOTICE_MIN = 15;

/** A start that moves by NOTICE_MIN or more is a call to make: it weighs as much as half an hour of driving while a plan is being repaired. */
const REPAIR_SHIFT_MIN = 30;

/** A moved promise weighs as much as two hours of driving while a plan is being repaired. */
const REPAIR_CHANGE_MIN = 120;

/** The plan when a technician is away from fromDay to toDay: who takes over what, moving as few other visits as possible. Throws RangeError for an unknown technician. */
export function repairAbsence(problem: WeekProblem, plan: WeekPlan, technicianId: string, fromDay: Day, toDay: Day, options: RepairOptions = {}): Repair {
  if (!problem.technicians.some((t) => t.id === technicianId)) throw new RangeError(`technician '${technicianId}' is not in this week`);
  const technicians = problem.technicians.map((t) => (t.id !== technicianId ? t : { ...t, shifts: t.shifts.flatMap((s) => (s.day < fromDay || s.day > toDay ? [s] : doneOf(problem, plan, t, s, options.now))) }));
  const visits = problem.visits.map((v) => unpinned(v, technicianId, fromDay, toDay));
  return repair({ ...problem, technicians, visits }, plan, options);
}

/** Somebody who leaves in the middle of a day keeps what has started, and the way home from there. */
function doneOf(problem: WeekProblem, plan: WeekPlan, technician: Technician, shift: Shift, now: Now | undefined): Shift[] {
  if (now?.day !== shift.day) return [];
  const round = plan.rounds.find((r) => r.technicianId === technician.id && r.day === shift.day);
  const done = round?.stops.filter((s) => s.startMin <= now.minute).at(-1);
  const visit = problem.visits.find((v) => v.id === done?.visitId);
  if (done === undefined || visit === undefined) return [];
  const home = scaledTravel(problem.travel.minutes[visit.place][endsOf(technician, shift).to], problem.travel.factorByDay?.[shift.day] ?? 1);
  const rested = round?.break !== undefined && round.break.endMin <= done.startMin;
  return [{ ...shift, endMin: done.endMin + home, maxOvertimeMin: 0, keepFreeMin: 0, ...(rested ? {} : { breakMin: 0 }) }];
}

/** Pins what has started before now, and lets nothing else start before it. */
function frozen(problem: WeekProblem, plan: WeekPlan, now: Now): WeekProblem {
  const begun = new Map(plan.rounds.filter((r) => r.day < now.day || r.day === now.day).flatMap((r) =>
    r.stops.filter((s) => s.joins === undefined && (r.day < now.day || s.startMin <= now.minute)).map((s) => [s.visitId, { technicianId: r.technicianId, day: r.day, startMin: s.startMin }] as const)));
  const visits = problem.visits.map((v): Visit => {
    const at = begun.get(v.id);
    if (at !== undefined) return begunVisit(v, at);
    const windows = v.windows.filter((w) => w.day > now.day || (w.day === now.day && w.endMin >= now.minute)).map((w) => (w.day === now.day ? { ...w, startMin: Math.max(w.startMin, now.minute) } : w));
    return { ...v, windows };
  });
  return { ...problem, visits };
}

/** What has begun keeps its place and time: neither hours nor notice can be asked of it any more. */
function begunVisit(v: Visit, at: Spot): Visit {
  const { notice: _n, permits: _p, sounding: _s, ...rest } = v;
  const lapse = v.lapseDay === undefined ? {} : { lapseDay: v.lapseDay };
  return { ...rest, ...lapse, windows: [{ day: at.day, startMin: at.startMin, endMin: at.startMin }], promises: (v.promises ?? []).filter((p) => p.priceMin !== undefined), pinned: at };
}

/** The key of a visit is lost, or its site closed, until a day (null: for the whole week): it moves behind it or stays out. Throws RangeError for an unknown visit. */
export function repairClosed(problem: WeekProblem, plan: WeekPlan, visitId: string, backOn: Day | null, options: RepairOptions = {}): Repair {
  if (!problem.visits.some((v) => v.id === visitId)) throw new RangeError(`visit '${visitId}' is not in this week`);
  const visits = problem.visits.map((v) => (v.id !== visitId ? v : { ...v, windows: v.windows.filter((w) => backOn !== null && w.day >= backOn) }));
  return repair({ ...problem, visits }, plan, options);
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
    const at = { technicianId: stop.joins ?? overrun.technicianId, day: overrun.day, startMin: stop.startMin };
    return { ...begunVisit(v, at), serviceMin, prize: (v.prize ?? 1) + (v.errand === undefined ? 1e4 : 0) };
  });
  return repair({ ...problem, visits }, plan, options);
}

/** One stop that an overrun pushes about, the round otherwise kept as it is. */
export interface Affected {
  readonly visitId: string;
  readonly technicianId: string;
  readonly wasMin: number;
  readonly startMin: number;
  /** Rules that it would now break, in words; empty: it is only later. */
  readonly breaks: readonly string[];
}

/** Who is affected by an overrun if nobody does anything: every later stop of that day that starts later, across two-person visits. Throws RangeError where the plan has no such stop. */
export function affectedBy(problem: WeekProblem, plan: Pick<WeekPlan, 'rounds'>, overrun: Overrun): Affected[] {
  const rounds = plan.rounds.filter((r) => r.day === overrun.day);
  if (!rounds.some((r) => r.technicianId === overrun.technicianId && r.stops.some((s) => s.visitId === overrun.visitId))) throw new RangeError(`no stop '${overrun.visitId}' in the round of ${overrun.technicianId} on ${overrun.day}`);
  const order = rounds.flatMap((r) => r.stops.map((s, i) => ({ r, s, i }))).sort((a, b) => a.s.startMin - b.s.startMin || a.i - b.i);
  const late = new Map<string, number>();
  const delay = (technicianId: string): number => late.get(technicianId) ?? 0;
  const out: Affected[] = [];
  const seen = new Map<string, number>();
  for (const { r, s, i } of order) {
    const partner = s.second ?? s.joins;
    // both rounds have come as far as this stop when the first of the two is looked at
    const other = partner === undefined ? undefined : rounds.find((x) => x.technicianId === partner);
    const at = other?.stops.findIndex((x) => x.visitId === s.visitId) ?? -1;
    const pushed = seen.get(s.visitId) ?? Math.max(givenWay(r, i, delay(r.technicianId)), other === undefined || at < 0 ? 0 : givenWay(other, at, delay(other.technicianId)));
    seen.set(s.visitId, pushed);
    late.set(r.technicianId, pushed + (s.visitId === overrun.visitId ? overrun.extraMin : 0));
    if (pushed <= 0) continue;
    const visit = problem.visits.find((v) => v.id === s.visitId);
    const startMin = s.startMin + pushed;
    const open = visit === undefined || usableWindows(visit, r.day).some((w) => w.startMin <= startMin && startMin <= w.endMin);
    out.push({ visitId: s.visitId, technicianId: r.technicianId, wasMin: s.startMin, startMin, breaks: open ? [] : [`would start at ${clock(startMin)}, outside its hours`] });
  }
  for (const r of rounds) {
    const shift = problem.technicians.find((t) => t.id === r.technicianId)?.shifts.find((x) => x.day === r.day);
    const end = r.endMin + delay(r.technicianId);
    const last = out.filter((a) => a.technicianId === r.technicianId).at(-1);
    if (shift === undefined || last === undefined) continue;
    const name = nameOf(problem, r.technicianId);
    const also: string[] = [];
    if (end > closeOf(shift).limitMin) also.push(`${name} would be home at ${clock(end)}, ${end - closeOf(shift).limitMin} minutes past the allowed overtime`);
    else if (!out.some((a) => a.technicianId === r.technicianId && a.breaks.length > 0) && !canBeTimed(problem, r, shift, overrun, out)) also.push(`${name}'s break no longer fits into its hours`);
    if (also.length > 0) out.splice(out.indexOf(last), 1, { ...last, breaks: [...last.breaks, ...also] });
  }
  return out;
}

/** Does the round hold in its order with the new starts, the break placed anew? */
function canBeTimed(problem: WeekProblem, round: Round, shift: Shift, overrun: Overrun, affected: readonly Affected[]): boolean {
  const technician = problem.technicians.find((t) => t.id === round.technicianId);
  if (technician === undefined) return true;
  const timed = round.stops.flatMap((s) => {
    const v = problem.visits.find((x) => x.id === s.visitId);
    if (v === undefined) return [];
    const startMin = affected.find((a) => a.visitId === s.visitId && a.technicianId === round.technicianId)?.startMin ?? s.startMin;
    const together = s.second !== undefined || s.joins !== undefined ? { fixedStart: startMin } : {};
    if (s.visitId !== overrun.visitId) return [{ visit: v, ...together }];
    return [{ visit: { ...begunVisit(v, { technicianId: round.technicianId, day: round.day, startMin }), serviceMin: v.serviceMin + overrun.extraMin }, ...together }];
  });
  return timeRound(problem, technician, shift, timed) !== null;
}

/** What is left of a delay at a stop after waiting, and a break that was itself waiting, gave way. */
function givenWay(round: Round, at: number, delay: number): number {
  const stop = round.stops[at];
  const taken = round.break;
  const before = at === 0 ? round.startMin : round.stops[at - 1].endMin;
  let play = stop.waitMin;
  if (taken !== undefined && taken.startMin >= before && taken.endMin <= stop.startMin) {
    play += Math.max(0, taken.startMin - (taken.startMin >= before + stop.travelMin ? before + stop.travelMin : before));
  }
  return Math.max(0, delay - play);
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
function repair(given: WeekProblem, plan: WeekPlan, options: RepairOptions, handedBack = given): Repair {
  const problem = options.now === undefined ? given : frozen(given, plan, options.now);
  const handed = handedBack === given ? problem : options.now === undefined ? handedBack : frozen(handedBack, plan, options.now);
  const wanted: WeekProblem = { ...problem, visits: keepingStarts(problem, plan), published: { rounds: plan.rounds }, rates: { ...problem.rates, changeMin: REPAIR_CHANGE_MIN } };
  const after = searchWeek(wanted, { seed: options.seed ?? 1, stop: options.stop ?? { iterations: 1500 } }, 'repair');
  // the plan is handed back with the cost of the week as the caller defined it
  const lasting = { ...handed, published: { rounds: plan.rounds } };
  const compiled = compile(lasting, false);
  const repaired = unhurried(lasting, plan, planOf(compiled, loadRounds(compiled, roundsOf(after.compiled, after.routes))));
  const { moved, shifted } = comparePlans(plan, repaired);
  const where = (s: Spot): string => `${nameOf(problem, s.technicianId)} on ${s.day} at ${clock(s.startMin)}`;
  const calls = [...moved, ...shifted].filter((m) => m.from !== null).map((m) =>
    m.to === null ? `${m.visitId}: not coming any more (was ${where(m.from as Spot)})` : `${m.visitId}: now ${where(m.to)} (was ${where(m.from as Spot)})`);
  return { problem: lasting, plan: repaired, moved, shifted, calls };
}

/**
 * Nobody need start earlier than was agreed because something before it fell away: a visit that stays in its round waits for its old start
 * where the day does not get longer past the shift by it.
 */
function unhurried(problem: WeekProblem, before: WeekPlan, after: WeekPlan): WeekPlan {
  const at = spots(before.rounds);
  const rounds = after.rounds.map((round): Round => {
    const technician = problem.technicians.find((t) => t.id === round.technicianId);
    const shift = technician?.shifts.find((s) => s.day === round.day);
    if (technician === undefined || shift === undefined) return round;
    let waits = false;
    const timed = round.stops.flatMap((s) => {
      const visit = problem.visits.find((v) => v.id === s.visitId);
      if (visit === undefined) return [];
      if (s.second !== undefined || s.joins !== undefined) return [{ visit, fixedStart: s.startMin, ...(s.second === undefined ? {} : { second: s.second }), ...(s.joins === undefined ? {} : { joins: s.joins }) }];
      const spot = at.get(s.visitId);
      if (spot === undefined || spot.technicianId !== round.technicianId || spot.day !== round.day || spot.startMin <= s.startMin) return [{ visit }];
      const windows = visit.windows.filter((w) => w.day === round.day && spot.startMin <= w.endMin).map((w) => ({ ...w, startMin: Math.max(w.startMin, spot.startMin) }));
      waits ||= windows.length > 0;
      return [{ visit: windows.length > 0 ? { ...visit, windows } : visit }];
    });
    const later = waits ? timeRound(problem, technician, shift, timed) : null;
    return later !== null && later.overtimeMin <= round.overtimeMin ? later : round;
  });
  const bare: WeekPlan = { ...after, rounds };
  return { ...bare, cost: termsOf(recomputeCost(problem, bare)) };
}

/** The visits with their planned starts as promises at a price, for the search alone. */
function keepingStarts(problem: WeekProblem, plan: WeekPlan): Visit[] {
  const at = spots(plan.rounds);
  return problem.visits.map((v) => {
    const spot = at.get(v.id);
    if (spot === undefined || v.errand !== undefined) return v;
    return { ...v, promises: [...(v.promises ?? []), { fromMin: spot.startMin - NOTICE_MIN + 1, toMin: spot.startMin + NOTICE_MIN - 1, priceMin: REPAIR_SHIFT_MIN }] };
  });
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
