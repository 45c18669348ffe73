/**
 * The independent checker: recomputes feasibility and cost of a plan from the problem alone, plainly and slowly.
 * It shares no code with the solver, so that an error there cannot hide here; keep it so.
 */
import type { CostValues, Round, RuleCode, Stop, WeekPlan } from './plan.js';
import type { Day, Shift, Technician, Visit, WeekProblem } from './problem.js';

export interface Violation {
  readonly rule: RuleCode | 'times' | 'twice' | 'cost' | 'missing';
  readonly technicianId?: string;
  readonly day?: Day;
  readonly visitId?: string;
  readonly words: string;
}

/** Every broken rule of a plan, in words; empty when it holds. */
export function checkPlan(problem: WeekProblem, plan: WeekPlan): Violation[] {
  const out: Violation[] = [];
  const rounds = new Set<string>();
  for (const round of plan.rounds) {
    const key = `${round.technicianId}/${round.day}`;
    if (rounds.has(key)) out.push({ rule: 'twice', technicianId: round.technicianId, day: round.day, words: 'two rounds of one technician on one day' });
    rounds.add(key);
    out.push(...checkRound(problem, round));
  }
  for (const visit of problem.visits) out.push(...checkVisit(plan, visit));
  for (const round of plan.rounds) {
    for (const stop of round.stops) {
      if (!problem.visits.some((v) => v.id === stop.visitId)) out.push({ rule: 'unknown', visitId: stop.visitId, words: 'no such visit in this week' });
    }
  }
  out.push(...checkCost(problem, plan));
  return out;
}

function minutesBetween(problem: WeekProblem, day: Day, from: number, to: number): number {
  const base = problem.travel.minutes[from][to];
  const factor = problem.travel.factorByDay === undefined ? undefined : problem.travel.factorByDay[day];
  return factor === undefined || factor === 1 ? base : Math.ceil(base * factor - 1e-9);
}

function checkRound(problem: WeekProblem, round: Round): Violation[] {
  const out: Violation[] = [];
  const where = { technicianId: round.technicianId, day: round.day };
  const technician = problem.technicians.find((t) => t.id === round.technicianId);
  if (technician === undefined) return [{ rule: 'unknown', ...where, words: 'no such technician in this week' }];
  const shift = technician.shifts.find((s) => s.day === round.day);
  if (shift === undefined || !problem.days.includes(round.day)) return [{ rule: 'no-shift', ...where, words: `${technician.name} does not work on ${round.day}` }];
  if (round.stops.length === 0) return out;
  if (round.startMin < shift.startMin) out.push({ rule: 'shift', ...where, words: `leaves at ${round.startMin}, shift starts at ${shift.startMin}` });
  const kept = shift.keepFreeMin === undefined ? 0 : shift.keepFreeMin;
  const latestEnd = kept > 0 ? Math.max(shift.startMin, shift.endMin - kept) : shift.endMin + (shift.maxOvertimeMin === undefined ? 0 : shift.maxOvertimeMin);
  if (round.endMin > latestEnd && kept > 0) out.push({ rule: 'shift', ...where, words: `ends at ${wall(round.endMin)}, the minutes from ${wall(latestEnd)} on are kept free for breakdowns` });
  else if (round.endMin > latestEnd) out.push({ rule: 'shift', ...where, words: `ends at ${wall(round.endMin)}, ${round.endMin - latestEnd} minutes past the allowed overtime` });
  if (round.overtimeMin !== Math.max(0, round.endMin - shift.endMin)) out.push({ rule: 'times', ...where, words: `overtime is given as ${round.overtimeMin}` });

  let place = shift.startPlace === undefined ? technician.home : shift.startPlace;
  let free = round.startMin;
  let travelled = 0;
  let before: Visit | undefined;
  for (const stop of round.stops) {
    const visit = problem.visits.find((v) => v.id === stop.visitId);
    if (visit === undefined) continue;
    const t = minutesBetween(problem, round.day, place, visit.place);
    travelled += t;
    out.push(...checkStop(technician, shift, visit, stop, free, t, sparedMinutes(before, visit)));
    free = stop.endMin;
    place = visit.place;
    before = visit;
  }
  out.push(...checkStock(problem, round, technician), ...checkErrands(problem, round));
  const home = minutesBetween(problem, round.day, place, lastPlace(technician, shift));
  travelled += home;
  if (round.endMin < free + home) out.push({ rule: 'times', ...where, words: `back at ${round.endMin}, earliest possible is ${free + home}` });
  if (round.travelMin !== travelled) out.push({ rule: 'times', ...where, words: `travel is given as ${round.travelMin}, it is ${travelled}` });
  out.push(...checkBreak(problem, round, technician, shift));
  return out;
}

function lastPlace(technician: Technician, shift: Shift): number {
  if (shift.endPlace !== undefined) return shift.endPlace;
  return technician.endPlace === undefined ? technician.home : technician.endPlace;
}

/** Set-up minutes that a visit need not spend, because the visit right before it was at the same address. */
function sparedMinutes(before: Visit | undefined, visit: Visit): number {
  if (before === undefined || before.sharesSetUp === undefined || visit.sharesSetUp === undefined) return 0;
  return before.sharesSetUp.address === visit.sharesSetUp.address ? visit.sharesSetUp.minutes : 0;
}

/** Parts used on a round against those on the van in the morning. */
function checkStock(problem: WeekProblem, round: Round, technician: Technician): Violation[] {
  const used = new Map<string, number>();
  for (const stop of round.stops) {
    const visit = problem.visits.find((v) => v.id === stop.visitId);
    if (visit === undefined || visit.uses === undefined || stop.joins !== undefined) continue;
    for (const part of Object.keys(visit.uses)) used.set(part, (used.get(part) ?? 0) + visit.uses[part]);
  }
  return [...used].flatMap(([part, n]): Violation[] => {
    const has = technician.stock === undefined || technician.stock[part] === undefined ? 0 : technician.stock[part];
    return n <= has ? [] : [{ rule: 'stock', technicianId: technician.id, day: round.day, words: `${n} of ${part} are used, ${has} are on the van` }];
  });
}

/** A key is collected before and returned after its visit, in the same round; no errand without its visit. */
function checkErrands(problem: WeekProblem, round: Round): Violation[] {
  const out: Violation[] = [];
  const at = (id: string): number => round.stops.findIndex((s) => s.visitId === id);
  for (const errand of problem.visits) {
    if (errand.errand === undefined) continue;
    const [here, there] = [at(errand.id), at(errand.errand.of)];
    if (here < 0 && there < 0) continue;
    const where = { technicianId: round.technicianId, day: round.day, visitId: errand.id };
    if (here < 0) out.push({ rule: 'errand', ...where, words: `its key is not ${errand.errand.kind === 'collect' ? 'collected' : 'returned'} on this round` });
    else if (there < 0) out.push({ rule: 'errand', ...where, words: 'an errand for a key without its visit' });
    else if (errand.errand.kind === 'collect' ? here > there : here < there) out.push({ rule: 'errand', ...where, words: `a key ${errand.errand.kind === 'collect' ? 'collected after' : 'returned before'} its visit` });
  }
  return out;
}

/** Notice, permits, hard promises and the hours of the sounding part. */
function checkAgreed(technician: Technician, day: Day, visit: Visit, stop: Stop): Violation[] {
  const out: Violation[] = [];
  const where = { technicianId: technician.id, day, visitId: visit.id };
  const dayNumber = (d: Day): number => Date.parse(`${d}T00:00:00Z`) / 86_400_000;
  if (visit.notice !== undefined && dayNumber(day) - dayNumber(visit.notice.on) < visit.notice.leadDays) out.push({ rule: 'notice', ...where, words: `less than ${visit.notice.leadDays} days after ${visit.notice.on}` });
  for (const permit of visit.permits === undefined ? [] : visit.permits) {
    if (permit.from === null || permit.from > day || (permit.to !== null && permit.to < day)) out.push({ rule: 'permit', ...where, words: `the permit ${permit.name} does not cover ${day}` });
  }
  for (const promise of visit.promises === undefined ? [] : visit.promises) {
    if (promise.priceMin !== undefined) continue;
    const other = stop.joins === undefined && promise.technicianId !== undefined && promise.technicianId !== technician.id;
    if (other || !keepsTime(promise, day, stop.startMin)) out.push({ rule: 'promise', ...where, words: 'not as promised' });
  }
  const part = visit.sounding;
  if (part !== undefined && part.minutes > 0) {
    const from = stop.endMin - part.minutes;
    const heard = part.windows.some((w) => w.day === day && w.startMin <= from && from <= w.endMin && (w.closeMin === undefined || stop.endMin <= w.closeMin));
    if (!heard) out.push({ rule: 'window', ...where, words: `it sounds from ${from} to ${stop.endMin}, outside the noise hours` });
  }
  return out;
}

function keepsTime(promise: { readonly day?: Day; readonly fromMin?: number; readonly toMin?: number }, day: Day, startMin: number): boolean {
  if (promise.day !== undefined && promise.day !== day) return false;
  return (promise.fromMin === undefined || promise.fromMin <= startMin) && (promise.toMin === undefined || startMin <= promise.toMin);
}

function checkStop(technician: Technician, shift: Shift, visit: Visit, stop: Stop, free: number, travel: number, spared: number): Violation[] {
  const out: Violation[] = [];
  const where = { technicianId: technician.id, day: shift.day, visitId: visit.id };
  if (stop.startMin < free + travel) out.push({ rule: 'overlap', ...where, words: `starts at ${stop.startMin}, cannot be reached before ${free + travel}` });
  if (stop.arriveMin < free + travel || stop.arriveMin > stop.startMin) out.push({ rule: 'times', ...where, words: `arrival is given as ${stop.arriveMin}` });
  if (stop.endMin !== stop.startMin + visit.serviceMin - spared) out.push({ rule: 'times', ...where, words: `ends at ${stop.endMin}, service takes ${visit.serviceMin - spared}` });
  if ((stop.savedMin === undefined ? 0 : stop.savedMin) !== spared) out.push({ rule: 'times', ...where, words: `saved set-up is given as ${stop.savedMin}, it is ${spared}` });
  out.push(...checkAgreed(technician, shift.day, visit, stop));
  if (stop.travelMin !== travel) out.push({ rule: 'times', ...where, words: `travel is given as ${stop.travelMin}, it is ${travel}` });
  const inWindow = visit.windows.some((w) => w.day === shift.day && w.startMin <= stop.startMin && stop.startMin <= w.endMin && (w.closeMin === undefined || stop.endMin <= w.closeMin));
  if (!inWindow) out.push({ rule: 'window', ...where, words: `start ${stop.startMin} on ${shift.day} is outside the hours of the site` });
  if (visit.forbidden !== undefined && visit.forbidden.includes(technician.id)) out.push({ rule: 'forbidden', ...where, words: `${technician.name} is barred from this visit` });
  const pin = visit.pinned === undefined ? {} : visit.pinned;
  if (pin.day !== undefined && pin.day !== shift.day) out.push({ rule: 'pinned', ...where, words: `pinned to ${pin.day}` });
  if (pin.startMin !== undefined && pin.startMin !== stop.startMin) out.push({ rule: 'pinned', ...where, words: `pinned to start at ${pin.startMin}` });
  if (stop.joins !== undefined) return out;
  if (pin.technicianId !== undefined && pin.technicianId !== technician.id) out.push({ rule: 'pinned', ...where, words: 'pinned to another technician' });
  if (technician.pairOnly === true) out.push({ rule: 'pair-only', ...where, words: `${technician.name} works only as the second person` });
  for (const skill of visit.skills === undefined ? [] : visit.skills) {
    if (!technician.skills.includes(skill)) out.push({ rule: 'skill', ...where, words: `${technician.name} lacks the skill ${skill}` });
  }
  for (const kind of visit.licences === undefined ? [] : visit.licences) {
    const valid = technician.licences.some((l) => l.kind === kind && l.from <= shift.day && shift.day <= l.to);
    if (!valid) out.push({ rule: 'licence', ...where, words: `${technician.name} has no ${kind} licence valid on ${shift.day}` });
  }
  for (const item of visit.equipment === undefined ? [] : visit.equipment) {
    if (technician.carries === undefined || !technician.carries.includes(item)) out.push({ rule: 'equipment', ...where, words: `${technician.name} does not carry ${item}` });
  }
  return out;
}

function checkBreak(problem: WeekProblem, round: Round, technician: Technician, shift: Shift): Violation[] {
  const length = shift.breakMin === undefined ? 0 : shift.breakMin;
  if (length <= 0) return [];
  const from = shift.breakFromMin === undefined ? shift.startMin + 180 : shift.breakFromMin;
  const to = Math.max(from, shift.breakToMin === undefined ? shift.startMin + 360 : shift.breakToMin);
  const where = { technicianId: technician.id, day: shift.day };
  const taken = round.break;
  if (taken === undefined) return round.endMin <= to ? [] : [{ rule: 'break', ...where, words: `no break, and not back before ${to}` }];
  if (taken.startMin < from || taken.startMin > to || taken.endMin - taken.startMin !== length) return [{ rule: 'break', ...where, words: `break ${taken.startMin}-${taken.endMin}, accepted is ${length} minutes starting ${from}-${to}` }];
  let free = round.startMin;
  let place = shift.startPlace === undefined ? technician.home : shift.startPlace;
  const ends: { startMin: number; place: number }[] = [];
  for (const s of round.stops) {
    const visit = problem.visits.find((v) => v.id === s.visitId);
    if (visit !== undefined) ends.push({ startMin: s.startMin, place: visit.place });
  }
  ends.push({ startMin: round.endMin, place: lastPlace(technician, shift) });
  for (let i = 0; i < ends.length; i++) {
    const t = minutesBetween(problem, shift.day, place, ends[i].place);
    const inside = taken.startMin >= free && taken.endMin <= ends[i].startMin;
    // the break may stand before leaving or after arriving, not during the drive
    if (inside && (taken.endMin + t <= ends[i].startMin || free + t <= taken.startMin)) return [];
    if (i < round.stops.length) free = round.stops[i].endMin;
    place = ends[i].place;
  }
  return [{ rule: 'break', ...where, words: `the break ${taken.startMin}-${taken.endMin} does not fit between the stops and the drives` }];
}

function checkVisit(plan: WeekPlan, visit: Visit): Violation[] {
  const found: { round: Round; stop: Stop }[] = [];
  for (const round of plan.rounds) for (const stop of round.stops) if (stop.visitId === visit.id) found.push({ round, stop });
  const named = plan.unplaced.filter((u) => u.visitId === visit.id).length;
  const where = { visitId: visit.id };
  // an errand without its visit is looked at in the round
  if (visit.errand !== undefined && found.length === 0) return named === 0 ? [] : [{ rule: 'missing', ...where, words: 'an errand is named as left out' }];
  if (found.length === 0) return named === 1 ? [] : [{ rule: 'missing', ...where, words: 'neither in a round nor named once among what is left out' }];
  if (named > 0) return [{ rule: 'twice', ...where, words: 'both in a round and named as left out' }];
  if (visit.persons !== 2) {
    if (found.length > 1) return [{ rule: 'twice', ...where, words: `stands in ${found.length} rounds` }];
    if (found[0].stop.second !== undefined || found[0].stop.joins !== undefined) return [{ rule: 'pair', ...where, words: 'needs one person, a second is named' }];
    return [];
  }
  const [a, b] = found[0].stop.joins === undefined ? found : [found[1], found[0]];
  const together = found.length === 2 && a.stop.joins === undefined && a.stop.second === b.round.technicianId && b.stop.joins === a.round.technicianId
    && a.round.technicianId !== b.round.technicianId && a.round.day === b.round.day && a.stop.startMin === b.stop.startMin;
  return together ? [] : [{ rule: 'pair', ...where, words: 'needs two technicians with one common start' }];
}

/** Cost of a plan, recomputed from the problem and the stops alone. */
export function recomputeCost(problem: WeekProblem, plan: WeekPlan): CostValues {
  const lastDay = problem.days[problem.days.length - 1];
  const v = { lapses: 0, exposure: 0, overtime: 0, travel: 0, promises: 0, change: 0, balance: 0 };
  for (const visit of problem.visits) {
    const round = plan.rounds.find((r) => r.stops.some((s) => s.visitId === visit.id && s.joins === undefined));
    const plainPrize = visit.prize === undefined ? 1 : visit.prize;
    const byDay = visit.prizeByDay === undefined ? {} : visit.prizeByDay;
    const best = Math.max(plainPrize, ...Object.keys(byDay).map((d) => byDay[d]));
    const gained = round === undefined ? 0 : round.day in byDay ? byDay[round.day] : plainPrize;
    v.exposure += best - gained;
    const due = visit.lapseDay === null || visit.lapseDay === undefined ? '9999-12-31' : visit.lapseDay;
    if (due <= lastDay && (round === undefined || round.day > due)) v.lapses += visit.lapsePenalty === undefined ? 1 : visit.lapsePenalty;
    const stop = round === undefined ? undefined : round.stops.find((s) => s.visitId === visit.id && s.joins === undefined);
    for (const promise of visit.promises === undefined ? [] : visit.promises) {
      const kept = round !== undefined && stop !== undefined && (promise.technicianId === undefined || promise.technicianId === round.technicianId) && keepsTime(promise, round.day, stop.startMin);
      if (promise.priceMin !== undefined && !kept) v.promises += promise.priceMin;
    }
    const before = problem.published === undefined ? undefined : problem.published.rounds.find((r) => r.stops.some((s) => s.visitId === visit.id && s.joins === undefined));
    if (before !== undefined && (round === undefined || round.technicianId !== before.technicianId || round.day !== before.day)) v.change += 1;
  }
  for (const technician of problem.technicians) {
    let load = 0;
    let capacity = 1;
    for (const shift of technician.shifts) {
      if (!problem.days.includes(shift.day)) continue;
      capacity += shift.endMin - shift.startMin - (shift.breakMin === undefined ? 0 : Math.max(0, shift.breakMin));
      const round = plan.rounds.find((r) => r.technicianId === technician.id && r.day === shift.day);
      if (round === undefined || round.stops.length === 0) continue;
      v.overtime += Math.max(0, round.endMin - shift.endMin);
      let place = shift.startPlace === undefined ? technician.home : shift.startPlace;
      let last: Visit | undefined;
      for (const stop of round.stops) {
        const visit = problem.visits.find((x) => x.id === stop.visitId);
        if (visit === undefined) continue;
        const t = minutesBetween(problem, shift.day, place, visit.place);
        v.travel += t;
        load += t + visit.serviceMin - sparedMinutes(last, visit);
        place = visit.place;
        last = visit;
      }
      const home = minutesBetween(problem, shift.day, place, lastPlace(technician, shift));
      v.travel += home;
      load += home;
    }
    v.balance += (load * load) / capacity;
  }
  return v;
}

function checkCost(problem: WeekProblem, plan: WeekPlan): Violation[] {
  const truth = recomputeCost(problem, plan);
  const out: Violation[] = [];
  for (const term of plan.cost) {
    if (Math.abs(term.value - truth[term.name]) > 1e-3) out.push({ rule: 'cost', words: `${term.name} is given as ${term.value}, it is ${truth[term.name]}` });
  }
  if (plan.cost.length !== 7) out.push({ rule: 'cost', words: `${plan.cost.length} cost terms, accepted are seven` });
  return out;
}

/** Minutes after midnight as a time of day. */
function wall(minutes: number): string {
  return `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
}
