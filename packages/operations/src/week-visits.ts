import type { WeekTechnician, WeekVisit } from '@bellround/contracts';
import type { PlannableVisit } from '@bellround/database';
import { daysFor, type ClientPromise, type PublishedRound, type SoundingPart, type Technician, type Visit, type VisitWindow } from '@bellround/planning';
import { localDate, usableDates, weekdayOf, type AccessCalendar } from '@bellround/recurrence';
import { dayText, dayTextOrNull } from './steps.js';
import { worthOf } from './visit-worth.js';
import { carriedBy, needOfVisit, type Needs, type PlanningRules, type WeeklyHours } from './week-needs.js';
import type { Places } from './week-parts.js';

// Technicians and visits of a week as the engine takes them: pure.

/** Minutes of a visit before the first check and after the last: arrive, talk, on test, off test, paper (25-35 min, common practice). */
export const SET_UP_MIN = 25;
export interface WeeklyShift { weekday: number; from: string; to: string; breakMin?: number }
export const minuteOf = (time: string): number => Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5));

export type Person = { id: string; name: string; skills: string[]; pairOnly: boolean; homeLat: number | null; homeLon: number | null; shifts: unknown; maxOvertimeMin: number; startsAt: string; endsAt: string; equipment: string[]; activeFrom: Date | null; activeTo: Date | null; licences: { kind: string; validFrom: Date | null; validTo: Date | null }[]; absences: { fromDay: Date; toDay: Date }[] };
export interface PromiseRow { day: Date | null; fromMin: number | null; toMin: number | null; technicianId: string | null; priceMin: number | null; words: string }

export function lapsesWithin(row: PlannableVisit, days: readonly string[]): boolean {
  return row.overdue || (row.mandated_lapse !== null && row.mandated_lapse <= days[6]!) || (row.must_by !== null && row.must_by <= days[6]!);
}

export function technicianOf(person: Person, days: string[], workable: string[]): WeekTechnician {
  const absent = days.filter((day) => person.absences.some((one) => dayText(one.fromDay) <= day && day <= dayText(one.toDay)));
  const works = (day: string) => !absent.includes(day) && (person.activeFrom === null || dayText(person.activeFrom) <= day) && (person.activeTo === null || day <= dayText(person.activeTo));
  const shifts = workable.filter(works).flatMap((day) => (person.shifts as WeeklyShift[]).filter((shift) => shift.weekday === weekdayOf(localDate(day))).slice(0, 1).map((shift) => ({ day, startMin: minuteOf(shift.from), endMin: minuteOf(shift.to) })));
  return { id: person.id, name: person.name, skills: person.skills, pairOnly: person.pairOnly, homeLat: person.homeLat, homeLon: person.homeLon, shifts, absent, licences: person.licences.map((one) => ({ kind: one.kind, validTo: dayTextOrNull(one.validTo) })) };
}

export function engineTechnician(one: WeekTechnician, places: Places, person: Person, needs: Needs, rules: PlanningRules): Technician {
  const breakOfDay = (day: string) => (person.shifts as WeeklyShift[]).find((shift) => shift.weekday === weekdayOf(localDate(day)))?.breakMin ?? 0;
  const depot = rules.depot === null ? null : places.at(rules.depot.lat, rules.depot.lon);
  const ends = depot === null ? {} : { ...(person.startsAt === 'depot' ? { startPlace: depot } : {}), ...(person.endsAt === 'depot' ? { endPlace: depot } : {}) };
  const carries = carriedBy(one.id, person.equipment, needs);
  const stock = needs.stock.get(one.id);
  return {
    id: one.id, name: one.name, skills: one.skills, home: places.at(one.homeLat!, one.homeLon!), pairOnly: one.pairOnly, ...(carries.length > 0 ? { carries } : {}), ...(stock ? { stock } : {}),
    // a licence whose last day cannot be told is not counted as valid
    licences: person.licences.filter((licence) => licence.validTo !== null).map((licence) => ({ kind: licence.kind, from: dayTextOrNull(licence.validFrom) ?? '0001-01-01', to: dayText(licence.validTo!) })),
    shifts: one.shifts.map((shift) => ({ ...shift, maxOvertimeMin: person.maxOvertimeMin, breakMin: breakOfDay(shift.day), ...ends })),
  };
}

export interface WeekOf { readonly days: readonly string[]; readonly workable: readonly string[]; readonly today: string; readonly notBefore: { day: string; minute: number } | null; readonly places: Places; readonly needs: Needs; readonly rules: PlanningRules }

export function visitOf(week: WeekOf, row: PlannableVisit, calendar: AccessCalendar | undefined, promises: readonly PromiseRow[], pin: { technicianId: string; day: Date } | undefined): { visit: Visit; told: string[] } {
  const { days, workable, places } = week;
  const hard = promises.filter((promise) => promise.priceMin === null);
  const dated = hard.filter((promise) => promise.day !== null && days.includes(dayText(promise.day)));
  const person = hard.find((promise) => promise.technicianId !== null)?.technicianId;
  const { windows: open, sounding } = hoursOf(week, row, calendar);
  const kept = (window: VisitWindow): VisitWindow[] => (dated.length === 0 ? [window]
    : dated.filter((promise) => dayText(promise.day!) === window.day).map((promise) => ({ ...window, startMin: Math.max(window.startMin, promise.fromMin ?? 0), endMin: Math.min(window.endMin, promise.toMin ?? 1440) })));
  const ahead = ({ day, startMin, ...rest }: VisitWindow): VisitWindow => ({ day, startMin: day === week.notBefore?.day ? Math.max(startMin, week.notBefore.minute) : startMin, ...rest });
  const windows = open.flatMap(kept).map(ahead).filter((window) => window.startMin <= window.endMin);
  const pinned = pin ? { technicianId: pin.technicianId, day: dayText(pin.day) } : person ? { technicianId: person } : undefined;
  const need = needOfVisit(row, week.needs, places, week.rules, workable, week.today);
  const priced = promises.filter((promise) => promise.priceMin !== null).map((promise): ClientPromise => ({
    priceMin: promise.priceMin!, words: promise.words, ...(promise.day === null ? {} : { day: dayText(promise.day) }), ...(promise.fromMin === null ? {} : { fromMin: promise.fromMin }), ...(promise.toMin === null ? {} : { toMin: promise.toMin }), ...(promise.technicianId === null ? {} : { technicianId: promise.technicianId }) }));
  const visit: Visit = {
    id: row.visit_id, siteId: row.site_id, place: places.at(row.lat!, row.lon!), serviceMin: row.service_min, windows, skills: skillsOf(row), licences: row.licences, persons: row.persons === 2 ? 2 : 1,
    ...worthOf(row, workable), ...(lapsesWithin(row, days) ? { lapseDay: lapseDayOf(row, days), lapsePenalty: row.life_safety || row.kind === 'urgent' ? 3 : 1 } : {}),
    ...(pinned ? { pinned } : {}), ...(priced.length > 0 ? { promises: priced } : {}), ...need.asks,
  };
  return { visit: sounding === null ? visit : { ...visit, sounding: { ...sounding, maySplit: maySplit({ ...visit, sounding }, workable) } }, told: need.told };
}

/** In two only where on no day of the week it can be made whole, and each part has a day: two trips for what one can do are never planned. */
function maySplit(visit: Visit, days: readonly string[]): boolean {
  if (visit.persons === 2 || visit.sounding!.minutes === 0 || visit.sounding!.minutes >= visit.serviceMin - 5) return false;
  const choices = daysFor(visit, days);
  return choices.whole.length === 0 && choices.silent.length > 0 && choices.sounding.length > 0;
}

/**
 * Hours of the site, and for what is heard the noise hours of its own, which count for the last minutes of the visit only. Noise hours
 * of a day on which nobody gives access otherwise stand for access too: they would mean nothing else (company rule).
 */
function hoursOf({ days, workable }: WeekOf, row: PlannableVisit, calendar: AccessCalendar | undefined): { windows: VisitWindow[]; sounding: SoundingPart | null } {
  const usable = (loud: boolean) => (calendar === undefined ? [...workable] : usableDates(localDate(days[0]!), localDate(days[6]!), calendar, loud).filter((day) => workable.includes(day)));
  const access = row.access_hours as WeeklyHours[];
  const noise = row.noise_hours as WeeklyHours[] | null;
  const open = usable(false);
  const loud = row.sounds && row.sound_min > 0 ? loudDays(workable, usable(true), calendar, access, noise) : open;
  const restricted = row.sounds && row.sound_min > 0 && (noise !== null || loud.length < open.length);
  if (!restricted) return { windows: open.flatMap((day) => windowsOf(access, day)), sounding: null };
  const heard = loud.flatMap((day) => windowsOf(noise ?? access, day)).map((one) => ({ ...one, endMin: one.closeMin! - row.sound_min })).filter((one) => one.startMin <= one.endMin);
  const outside = heard.filter((one) => !access.some((hours) => hours.weekday === weekdayOf(localDate(one.day)) && minuteOf(hours.from) < one.closeMin! && minuteOf(hours.to) > one.startMin)).map((one) => ({ ...one, endMin: one.closeMin! - 1 }));
  return { windows: [...open.flatMap((day) => windowsOf(access, day)), ...outside], sounding: { minutes: row.sound_min, windows: heard, setUpMin: SET_UP_MIN, maySplit: false } };
}

/** Days that may be loud; those whose noise hours lie outside the access hours too, where nothing else closes or silences the day. */
function loudDays(workable: readonly string[], usable: readonly string[], calendar: AccessCalendar | undefined, access: readonly WeeklyHours[], noise: readonly WeeklyHours[] | null): string[] {
  if (noise === null || calendar === undefined) return [...usable];
  const weekdays = [...new Set(noise.map((one) => one.weekday))];
  const bare = { ...calendar, openWeekdays: [...new Set([...access.map((one) => one.weekday), ...weekdays])], quietWeekdays: [] };
  return usableDates(localDate(workable[0]!), localDate(workable.at(-1)!), bare, true).filter((day) => workable.includes(day) && weekdays.includes(weekdayOf(localDate(day))));
}

/** Starts may come as late as closing leaves room for; the engine asks closing of the full minutes of the visit, or of each part. */
const windowsOf = (hours: readonly WeeklyHours[], day: string): VisitWindow[] =>
  hours.filter((one) => one.weekday === weekdayOf(localDate(day))).map((one) => ({ day, startMin: minuteOf(one.from), endMin: minuteOf(one.to) - 1, closeMin: minuteOf(one.to) }));

export const skillsOf = (row: PlannableVisit): string[] => [...new Set([...row.skills, ...row.own_skills])];

/** The nearest day of this week after which something lapses; what has lapsed already is wanted within the week. */
function lapseDayOf(row: PlannableVisit, days: readonly string[]): string {
  const within = [row.mandated_lapse, row.must_by].filter((day) => day !== null && day >= days[0]! && day <= days[6]!) as string[];
  return within.length === 0 ? days[6]! : within.sort()[0]!;
}

/** Visits at one spot share their set-up where nothing of their own forbids it: one arrival, one call to the station. */
export function sharingSetUp(visits: readonly Visit[]): Visit[] {
  const at = new Map<number, number>();
  for (const visit of visits) at.set(visit.place, (at.get(visit.place) ?? 0) + 1);
  return visits.map((visit) => (at.get(visit.place)! > 1 && visit.persons !== 2 && (visit.sounding === undefined || visit.sounding.maySplit)
    ? { ...visit, sharesSetUp: { address: `place ${visit.place}`, minutes: Math.min(SET_UP_MIN, visit.serviceMin) } } : visit));
}

export function weekVisit(row: PlannableVisit, promise: string | null, pinned: boolean, visit: Visit | undefined): WeekVisit {
  const windows = visit === undefined ? [] : visit.windows.map((one) => ({ day: one.day, startMin: one.startMin, endMin: one.closeMin ?? one.endMin + visit.serviceMin })).filter((one) => one.endMin - one.startMin >= Math.min(visit.serviceMin, visit.sounding?.minutes ?? visit.serviceMin));
  return {
    id: row.visit_id, siteId: row.site_id, siteName: row.site_name, locality: row.locality, title: row.title, kind: row.kind, state: row.state, serviceMin: row.service_min, persons: row.persons,
    skills: skillsOf(row), licences: row.licences, lapsesOn: [row.mandated_lapse, row.must_by].filter((day) => day !== null).sort()[0] ?? null, dueOn: row.earliest_due ?? row.deficiency_due, overdue: row.overdue, duties: row.duties, deficiencies: row.deficiencies, score: row.score,
    lat: row.lat, lon: row.lon, promise, pinned, windows,
    needs: {
      minutesFrom: row.minutes_from, soundMin: row.sounds ? row.sound_min : 0, split: visit?.sounding?.maySplit ?? false, noiseWindows: (visit?.sounding?.windows ?? []).map((one) => ({ day: one.day, startMin: one.startMin, endMin: one.closeMin! })),
      noticeDays: row.notice_days, noticeGivenOn: row.notice_given_on, equipment: [...(visit?.equipment ?? row.equipment)], parts: Object.entries(visit?.uses ?? {}).map(([part, n]) => ({ part, n })),
      permits: (visit?.permits ?? []).map((one) => ({ name: one.name, from: one.from, to: one.to })), key: visit?.key !== undefined, ownEquipment: row.own_equipment, ownSoundMin: row.own_sound_min,
    },
  };
}

const PART_OF: Record<string, string> = { '': '', silent: '#silent', sounding: '#sounding', collect: '#collect', return: '#return' };
/** The engine's id of a stored stop. */
export const stopIdOf = (stop: { visitId: string; part: string }): string => stop.visitId + (PART_OF[stop.part] ?? stop.part.split('-').map((one) => `#${one}`).join(''));
/** What of a visit a stop of the engine is, as stored. */
export const partOf = (stopId: string): string => stopId.split('#').slice(1).join('-');

export function roundsOfStops(stops: readonly { technicianId: string; secondTechnicianId: string | null; day: Date; visitId: string; part: string; startMin: number }[], days: readonly string[], known: ReadonlySet<string>): PublishedRound[] {
  const rounds = new Map<string, { technicianId: string; day: string; stops: { visitId: string; startMin: number; second?: string; joins?: string }[] }>();
  const add = (technicianId: string, day: string, stop: { visitId: string; startMin: number; second?: string; joins?: string }) => {
    const key = `${technicianId} ${day}`;
    const round = rounds.get(key) ?? { technicianId, day, stops: [] };
    round.stops.push(stop);
    rounds.set(key, round);
  };
  for (const stop of stops) {
    const day = dayText(stop.day);
    if (!days.includes(day) || !known.has(stop.visitId)) continue;
    const visitId = stopIdOf(stop);
    add(stop.technicianId, day, { visitId, startMin: stop.startMin, ...(stop.secondTechnicianId ? { second: stop.secondTechnicianId } : {}) });
    if (stop.secondTechnicianId) add(stop.secondTechnicianId, day, { visitId, startMin: stop.startMin, joins: stop.technicianId });
  }
  return [...rounds.values()].map((round) => ({ ...round, stops: round.stops.sort((a, b) => a.startMin - b.startMin) }));
}
