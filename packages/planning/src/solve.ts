import { compile, loadRounds, type Compiled } from './compile.js';
import { Insertion } from './core/insertion.js';
import type { Routes } from './core/routes.js';
import { Board, boardBytes } from './core/board.js';
import { bestChain, hasErrands, placeChain } from './core/chain.js';
import { search } from './core/search.js';
import { restore } from './core/snapshot.js';
import { reasonsFor } from './explain.js';
import { compareCost, termsOf, type CostTerm, type Round, type WeekPlan } from './plan.js';
import { DEFAULT_BALANCE_MIN, DEFAULT_CHANGE_MIN, type PublishedRound, type WeekProblem } from './problem.js';
import { Random } from './random.js';
import { timeRound, type TimedVisit } from './timing.js';

export interface StopRule {
  /** Steps of ruin and recreate; with a fixed seed and this alone, the result is the same everywhere. */
  readonly iterations?: number;
  /** Asked every 64 steps; true stops with the best so far. The engine has no clock of its own. */
  readonly until?: () => boolean;
  /** Used share of the budget, 0..1, for the cooling. Give it beside `until` for a better result. */
  readonly fraction?: () => number;
}

export interface Progress {
  readonly iterations: number;
  /** Visits that the best plan so far leaves out. */
  readonly unplaced: number;
  readonly travelMin: number;
  /** Terms of the best plan so far. */
  readonly cost: readonly CostTerm[];
}

export interface SolveOptions {
  readonly seed: number;
  readonly stop: StopRule;
  readonly onProgress?: (progress: Progress) => void;
  /** True ends the search; the best plan so far is returned. */
  readonly cancelled?: () => boolean;
  /** Plan to start from. Default: the published one, if there is one. */
  readonly from?: { readonly rounds: readonly PublishedRound[] };
  /** Memory shared with threads that plan the same week with other seeds (weekBoardBytes long, zeroed): each goes on from the best of all. */
  readonly board?: SharedArrayBuffer;
}

/** Bytes of the memory that threads planning one week share. */
export function weekBoardBytes(problem: WeekProblem): number {
  const seconds = problem.visits.filter((v) => v.persons === 2).length;
  return boardBytes(problem.visits.length + seconds, problem.technicians.reduce((sum, t) => sum + t.shifts.length, 0));
}

/**
 * The best week plan found within the stop rule. Hard rules always hold; what cannot be served is in `unplaced`
 * with its reason. Same problem, seed and iteration count: same plan. Throws BadProblem; RangeError without a stop rule.
 */
export function solve(problem: WeekProblem, options: SolveOptions): WeekPlan {
  const { compiled, routes } = searchWeek(problem, options);
  return planOf(compiled, routes);
}

/** The search without the reasons and times of a plan, for those who go on with its routes. */
export function searchWeek(problem: WeekProblem, options: SolveOptions, order: 'strict' | 'repair' = 'strict'): { compiled: Compiled; routes: Routes } {
  const { stop } = options;
  if (stop.iterations === undefined && stop.until === undefined && options.cancelled === undefined) {
    throw new RangeError('solve needs a stop rule: stop.iterations, stop.until or cancelled');
  }
  const compiled = compile(problem, true, order);
  const start = options.from ?? problem.published;
  const warm = loadRounds(compiled, start?.rounds ?? []);
  const report = options.onProgress;
  const { best } = search(compiled.model, {
    seed: options.seed, warm, ...(order === 'repair' ? { focus: homeless(compiled, warm, start?.rounds ?? []) } : {}), ...stop, ...(options.board === undefined ? {} : { board: new Board(options.board, compiled.model) }), ...(options.cancelled === undefined ? {} : { cancelled: options.cancelled }),
    ...(report === undefined ? {} : { onProgress: (p) => report({ iterations: p.iterations, unplaced: p.absent, travelMin: Math.round(p.terms.travel), cost: termsOf(p.terms) }) }),
  });
  restore(warm, best);
  fillGaps(warm);
  return { compiled, routes: warm };
}

/** Visits of the given rounds that can no longer stand in them, and whoever is left in the rounds that they stood in. */
function homeless(compiled: Compiled, routes: Routes, rounds: readonly PublishedRound[]): number[] {
  const out = new Set<number>();
  for (const round of rounds) {
    const clients = round.stops.flatMap((s) => compiled.clientOf.get(s.visitId) ?? []);
    if (clients.some((c) => routes.routeOf[c] < 0)) for (const c of clients) out.add(c);
  }
  if (out.size > 0) return [...out];
  // nobody lost a place: one that must come in is what the search is about
  const waiting = Array.from(routes.absent.subarray(0, routes.absentCount));
  const most = Math.max(0, ...waiting.map((c) => routes.model.lapseAbsent[c]));
  return most > 0 ? waiting.filter((c) => routes.model.lapseAbsent[c] === most) : [];
}

/** The best of several plans of one problem (threads with different seeds); the earliest among equals. Throws on none. */
export function mergeBest(problem: WeekProblem, plans: readonly WeekPlan[]): WeekPlan {
  const [first, ...rest] = plans;
  if (first === undefined) throw new RangeError('mergeBest needs at least one plan');
  const change = problem.rates?.changeMin ?? DEFAULT_CHANGE_MIN;
  const balance = problem.rates?.balanceMin ?? DEFAULT_BALANCE_MIN;
  return rest.reduce((best, p) => (compareCost(p.cost, best.cost, change, balance) < -1e-6 ? p : best), first);
}

/** Puts in whatever still fits, without moving anything else. */
export function fillGaps(routes: Routes): void {
  const m = routes.model;
  const insertion = new Insertion(m, routes, new Random(0), m.neighbourCount);
  const waiting = Array.from(routes.absent.subarray(0, routes.absentCount)).filter((c) => m.isSecond[c] === 0 && m.errandFor[c] < 0)
    .sort((a, b) => routes.absentCost(b) - routes.absentCost(a) || a - b);
  for (const c of waiting) {
    const mate = m.mate[c];
    if (hasErrands(routes, c)) {
      const at = bestChain(routes, c, true);
      if (at !== null && at.cost < routes.absentCost(c)) placeChain(routes, c, at);
      continue;
    }
    if (mate >= 0) insertion.findPair(c, mate);
    else insertion.find(c, 0, true);
    if (insertion.bestAfter < 0 || insertion.bestCost >= routes.absentCost(c)) continue;
    routes.link(c, insertion.bestAfter, mate >= 0 ? insertion.bestStart : -1);
    routes.refresh(routes.routeOf[c]);
    if (mate < 0) continue;
    routes.link(mate, insertion.bestMateAfter, insertion.bestStart);
    routes.refresh(routes.routeOf[mate]);
  }
}

/** The routes as a plan with times, reasons and cost. */
export function planOf(compiled: Compiled, routes: Routes): WeekPlan {
  return { rounds: roundsOf(compiled, routes), unplaced: reasonsFor(compiled, routes), cost: termsOf(costValues(routes)) };
}

/** The routes with their times. */
export function roundsOf(compiled: Compiled, routes: Routes): Round[] {
  return compiled.routes.flatMap((info, r) => {
    const seq = routes.sequence(r);
    if (seq.length === 0) return [];
    const timed = seq.map((c) => timedVisit(compiled, routes, c));
    const round = timeRound(compiled.problem, info.technician, info.shift, timed);
    if (round === null) throw new Error(`round of ${info.technician.id} on ${info.day} cannot be timed: the search and the timing disagree`);
    return [round];
  });
}

function timedVisit(compiled: Compiled, routes: Routes, c: number): TimedVisit {
  const { mate, isSecond } = compiled.model;
  const visit = compiled.visitOf[c];
  if (mate[c] < 0) return { visit };
  const other = compiled.routes[routes.routeOf[mate[c]]].technician.id;
  return { visit, fixedStart: routes.fixed[c], ...(isSecond[c] === 1 ? { joins: other } : { second: other }) };
}

function costValues(routes: Routes): { lapses: number; exposure: number; overtime: number; travel: number; promises: number; change: number; balance: number } {
  const balance = routes.techLoad.reduce((sum, load, t) => sum + (load * load) / routes.model.techCapacity[t], 0);
  return {
    lapses: routes.lapse, exposure: routes.exposure, overtime: routes.overtimeSum, travel: routes.travelSum, promises: routes.promiseSum, change: routes.changeSum,
    balance,
  };
}
