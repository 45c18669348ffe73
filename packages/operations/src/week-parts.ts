import { Refusal } from '@bellround/contracts';
import { expandVisits, travelMatrix, travelMin, UNKNOWN, type PublishedRound, type RoadTimes, type Shift, type Technician, type TravelMatrix, type TravelModel, type Visit, type WeekPlan, type WeekProblem } from '@bellround/planning';
import { localDate, weekdayOf } from '@bellround/recurrence';
import { UNSCORED_PACE, URGENT_PACE, worthAtPace } from './visit-worth.js';

// A week as plain data, and the engine's problem made of it: pure, so that a thread can do it outside any transaction.

/** A visit that has begun today: it stays where and when it began, whatever else the plan does. */
export interface Anchor { visitId: string; siteId: string; technicianId: string; day: string; startMin: number; endMin: number; lat: number; lon: number }

/** How travel between the places of a week is counted. `key`: the same text, the same minutes. */
export interface WeekTravel { readonly model: TravelModel; readonly road: (RoadTimes & { readonly key: string }) | null }

export interface WeekParts {
  readonly days: readonly string[];
  /** as asked for: parts and errands are made by `problemOf` */
  readonly visits: readonly Visit[];
  readonly technicians: readonly Technician[];
  readonly begun: readonly (Anchor & { readonly place: number })[];
  /** by index: the places of the travel matrix */
  readonly points: readonly { lat: number; lon: number }[];
  readonly travel: WeekTravel;
  /** travel of a day against the usual */
  readonly factors: Readonly<Record<string, number>>;
  readonly published: readonly PublishedRound[] | null;
}

/** One index per place: sites at one spot share it, so that the matrix stays small. */
export class Places {
  readonly points: { lat: number; lon: number }[] = [];
  private readonly known = new Map<string, number>();

  at(lat: number, lon: number): number {
    const key = `${lat} ${lon}`;
    const found = this.known.get(key) ?? this.points.push({ lat, lon }) - 1;
    this.known.set(key, found);
    return found;
  }
}

/** Matrices of late, by their places: the questions to one plan all need the same one, and making it is most of the work of a week. */
const matrices = new Map<string, TravelMatrix['minutes']>();
const MOST_MATRICES = 3;

function matrixOf({ points, travel }: Pick<WeekParts, 'points' | 'travel'>): TravelMatrix['minutes'] {
  const key = `${points.map((point) => `${point.lat},${point.lon}`).join(';')} ${JSON.stringify(travel.model)} ${travel.road?.key ?? ''}`;
  const known = matrices.get(key);
  const minutes = known ?? travelMatrix(points, travel.model, travel.road);
  matrices.delete(key);
  matrices.set(key, minutes);
  if (matrices.size > MOST_MATRICES) matrices.delete(matrices.keys().next().value!);
  return minutes;
}

const made = new WeakMap<WeekParts, WeekProblem>();

/** The week as the engine takes it. The same parts give the same object. */
export function problemOf(parts: WeekParts): WeekProblem {
  const known = made.get(parts);
  if (known) return known;
  const minutes = matrixOf(parts);
  const all = [...parts.visits, ...parts.begun.map(begunVisit)];
  const storm = Object.keys(parts.factors).length > 0;
  const problem = expandVisits({
    days: parts.days, visits: all, travel: { kind: 'matrix', minutes, ...(storm ? { factorByDay: parts.factors } : {}) },
    technicians: parts.technicians.map((technician) => startedToday(technician, parts.begun.find((one) => one.technicianId === technician.id), minutes, parts.factors)),
    ...(parts.published === null ? {} : { published: { rounds: parts.published } }),
  });
  made.set(parts, problem);
  return problem;
}

/** The visit a stop of the engine belongs to: its parts and the errands of its key carry its id before the mark. */
export const visitIdOf = (stopId: string): string => stopId.split('#')[0]!;

/**
 * A stored plan as the problem of now knows it: stops whose part is no longer asked for are gone, and every visit on no round is
 * left out with the reason on record.
 */
export function planIn(problem: WeekProblem, plan: WeekPlan): WeekPlan {
  const known = new Set(problem.visits.map((visit) => visit.id));
  const rounds = plan.rounds.map((round) => ({ ...round, stops: round.stops.filter((stop) => known.has(stop.visitId)) })).filter((round) => round.stops.length > 0);
  const served = new Set(rounds.flatMap((round) => round.stops.map((stop) => stop.visitId)));
  const reasons = new Map(plan.unplaced.map((one) => [one.visitId, one]));
  const unplaced = problem.visits.filter((visit) => !served.has(visit.id) && visit.errand === undefined).map((visit): WeekPlan['unplaced'][number] => {
    const stored = reasons.get(visit.id) ?? reasons.get(visitIdOf(visit.id));
    return stored ? { ...stored, visitId: visit.id } : { visitId: visit.id, reason: { rule: 'unknown', words: 'on no round of this plan' }, lapses: false };
  });
  return { rounds, unplaced, cost: plan.cost };
}

function begunVisit(one: WeekParts['begun'][number]): Visit {
  return {
    id: one.visitId, siteId: one.siteId, place: one.place, serviceMin: one.endMin - one.startMin, windows: [{ day: one.day, startMin: one.startMin, endMin: one.startMin }],
    pinned: { technicianId: one.technicianId, day: one.day, startMin: one.startMin }, prize: 10_000, lapseDay: one.day, lapsePenalty: 1000,
  };
}

/** The shift begins early enough for the visit that has begun; a break that could have been taken before it counts as taken. */
function startedToday(technician: Technician, begun: WeekParts['begun'][number] | undefined, minutes: TravelMatrix['minutes'], factors: WeekParts['factors']): Technician {
  if (!begun) return technician;
  const drive = Math.ceil(minutes[technician.home]![begun.place]! * (factors[begun.day] ?? 1));
  const shifts = technician.shifts.map((shift): Shift => {
    if (shift.day !== begun.day) return shift;
    const { breakMin, ...rest } = shift;
    const breakFromMin = shift.startMin + 180;
    const open = { ...rest, startMin: Math.max(0, Math.min(shift.startMin, begun.startMin - drive)) };
    return breakMin === undefined || begun.endMin > breakFromMin ? open : { ...open, breakMin, breakFromMin, breakToMin: shift.startMin + 360 };
  });
  return { ...technician, shifts };
}

/** What is known of an urgent visit that does not exist yet. */
export interface UrgentAsked { serviceMin: number; skills: string[]; persons: 1 | 2; byDay: string | null }
export interface UrgentSite { id: string; name: string; lat: number; lon: number; accessHours: { weekday: number; from: string; to: string }[] }

const minuteOf = (time: string): number => Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5));

/** The week with one urgent visit more. Its travel is a row and a column more; the rest of the matrix stays as it is. */
export function withUrgent(week: { parts: WeekParts; today: string; nowMin: number }, site: UrgentSite, asked: UrgentAsked, id: string): { problem: WeekProblem; visit: Visit } {
  const problem = problemOf(week.parts);
  const same = week.parts.points.findIndex((point) => point.lat === site.lat && point.lon === site.lon);
  const place = same === -1 ? problem.travel.minutes.length : same;
  const minutes = same === -1 ? withPlace(problem.travel.minutes, week.parts, site) : problem.travel.minutes;
  const windows = problem.days.filter((day) => asked.byDay === null || day <= asked.byDay).flatMap((day) => {
    const from = day === week.today ? week.nowMin : 0;
    return site.accessHours.filter((one) => one.weekday === weekdayOf(localDate(day))).map((one) => ({ day, startMin: Math.max(minuteOf(one.from), from), endMin: minuteOf(one.to) - asked.serviceMin, closeMin: minuteOf(one.to) }));
  }).filter((window) => window.startMin <= window.endMin);
  const visit: Visit = { id, siteId: site.id, place, serviceMin: asked.serviceMin, windows, skills: asked.skills, persons: asked.persons, ...worthAtPace(UNSCORED_PACE + URGENT_PACE, week.parts.days), ...(asked.byDay === null ? {} : { lapsePenalty: 3, lapseDay: asked.byDay }) };
  return { problem: { ...problem, travel: { ...problem.travel, minutes }, visits: [...problem.visits, visit] }, visit };
}

function withPlace(minutes: TravelMatrix['minutes'], { points, travel }: WeekParts, site: { lat: number; lon: number }): TravelMatrix['minutes'] {
  const to = points.map((point) => travelMin(point, site, UNKNOWN, travel.model));
  return [...minutes.map((row, index) => [...row, to[index]!]), [...to, 0]];
}

/** The site as urgent visits need it. Throws WrongState when it has no coordinates. */
export function urgentSite(site: { id: string; name: string; lat: number | null; lon: number | null; accessHours: unknown }): UrgentSite {
  if (site.lat === null || site.lon === null) throw new Refusal('WrongState', `${site.name} has no coordinates: enter them on its page first.`);
  return { id: site.id, name: site.name, lat: site.lat, lon: site.lon, accessHours: site.accessHours as UrgentSite['accessHours'] };
}
