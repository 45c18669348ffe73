import { bestPlaces, type RankedPlace } from './best-places.js';
import { clock, noticeBy } from './eligibility.js';
import { moveEffect } from './move-effect.js';
import { termValue, type TermName, type WeekPlan } from './plan.js';
import type { Day, WeekProblem } from './problem.js';
import { comparePlans, type Moved, type Spot } from './repair.js';

export interface WhyHere {
  readonly at: Spot;
  /** Travel and overtime saved if it were not there. */
  readonly travelMin: number;
  readonly overtimeMin: number;
  /** The best other places, the rest as it is; cheapest first. */
  readonly others: readonly RankedPlace[];
  /** What decides, in words, strongest first. */
  readonly words: readonly string[];
}

/** Why a visit stands where it stands; null when the plan leaves it out (ask explainUnplaced). Throws RangeError for an unknown visit. */
export function whyHere(problem: WeekProblem, plan: WeekPlan, visitId: string): WhyHere | null {
  const visit = problem.visits.find((v) => v.id === visitId);
  if (visit === undefined) throw new RangeError(`visit '${visitId}' is not in this week`);
  const round = plan.rounds.find((r) => r.stops.some((s) => s.visitId === visitId && s.joins === undefined));
  const stop = round?.stops.find((s) => s.visitId === visitId);
  if (round === undefined || stop === undefined) return null;
  const out = moveEffect(problem, plan, { visitId, technicianId: null }).delta;
  const change = (name: TermName): number => -(out.find((t) => t.name === name)?.change ?? 0);
  const others = bestPlaces(problem, plan, visit, 12).filter((p) => p.technicianId !== round.technicianId || p.day !== round.day);
  const fitting = others.filter((p) => p.breaks.length === 0);
  const nameOf = (id: string): string => problem.technicians.find((t) => t.id === id)?.name ?? id;
  const pin = visit.pinned;
  const hereMin = change('travel') + 4 * change('overtime');
  const words: string[] = [];
  if (pin !== undefined && Object.keys(pin).length > 0) words.push(`the dispatcher pinned ${[pin.technicianId === undefined ? '' : 'the technician', pin.day === undefined ? '' : 'the day', pin.startMin === undefined ? '' : 'the start'].filter((w) => w !== '').join(', ')}`);
  for (const p of visit.promises ?? []) words.push(`${p.priceMin === undefined ? 'promised' : 'promised at a price'}${p.words === undefined ? '' : `: ${p.words}`}`);
  if (visit.lapseDay != null && round.day <= visit.lapseDay) words.push(`a mandated duty lapses after ${visit.lapseDay}`);
  if ((stop.savedMin ?? 0) > 0) words.push(`${stop.savedMin} minutes of set-up are shared with the visit before it`);
  if (visit.prizeByDay !== undefined) words.push(`it removes ${visit.prizeByDay[round.day] ?? visit.prize ?? 1} of exposure on ${round.day}, at most ${Math.max(visit.prize ?? 1, ...Object.values(visit.prizeByDay))} on any day`);
  const best = fitting[0];
  if (best === undefined) words.push('no other technician and day has room for it as the rest stands');
  else {
    const more = Math.round((best.costMin - hereMin) * 100) / 100;
    const where = `${nameOf(best.technicianId)} on ${best.day} at ${clock(best.startMin)}`;
    words.push(more >= 0 ? `here it adds ${change('travel')} minutes of travel; the next best, ${where}, counts ${more} minutes more` : `taken alone, ${where} would count ${-more} minutes less; evenness, change or earlier aims weigh against it`);
  }
  return { at: { technicianId: round.technicianId, day: round.day, startMin: stop.startMin }, travelMin: change('travel'), overtimeMin: change('overtime'), others: fitting.slice(0, 5), words };
}

export interface NoticeDue {
  readonly visitId: string;
  readonly day: Day;
  /** Last day on which notice may be given. */
  readonly by: Day;
  readonly words: string;
}

/** Notice still to be given for the visits of a plan, most urgent first. */
export function noticesDue(problem: WeekProblem, plan: Pick<WeekPlan, 'rounds'>): NoticeDue[] {
  return plan.rounds.flatMap((r) => r.stops.flatMap((s): NoticeDue[] => {
    const notice = problem.visits.find((v) => v.id === s.visitId)?.notice;
    if (notice === undefined || notice.given || s.joins !== undefined) return [];
    const by = noticeBy(r.day, notice.leadDays);
    return [{ visitId: s.visitId, day: r.day, by, words: `notice of ${notice.leadDays} days for ${r.day}: give it by ${by}` }];
  })).sort((a, b) => (a.by < b.by ? -1 : a.by > b.by ? 1 : 0));
}

export interface SideBySide {
  readonly terms: readonly { readonly name: TermName; readonly unit: string; readonly a: number; readonly b: number; readonly change: number }[];
  readonly served: { readonly a: number; readonly b: number };
  /** Visits in only one of the two. */
  readonly onlyA: readonly string[];
  readonly onlyB: readonly string[];
  readonly moved: readonly Moved[];
  readonly shifted: readonly Moved[];
  /** Minutes of service and travel of each technician. */
  readonly technicians: readonly { readonly technicianId: string; readonly aMin: number; readonly bMin: number; readonly aStops: number; readonly bStops: number }[];
}

/** Two plans of one week side by side. */
export function sideBySide(problem: WeekProblem, a: WeekPlan, b: WeekPlan): SideBySide {
  const { moved, shifted } = comparePlans(a, b);
  const load = (p: WeekPlan, id: string): number => p.rounds.filter((r) => r.technicianId === id).reduce((sum, r) => sum + r.travelMin + r.stops.reduce((x, s) => x + s.endMin - s.startMin, 0), 0);
  const count = (p: WeekPlan, id: string): number => p.rounds.filter((r) => r.technicianId === id).reduce((sum, r) => sum + r.stops.length, 0);
  const served = (p: WeekPlan): number => p.rounds.reduce((sum, r) => sum + r.stops.filter((s) => s.joins === undefined && problem.visits.find((v) => v.id === s.visitId)?.errand === undefined).length, 0);
  return {
    terms: a.cost.map((t) => ({ name: t.name, unit: t.unit, a: t.value, b: termValue(b.cost, t.name), change: Math.round((termValue(b.cost, t.name) - t.value) * 1e6) / 1e6 })),
    served: { a: served(a), b: served(b) },
    onlyA: moved.filter((m) => m.to === null).map((m) => m.visitId), onlyB: moved.filter((m) => m.from === null).map((m) => m.visitId), moved, shifted,
    technicians: problem.technicians.map((t) => ({ technicianId: t.id, aMin: load(a, t.id), bMin: load(b, t.id), aStops: count(a, t.id), bStops: count(b, t.id) })),
  };
}
