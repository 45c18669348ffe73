import { compile, loadRounds, routeKey, type Compiled } from './compile.js';
import { bestChain, hasErrands, placeChain } from './core/chain.js';
import { Insertion } from './core/insertion.js';
import type { Routes } from './core/routes.js';
import { clock, whyNot } from './eligibility.js';
import type { WeekPlan } from './plan.js';
import { closeOf, type Day, type Visit, type WeekProblem } from './problem.js';
import { Random } from './random.js';
import { timeRound, type TimedVisit } from './timing.js';

export interface RankedPlace {
  readonly technicianId: string;
  readonly day: Day;
  /** 0: before the first stop. */
  readonly position: number;
  readonly startMin: number;
  /** Added travel, overtime and unevenness in travel minutes (an overtime minute counts four). */
  readonly costMin: number;
  readonly travelMin: number;
  readonly overtimeMin: number;
  /** Two-person visits: the other technician and the position there. */
  readonly second?: { readonly technicianId: string; readonly position: number };
  /** Rules it would break; empty: it simply fits. Places that break a rule come after all that fit. */
  readonly breaks: readonly string[];
}

/** What an overtime minute counts for in ranked places, in travel minutes. */
const OVERTIME_COUNTS = 4;

/**
 * The best places for one visit, the plan otherwise as it is: one per technician and day, cheapest first. The visit may
 * be new (its place must be in the travel matrix) or in the plan (it is then taken out first). When `most` places that
 * fit are not found, places that break one rule follow, with the rule in words.
 */
export function bestPlaces(problem: WeekProblem, plan: WeekPlan, visit: Visit, most = 10): RankedPlace[] {
  const { compiled, routes, c } = without(problem, plan, visit);
  const m = compiled.model;
  if (m.mate[c] >= 0) return pairPlace(compiled, routes, c);
  const found: RankedPlace[] = [];
  for (let r = 0; r < m.routes; r++) {
    if (m.allowed[c * m.routes + r] === 0 || !routes.stocked(c, r)) continue;
    if (hasErrands(routes, c)) {
      found.push(...chainPlaceIn(compiled, routes, c, r));
      continue;
    }
    const place = bestOf(compiled, routes, c, r);
    if (place !== null) found.push(place);
  }
  if (!hasErrands(routes, c)) found.splice(0, found.length, ...found.map((f) => ({ ...f, startMin: startOf(compiled, routes, c, f) })));
  found.sort((a, b) => a.costMin - b.costMin || (a.day < b.day ? -1 : 1));
  if (found.length < most && !hasErrands(routes, c)) found.push(...bent(compiled, routes, c, found).slice(0, most - found.length));
  return found.slice(0, most);
}

function without(problem: WeekProblem, plan: WeekPlan, visit: Visit): { compiled: Compiled; routes: Routes; c: number } {
  const others = problem.visits.filter((v) => v.id !== visit.id);
  const compiled = compile({ ...problem, visits: [...others, visit] }, false);
  const rounds = plan.rounds.map((r) => ({ ...r, stops: r.stops.filter((s) => s.visitId !== visit.id) }));
  return { compiled, routes: loadRounds(compiled, rounds), c: compiled.clientOf.get(visit.id) ?? -1 };
}

function bestOf(compiled: Compiled, routes: Routes, c: number, r: number): RankedPlace | null {
  const m = compiled.model;
  const mat = m.mats[m.matOf[r]];
  const info = compiled.routes[r];
  let best: RankedPlace | null = null;
  let position = 0;
  for (let p = routes.start + r; p < routes.end; p = routes.next[p], position++) {
    if (!routes.fits(c, p)) continue;
    const q = routes.next[p];
    const hop = (a: number, b: number): number => mat[m.place[a] * m.places + m.place[b]];
    const travelMin = hop(p, c) + hop(c, q) - (routes.size[r] === 0 ? 0 : hop(p, q));
    const overtimeMin = Math.max(0, routes.endWith(c, p) - m.close[r]) - routes.overtime[r];
    const t = m.routeTech[r];
    const added = travelMin + m.service[c] - routes.setUpSaved(p, c) + routes.setUpSaved(p, q) - routes.setUpSaved(c, q);
    const evenness = (m.weights.balance * added * (2 * routes.techLoad[t] + added)) / m.techCapacity[t];
    const broken = m.promises.has(c) ? routes.promisePrice(c, r, routes.earliestStart(c, p)) : 0;
    const costMin = Math.round((travelMin + OVERTIME_COUNTS * overtimeMin + evenness + broken) * 100) / 100;
    if (best !== null && costMin >= best.costMin) continue;
    best = { technicianId: info.technician.id, day: info.day, position, startMin: routes.earliestStart(c, p), costMin, travelMin, overtimeMin, breaks: [] };
  }
  return best;
}

/** The start that the round will show: with the break where the whole day ends earliest. */
function startOf(compiled: Compiled, routes: Routes, c: number, at: RankedPlace): number {
  const r = compiled.routeAt.get(routeKey(at.technicianId, at.day)) ?? -1;
  const info = compiled.routes[r];
  const timed = routes.sequence(r).map((x): TimedVisit => ({ visit: compiled.visitOf[x], ...(routes.fixed[x] >= 0 ? { fixedStart: routes.fixed[x] } : {}) }));
  timed.splice(at.position, 0, { visit: compiled.visitOf[c] });
  return timeRound(compiled.problem, info.technician, info.shift, timed)?.stops[at.position].startMin ?? at.startMin;
}

/** A visit with a key: the round with its errands. */
function chainPlaceIn(compiled: Compiled, routes: Routes, c: number, r: number): RankedPlace[] {
  const at = bestChain(routes, c, true, r);
  if (at === null) return [];
  const m = compiled.model;
  const before = { overtime: routes.overtimeSum, travel: routes.travelSum };
  placeChain(routes, c, at);
  const travelMin = routes.travelSum - before.travel;
  const overtimeMin = routes.overtimeSum - before.overtime;
  const position = routes.sequence(r).indexOf(c);
  const starts = new Int32Array(m.clients);
  routes.startsOf(r, starts);
  for (const x of [c, m.collectOf[c], m.returnOf[c]]) if (x >= 0) routes.unlink(x);
  routes.refresh(r);
  const info = compiled.routes[r];
  return [{ technicianId: info.technician.id, day: info.day, position, startMin: starts[c], costMin: travelMin + OVERTIME_COUNTS * overtimeMin, travelMin, overtimeMin, breaks: [] }];
}

function pairPlace(compiled: Compiled, routes: Routes, c: number): RankedPlace[] {
  const m = compiled.model;
  const insertion = new Insertion(m, routes, new Random(0), m.neighbourCount);
  insertion.findPair(c, m.mate[c]);
  if (insertion.bestAfter < 0) return [];
  const at = (p: number): number => routes.sequence(routes.routeOf[p]).indexOf(p) + 1;
  const [a, b] = [insertion.bestAfter, insertion.bestMateAfter].map((p) => compiled.routes[routes.routeOf[p]]);
  const before = { overtime: routes.overtimeSum, travel: routes.travelSum };
  const positions = [at(insertion.bestAfter), at(insertion.bestMateAfter)];
  const start = insertion.bestStart;
  const mateAfter = insertion.bestMateAfter;
  place(routes, c, insertion.bestAfter, start);
  place(routes, m.mate[c], mateAfter, start);
  const travelMin = routes.travelSum - before.travel;
  const overtimeMin = routes.overtimeSum - before.overtime;
  return [{
    technicianId: a.technician.id, day: a.day, position: positions[0], startMin: start, costMin: travelMin + OVERTIME_COUNTS * overtimeMin, travelMin, overtimeMin,
    second: { technicianId: b.technician.id, position: positions[1] }, breaks: [],
  }];
}

function place(routes: Routes, c: number, p: number, start: number): void {
  routes.link(c, p, start);
  routes.refresh(routes.routeOf[c]);
}

/** Places that need one rule bent: too long a day, or one refusal. */
function bent(compiled: Compiled, routes: Routes, c: number, found: readonly RankedPlace[]): RankedPlace[] {
  const visit = compiled.visitOf[c];
  const taken = new Set(found.map((f) => routeKey(f.technicianId, f.day)));
  const out: RankedPlace[] = [];
  compiled.routes.forEach((info, r) => {
    if (taken.has(routeKey(info.technician.id, info.day))) return;
    const refusal = whyNot(visit, info.technician, info.day, 'first');
    if (refusal !== null && ['no-shift', 'no-window', 'window'].includes(refusal.rule)) return;
    const timed = routes.sequence(r).map((x): TimedVisit => ({ visit: compiled.visitOf[x], ...(routes.fixed[x] >= 0 ? { fixedStart: routes.fixed[x] } : {}) }));
    let best: RankedPlace | null = null;
    for (let i = 0; i <= timed.length; i++) {
      const loose = refusal?.rule === 'pinned' ? { ...visit, pinned: {} } : visit;
      const round = timeRound(compiled.problem, info.technician, info.shift, [...timed.slice(0, i), { visit: loose }, ...timed.slice(i)], 1e6);
      if (round === null) continue;
      const travelMin = round.travelMin - routes.travel[r];
      const overtimeMin = round.overtimeMin - routes.overtime[r];
      const costMin = travelMin + OVERTIME_COUNTS * overtimeMin;
      if (best !== null && costMin >= best.costMin) continue;
      const past = round.endMin - closeOf(info.shift).limitMin;
      const breaks = [...(refusal === null ? [] : [refusal.words]), ...(past > 0 ? [`${info.technician.name} would end at ${clock(round.endMin)}, ${past} minutes past the allowed overtime`] : [])];
      best = { technicianId: info.technician.id, day: info.day, position: i, startMin: round.stops[i].startMin, costMin, travelMin, overtimeMin, breaks };
    }
    if (best !== null) out.push(best);
  });
  return out.sort((a, b) => a.breaks.length - b.breaks.length || a.costMin - b.costMin);
}
