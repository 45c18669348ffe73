import { compile, loadRounds, type Compiled } from './compile.js';
import { bestChain, hasErrands } from './core/chain.js';
import { FAR } from './core/model.js';
import { Insertion } from './core/insertion.js';
import type { Routes } from './core/routes.js';
import { whyNot } from './eligibility.js';
import type { Reason, RuleCode, Unplaced, WeekPlan } from './plan.js';
import type { Visit, WeekProblem } from './problem.js';
import { Random } from './random.js';

/** Why each absent visit is out. */
export function reasonsFor(compiled: Compiled, routes: Routes): Unplaced[] {
  const last = compiled.problem.days.at(-1) ?? '';
  const insertion = new Insertion(compiled.model, routes, new Random(0), compiled.model.neighbourCount);
  return compiled.problem.visits.flatMap((visit, c) => {
    if (routes.routeOf[c] >= 0 || visit.errand !== undefined) return [];
    return [{ visitId: visit.id, reason: reasonFor(compiled, routes, insertion, c), lapses: visit.lapseDay != null && visit.lapseDay <= last }];
  });
}

/** The binding rule that keeps a visit out of a plan, in words; null when the plan holds it. Throws RangeError for an unknown visit. */
export function explainUnplaced(problem: WeekProblem, plan: WeekPlan, visitId: string): Reason | null {
  const compiled = compile(problem, false);
  const c = compiled.clientOf.get(visitId);
  if (c === undefined) throw new RangeError(`visit '${visitId}' is not in this week`);
  const routes = loadRounds(compiled, plan.rounds);
  if (routes.routeOf[c] >= 0) return null;
  return reasonFor(compiled, routes, new Insertion(compiled.model, routes, new Random(0), compiled.model.neighbourCount), c);
}

function reasonFor(compiled: Compiled, routes: Routes, insertion: Insertion, c: number): Reason {
  const m = compiled.model;
  const visit = compiled.visitOf[c];
  const open: number[] = [];
  for (let r = 0; r < m.routes; r++) if (m.allowed[c * m.routes + r] === 1) open.push(r);
  if (open.length === 0) return ruledOut(compiled, visit);
  const mate = m.mate[c];
  if (hasErrands(routes, c)) {
    const at = bestChain(routes, c, true);
    if (at === null) return { rule: 'errand', words: 'no round has room for it and for collecting and returning its key' };
    return at.cost >= routes.absentCost(c) ? DEAR : { rule: 'unknown', words: 'there is a place for it: plan on, or place it by hand' };
  }
  if (mate >= 0) {
    insertion.findPair(c, mate);
    if (insertion.bestAfter < 0) return { rule: 'pair', words: 'no two technicians have a common free time for it inside its hours' };
  } else {
    insertion.find(c, 0, true);
    if (insertion.bestAfter < 0) return noRoom(compiled, routes, c, open);
  }
  if (insertion.bestCost >= routes.absentCost(c)) return DEAR;
  return { rule: 'unknown', words: 'there is a place for it: plan on, or place it by hand' };
}

const DEAR: Reason = { rule: 'full', words: 'there is a place for it, but it costs more than the visit is worth by the order of aims' };

const RANK: readonly RuleCode[] = ['no-shift', 'no-window', 'window', 'notice', 'permit', 'pinned', 'promise', 'forbidden', 'pair-only', 'skill', 'equipment', 'stock', 'licence'];

/** No technician-day is allowed: the refusal that came nearest, and how many there were of each kind. */
function ruledOut(compiled: Compiled, visit: Visit): Reason {
  const { problem } = compiled;
  if (!visit.windows.some((w) => problem.days.includes(w.day))) return { rule: 'no-window', words: 'the site gives no access on any day of this week' };
  const found: Reason[] = problem.days.flatMap((day) => problem.technicians.flatMap((t) => whyNot(visit, t, day, 'first') ?? []));
  const nearest = found.reduce<Reason | null>((best, r) => (best === null || RANK.indexOf(r.rule) > RANK.indexOf(best.rule) ? r : best), null);
  if (nearest === null) return { rule: 'no-shift', words: 'nobody works this week' };
  const same = [...new Set(found.filter((r) => r.rule === nearest.rule).map((r) => r.words))];
  return { rule: nearest.rule, words: `nobody may do it: ${same.slice(0, 3).join('; ')}${same.length > 3 ? `; and ${same.length - 3} more` : ''}` };
}

/** Somebody may do it, but every such round is full: by how much the best one misses. */
function noRoom(compiled: Compiled, routes: Routes, c: number, open: readonly number[]): Reason {
  let best = { over: Infinity, r: -1 };
  for (const r of open.slice(0, 60)) {
    const limit = compiled.model.limit[r];
    for (let p = routes.start + r; p < routes.end; p = routes.next[p]) {
      const end = routes.endWith(c, p);
      if (end < FAR && end - limit < best.over) best = { over: end - limit, r };
    }
  }
  const who = new Set(open.map((r) => compiled.routes[r].technician.id)).size;
  const days = new Set(open.map((r) => compiled.routes[r].day)).size;
  const scope = `${who} technician${who === 1 ? '' : 's'} may do it on ${days} day${days === 1 ? '' : 's'}`;
  if (best.r < 0) return { rule: 'full', words: `${scope}, but the visits already there leave no free time inside its hours` };
  const info = compiled.routes[best.r];
  return { rule: 'shift', words: `${scope}, but the nearest, ${info.technician.name} on ${info.day}, would end ${best.over} minutes past the allowed overtime` };
}
