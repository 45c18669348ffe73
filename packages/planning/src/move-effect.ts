import { checkPlan, recomputeCost, type Violation } from './check-plan.js';
import { routeKey } from './compile.js';
import { termsOf, type CostTerm, type Reason, type Round, type TermName, type WeekPlan } from './plan.js';
import type { Day, Shift, Technician, Visit, WeekProblem } from './problem.js';
import { timeRound, type TimedVisit } from './timing.js';

export interface Move {
  readonly visitId: string;
  /** null: take it out of the plan. */
  readonly technicianId: string | null;
  readonly day?: Day;
  readonly position?: number;
  /** The other technician of a two-person visit, and the position there. Default: as before, at the end. */
  readonly second?: { readonly technicianId: string; readonly position?: number };
}

export interface MoveEffect {
  /** Per term: value after, and the change. */
  readonly delta: readonly (CostTerm & { readonly change: number })[];
  /** In words; empty when the move can be made. */
  readonly broken: readonly string[];
  /** The plan after the move; times of a broken round are the nearest that can be given. */
  readonly plan: WeekPlan;
}

/** What a move does, before it is made: change of every term, rules it would break in words, and the plan after it. Throws RangeError for unknown ids. */
export function moveEffect(problem: WeekProblem, plan: WeekPlan, move: Move): MoveEffect {
  const visit = problem.visits.find((v) => v.id === move.visitId);
  if (visit === undefined) throw new RangeError(`visit '${move.visitId}' is not in this week`);
  const before = new Set(checkPlan(problem, plan).map(key));
  const oldSecond = plan.rounds.flatMap((r) => r.stops).find((s) => s.visitId === visit.id && s.second !== undefined)?.second;
  const orders = new Map<string, Order>();
  const errands = problem.visits.filter((v) => v.errand?.of === visit.id);
  const moving = new Set([visit.id, ...errands.map((v) => v.id)]);
  for (const r of plan.rounds) orders.set(routeKey(r.technicianId, r.day), orderOf(problem, r, moving));
  const broken: string[] = [];
  if (move.technicianId !== null) {
    const day = move.day ?? plan.rounds.find((r) => r.stops.some((s) => s.visitId === visit.id))?.day ?? problem.days[0];
    const secondId = visit.persons === 2 ? (move.second?.technicianId ?? oldSecond) : undefined;
    // the errands for its key go with it, right before and right after
    const back = errands.find((v) => v.errand?.kind === 'return');
    if (back !== undefined) put(problem, orders, move.technicianId, day, move.position, { visit: back });
    put(problem, orders, move.technicianId, day, back !== undefined && move.position === undefined ? lengthOf(orders, move.technicianId, day) - 1 : move.position, { visit, ...(secondId === undefined ? {} : { second: secondId }) });
    const collect = errands.find((v) => v.errand?.kind === 'collect');
    if (collect !== undefined) put(problem, orders, move.technicianId, day, move.position ?? lengthOf(orders, move.technicianId, day) - 1 - (back === undefined ? 0 : 1), { visit: collect });
    if (visit.persons === 2) {
      if (secondId === undefined) broken.push('needs a second technician');
      else put(problem, orders, secondId, day, move.second?.position, { visit, joins: move.technicianId });
    }
  }
  const after = retime(problem, plan, orders, visit, move.technicianId === null);
  const news = checkPlan(problem, after.plan).filter((v) => !before.has(key(v)) && v.rule !== 'cost');
  broken.push(...after.words, ...news.filter((v) => v.rule !== 'times').map((v) => v.words));
  return { delta: deltaOf(problem, plan, after.plan), broken: [...new Set(broken)], plan: after.plan };
}

function lengthOf(orders: ReadonlyMap<string, Order>, technicianId: string, day: Day): number {
  return orders.get(routeKey(technicianId, day))?.list.length ?? 0;
}

function key(v: Violation): string {
  return `${v.rule} ${v.technicianId ?? ''} ${v.day ?? ''} ${v.visitId ?? ''}`;
}

interface Order {
  readonly technician: Technician;
  readonly shift: Shift;
  readonly list: TimedVisit[];
}

function orderOf(problem: WeekProblem, round: Round, leaveOut: ReadonlySet<string>): Order {
  const { technician, shift } = whose(problem, round.technicianId, round.day);
  const list = round.stops.filter((s) => !leaveOut.has(s.visitId)).flatMap((s): TimedVisit[] => {
    const visit = problem.visits.find((v) => v.id === s.visitId);
    if (visit === undefined) return [];
    return [{
      visit, ...(visit.persons === 2 ? { fixedStart: s.startMin } : {}), ...(s.second === undefined ? {} : { second: s.second }), ...(s.joins === undefined ? {} : { joins: s.joins }),
    }];
  });
  return { technician, shift, list };
}

function whose(problem: WeekProblem, technicianId: string, day: Day): { technician: Technician; shift: Shift } {
  const technician = problem.technicians.find((t) => t.id === technicianId);
  if (technician === undefined) throw new RangeError(`technician '${technicianId}' is not in this week`);
  // a day off can still be dropped on: the checker then says so
  const shift = technician.shifts.find((s) => s.day === day) ?? { day, startMin: 480, endMin: 1020 };
  return { technician, shift };
}

function put(problem: WeekProblem, orders: Map<string, Order>, technicianId: string, day: Day, position: number | undefined, timed: TimedVisit): void {
  const at = routeKey(technicianId, day);
  const order = orders.get(at) ?? { ...whose(problem, technicianId, day), list: [] };
  order.list.splice(Math.max(0, Math.min(position ?? order.list.length, order.list.length)), 0, timed);
  orders.set(at, order);
}

function retime(problem: WeekProblem, plan: WeekPlan, orders: Map<string, Order>, moved: Visit, out: boolean): { plan: WeekPlan; words: string[] } {
  const words: string[] = [];
  if (moved.persons === 2 && !out) agreeStart(problem, orders, moved);
  const rounds: Round[] = [];
  for (const order of orders.values()) {
    if (order.list.length === 0) continue;
    const timed = timeRound(problem, order.technician, order.shift, order.list);
    if (timed !== null) {
      rounds.push(timed);
      continue;
    }
    const bare = order.list.map((t) => ({ ...t, visit: { ...t.visit, windows: anyTime(order.shift.day), pinned: {} } }));
    const { breakMin: _none, ...unbroken } = order.shift;
    const loose = timeRound(problem, order.technician, order.shift, order.list, 1e6) ?? timeRound(problem, order.technician, unbroken, bare, 1e6);
    if (loose === null) words.push(`${order.technician.name}'s round of ${order.shift.day} cannot be kept: the two-person visits in it have fixed starts`);
    else rounds.push(loose);
  }
  const last = problem.days.at(-1) ?? '';
  const placed = new Set(rounds.flatMap((r) => r.stops.map((s) => s.visitId)));
  const unplaced = plan.unplaced.filter((u) => !placed.has(u.visitId));
  for (const v of problem.visits) {
    if (v.errand !== undefined || placed.has(v.id) || unplaced.some((u) => u.visitId === v.id)) continue;
    const reason: Reason = v.id === moved.id && out ? { rule: 'unknown', words: 'taken out by hand' } : { rule: 'overlap', words: 'its round cannot be kept' };
    unplaced.push({ visitId: v.id, reason, lapses: v.lapseDay != null && v.lapseDay <= last });
  }
  const bare: WeekPlan = { rounds, unplaced, cost: [] };
  return { plan: { ...bare, cost: termsOf(recomputeCost(problem, bare)) }, words };
}

function anyTime(day: Day): Visit['windows'] {
  return [{ day, startMin: 0, endMin: 100_000 }];
}

/** Common start of a moved two-person visit: the later of the two earliest starts, tried until both rounds agree. */
function agreeStart(problem: WeekProblem, orders: Map<string, Order>, visit: Visit): void {
  const mine = [...orders.values()].filter((o) => o.list.some((t) => t.visit.id === visit.id));
  let start = 0;
  for (let attempt = 0; attempt < 4; attempt++) {
    const starts = mine.map((o) => {
      const loose = { ...visit, pinned: {}, windows: visit.windows.map((w) => ({ ...w, startMin: Math.max(w.startMin, start), endMin: Math.max(w.endMin, start) })) };
      const list = o.list.map((t) => (t.visit.id === visit.id ? { ...t, visit: loose } : t));
      return timeRound(problem, o.technician, o.shift, list, 1e6)?.stops.find((s) => s.visitId === visit.id)?.startMin ?? start;
    });
    const next = Math.max(...starts, start);
    if (next === start && attempt > 0) break;
    start = next;
  }
  for (const o of mine) o.list.splice(0, o.list.length, ...o.list.map((t) => (t.visit.id === visit.id ? { ...t, fixedStart: start } : t)));
}

function deltaOf(problem: WeekProblem, before: WeekPlan, after: WeekPlan): MoveEffect['delta'] {
  const was = recomputeCost(problem, before);
  return after.cost.map((t) => ({ ...t, change: Math.round((t.value - was[t.name as TermName]) * 1e6) / 1e6 + 0 }));
}
