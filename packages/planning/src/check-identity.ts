/**
 * The independent checker's second part: holds a plan of an expanded week against the visits as they were asked for.
 * Like the first, it shares no code with the solver, nor with the expansion.
 */
import type { Violation } from './check-plan.js';
import type { Round, Stop, WeekPlan } from './plan.js';
import type { Visit, VisitWindow, WeekProblem } from './problem.js';

interface Found {
  readonly round: Round;
  readonly stop: Stop;
  readonly at: number;
}

/** Broken promises of identity: minutes lost or made twice, a sounding part outside its hours, a key not fetched; empty when all hold. */
export function checkIdentities(original: WeekProblem, plan: Pick<WeekPlan, 'rounds'>): Violation[] {
  return original.visits.flatMap((v) => [...checkSounding(v, plan), ...checkKey(v, plan)]);
}

function find(plan: Pick<WeekPlan, 'rounds'>, id: string): Found[] {
  return plan.rounds.flatMap((round) => round.stops.flatMap((stop, at) => (stop.visitId === id && stop.joins === undefined ? [{ round, stop, at }] : [])));
}

function inside(windows: readonly VisitWindow[], day: string, from: number, end: number): boolean {
  return windows.some((w) => w.day === day && w.startMin <= from && from <= w.endMin && (w.closeMin === undefined || end <= w.closeMin));
}

function checkSounding(v: Visit, plan: Pick<WeekPlan, 'rounds'>): Violation[] {
  const part = v.sounding;
  if (part === undefined) return [];
  const out: Violation[] = [];
  const [whole, silent, sounding] = ['', '#silent', '#sounding'].map((tag) => find(plan, v.id + tag));
  const where = { visitId: v.id };
  if (whole.length + silent.length > 1 || whole.length + sounding.length > 1) out.push({ rule: 'twice', ...where, words: 'a part of it is made twice' });
  for (const f of [...whole, ...sounding]) {
    if (!inside(part.windows, f.round.day, f.stop.endMin - part.minutes, f.stop.endMin)) out.push({ rule: 'window', ...where, words: `it sounds from ${f.stop.endMin - part.minutes} on ${f.round.day}, outside the noise hours` });
  }
  for (const f of [...whole, ...silent, ...sounding]) {
    if (!v.windows.some((w) => w.day === f.round.day && w.startMin <= f.stop.startMin && f.stop.startMin <= w.endMin && (w.closeMin === undefined || f.stop.endMin <= w.closeMin))) {
      out.push({ rule: 'window', ...where, words: `${f.stop.startMin} on ${f.round.day} is outside the hours of the site` });
    }
  }
  if (silent.length === 1 && sounding.length === 1) {
    const [a, b] = [silent[0], sounding[0]];
    const made = a.stop.endMin - a.stop.startMin + b.stop.endMin - b.stop.startMin;
    const side = a.round === b.round && Math.abs(a.at - b.at) === 1;
    if (side ? made > v.serviceMin + part.setUpMin : made < v.serviceMin) out.push({ rule: 'times', ...where, words: `its parts take ${made} minutes, the visit ${v.serviceMin}` });
  }
  return out;
}

function checkKey(v: Visit, plan: Pick<WeekPlan, 'rounds'>): Violation[] {
  const key = v.key;
  if (key === undefined) return [];
  return ['', '#silent', '#sounding'].flatMap((tag) => find(plan, v.id + tag).flatMap((f): Violation[] => {
    const near = (kind: string): Found | undefined => find(plan, `${v.id}${tag}#${kind}`).find((x) => x.round === f.round);
    const [collect, back] = [near('collect'), near('return')];
    const where = { visitId: v.id, technicianId: f.round.technicianId, day: f.round.day };
    const out: Violation[] = [];
    if (collect === undefined || collect.at > f.at) out.push({ rule: 'errand', ...where, words: 'its key is not collected before it' });
    else if (collect.stop.endMin - collect.stop.startMin !== key.handMin) out.push({ rule: 'times', ...where, words: 'collecting the key has other minutes' });
    if (key.returnPlace !== null && (back === undefined || back.at < f.at)) out.push({ rule: 'errand', ...where, words: 'its key is not returned after it' });
    if (key.windows !== undefined && collect !== undefined && !inside(key.windows, f.round.day, collect.stop.startMin, collect.stop.endMin)) out.push({ rule: 'window', ...where, words: 'the key is collected outside the hours of its holder' });
    return out;
  }));
}
