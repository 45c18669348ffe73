import { dayReason, usableWindows } from './eligibility.js';
import type { WeekPlan } from './plan.js';
import { BadProblem, type ClientPromise, type Day, type PublishedRound, type Visit, type VisitWindow, type WeekProblem } from './problem.js';

const SILENT = '#silent';
const SOUNDING = '#sounding';
const COLLECT = '#collect';
const RETURN = '#return';

/**
 * Makes the parts and errands that the search moves about: a visit whose sounding part may be made on a trip of its own
 * becomes 'x#silent' and 'x#sounding' (together again, right one after the other, they take what the visit took); a visit
 * with a key gets 'x#collect' and 'x#return'. Prizes are shared by minutes, lapse penalties and prices by halves. Days and times
 * published for the visit are taken over by its parts. A visit of two persons, or pinned to a start, stays whole.
 * Throws BadProblem for a two-person visit with a key.
 */
export function expandVisits(problem: WeekProblem): WeekProblem {
  const faults = problem.visits.filter((v) => v.key !== undefined && v.persons === 2).map((v) => `visit ${v.id} needs two persons and a key, accepted is one of them`);
  if (faults.length > 0) throw new BadProblem(faults);
  const visits = problem.visits.flatMap((v) => partsOf(v)).flatMap((v) => withErrands(v, problem.days));
  const published = problem.published;
  return { ...problem, visits, ...(published === undefined ? {} : { published: { rounds: published.rounds.map((r) => expandRound(r, visits)) } }) };
}

function partsOf(v: Visit): Visit[] {
  const part = v.sounding;
  if (part === undefined || !part.maySplit) return [v];
  const ahead = v.serviceMin - part.minutes;
  if (v.persons === 2 || v.pinned?.startMin !== undefined || part.minutes === 0 || ahead <= 0) return [{ ...v, sounding: { ...part, maySplit: false } }];
  const { sounding: _whole, uses, ...common } = v;
  const address = v.sharesSetUp?.address ?? `visit ${v.id}`;
  const share = ahead / v.serviceMin;
  const shared = { ...common, partOf: v.id, promises: halved(v.promises), ...(v.lapseDay == null ? {} : { lapsePenalty: (v.lapsePenalty ?? 1) / 2 }) };
  const silent: Visit = {
    ...shared, id: v.id + SILENT, serviceMin: ahead, ...worth(v, (x) => hundredth(x * share)), ...(uses === undefined ? {} : { uses }),
    sharesSetUp: { address, minutes: Math.min(ahead, v.sharesSetUp?.minutes ?? part.setUpMin) },
  };
  const sounding: Visit = {
    ...shared, id: v.id + SOUNDING, serviceMin: part.minutes + part.setUpMin, ...worth(v, (x) => hundredth(x - hundredth(x * share))),
    sharesSetUp: { address, minutes: part.setUpMin }, windows: v.windows.flatMap((w) => part.windows.flatMap((n) => both(w, n, part.setUpMin, part.minutes))),
  };
  return [silent, sounding];
}

function hundredth(x: number): number {
  return Math.round(x * 100) / 100;
}

function worth(v: Visit, of: (x: number) => number): Pick<Visit, 'prize' | 'prizeByDay'> {
  const byDay = v.prizeByDay === undefined ? {} : { prizeByDay: Object.fromEntries(Object.entries(v.prizeByDay).map(([day, x]) => [day, of(x)])) };
  return { prize: of(v.prize ?? 1), ...byDay };
}

function halved(promises: readonly ClientPromise[] | undefined): ClientPromise[] {
  return (promises ?? []).map((p) => (p.priceMin === undefined ? p : { ...p, priceMin: p.priceMin / 2 }));
}

/** Starts at which the whole sounding trip, set-up included, lies inside the hours of the site and the noise hours. */
function both(w: VisitWindow, noise: VisitWindow, setUpMin: number, minutes: number): VisitWindow[] {
  if (w.day !== noise.day) return [];
  const startMin = Math.max(w.startMin, noise.startMin);
  const closeMin = Math.min(w.closeMin ?? Infinity, noise.closeMin ?? Infinity);
  const endMin = Math.min(w.endMin, noise.endMin - setUpMin, closeMin - setUpMin - minutes);
  return startMin > endMin ? [] : [{ day: w.day, startMin, endMin, ...(closeMin === Infinity ? {} : { closeMin }) }];
}

function withErrands(v: Visit, days: readonly Day[]): Visit[] {
  const key = v.key;
  if (key === undefined) return [v];
  const { key: _taken, ...bare } = v;
  const windows = key.windows ?? days.map((day) => ({ day, startMin: 0, endMin: 1440 }));
  const errand = (kind: 'collect' | 'return', place: number): Visit => ({
    id: v.id + (kind === 'collect' ? COLLECT : RETURN), siteId: v.siteId, place, serviceMin: key.handMin, windows, prize: 0, lapseDay: null, errand: { of: v.id, kind }, ...(v.partOf === undefined ? {} : { partOf: v.partOf }),
  });
  return [bare, errand('collect', key.collectPlace), ...(key.returnPlace === null ? [] : [errand('return', key.returnPlace ?? key.collectPlace)])];
}

function expandRound(round: PublishedRound, visits: readonly Visit[]): PublishedRound {
  const named = new Set(round.stops.map((s) => s.visitId));
  const stops = round.stops.flatMap((stop) => {
    const parts = visits.filter((v) => v.errand === undefined && (v.id === stop.visitId || (v.partOf === stop.visitId && !named.has(v.id))));
    return parts.flatMap((part) => {
      const errand = (kind: 'collect' | 'return') => visits.filter((v) => v.errand?.of === part.id && v.errand.kind === kind && !named.has(v.id));
      return [...errand('collect'), part, ...errand('return')].map((v) => ({ ...stop, visitId: v.id }));
    });
  });
  return { ...round, stops };
}

/** Where a visit as it was asked for ended up. */
export interface Identity {
  readonly visitId: string;
  /** split: both parts are made, on two trips; partly: one of them is left out. */
  readonly state: 'whole' | 'split' | 'partly' | 'left-out';
  readonly stops: readonly { readonly visitId: string; readonly kind: 'visit' | 'silent' | 'sounding' | 'collect' | 'return'; readonly technicianId: string; readonly day: Day; readonly startMin: number; readonly endMin: number }[];
}

/** Every visit of the problem before expandVisits with its parts and errands in the plan, by day and time: one identity, however many stops. */
export function identitiesOf(original: WeekProblem, plan: Pick<WeekPlan, 'rounds'>): Identity[] {
  const all = new Map<string, { stop: Identity['stops'][number]; next: string | undefined }[]>();
  for (const round of plan.rounds) {
    round.stops.forEach((s, i) => {
      if (s.joins !== undefined) return;
      const [id, ...tags] = s.visitId.split('#');
      const tag = tags.at(-1) ?? 'visit';
      const stop = { visitId: s.visitId, kind: tag as Identity['stops'][number]['kind'], technicianId: round.technicianId, day: round.day, startMin: s.startMin, endMin: s.endMin };
      all.set(id, [...(all.get(id) ?? []), { stop, next: round.stops[i + 1]?.visitId }]);
    });
  }
  return original.visits.map((v) => {
    const mine = (all.get(v.id) ?? []).sort((a, b) => (a.stop.day === b.stop.day ? a.stop.startMin - b.stop.startMin : a.stop.day < b.stop.day ? -1 : 1));
    const parts = mine.filter((m) => m.stop.kind === 'silent' || m.stop.kind === 'sounding');
    const whole = mine.some((m) => m.stop.kind === 'visit') || (parts.length === 2 && parts[0].next === parts[1].stop.visitId);
    const state = whole ? 'whole' : parts.length === 2 ? 'split' : parts.length === 1 ? 'partly' : 'left-out';
    return { visitId: v.id, state, stops: mine.map((m) => m.stop) };
  });
}

export interface DayChoices {
  /** Days on which the whole visit can be made in one go. */
  readonly whole: readonly Day[];
  /** Days for the silent and the sounding part on trips of their own; empty where nothing sounds. */
  readonly silent: readonly Day[];
  readonly sounding: readonly Day[];
  /** Why the other days are closed to the whole visit, in words. */
  readonly closed: readonly { readonly day: Day; readonly words: string }[];
}

/** On which of these days a visit can be made, whole or in its two parts; hours and rules of the site alone, nobody's rounds. */
export function daysFor(visit: Visit, days: readonly Day[]): DayChoices {
  const bare: Visit = { ...visit, ...(visit.sounding === undefined ? {} : { sounding: { ...visit.sounding, maySplit: false } }) };
  const open = (v: Visit): Day[] => days.filter((day) => usableWindows(v, day).length > 0);
  const [silent, sounding] = visit.sounding === undefined ? [] : partsOf({ ...visit, sounding: { ...visit.sounding, maySplit: true } });
  const whole = open(bare);
  const closed = days.filter((day) => !whole.includes(day)).map((day) => ({ day, words: dayReason(bare, day).words }));
  return sounding === undefined ? { whole, silent: [], sounding: [], closed } : { whole, silent: open(silent), sounding: open(sounding), closed };
}
