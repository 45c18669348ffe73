import { Refusal, type DoneVisit, type WeekTechnician, type WeekVisit } from '@bellround/contracts';
import { begunVisits, blackoutFacts, companyDays, plannableVisits, siteDays, type BegunVisit, type PlannableVisit } from '@bellround/database';
import type { PublishedRound, Technician, Visit, VisitWindow } from '@bellround/planning';
import { addDays, localDate, usableDates, weekdayOf, type AccessCalendar } from '@bellround/recurrence';
import { visitCalendar } from './access-days.js';
import type { Ctx } from './perform.js';
import { dayText, dayTextOrNull, dbDay, localDayOf, own } from './steps.js';
import { worthOf } from './visit-worth.js';
import { Places, type Anchor, type WeekParts } from './week-parts.js';

// A week as the planning engine takes it, loaded from what the company has on record. Used by the acts of planning.

/** A plan may be looked at, moved in and published for this long on the clock it was computed at; then it must be computed anew. */
const PLAN_HOLDS_MS = 60 * 60_000;
export interface WeeklyShift { weekday: number; from: string; to: string; breakMin?: number }

/** The week with what screens say about each part: plain data, so that a thread can be given it. `problemOf` makes the engine's problem of it. */
export interface LoadedWeek {
  readonly weekStart: string; readonly days: string[]; readonly today: string;
  readonly parts: WeekParts; readonly technicians: WeekTechnician[]; readonly visits: WeekVisit[]; readonly done: DoneVisit[];
  readonly dayTravel: { day: string; percent: number; reason: string }[];
  /** visits that no engine can place, with the reason in words */
  readonly unplannable: { visitId: string; rule: string; words: string; lapses: boolean }[];
  /** minute of today, before which nothing can start any more */
  readonly nowMin: number;
}

export const minuteOf = (time: string): number => Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5));

export function clockText(minute: number): string {
  return `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
}

/** Minutes after local midnight of an instant. */
export function localMinuteOf(instant: Date, timeZone: string): number {
  const parts = new Intl.DateTimeFormat('en-GB', { timeZone, hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }).format(instant);
  return minuteOf(parts);
}

export function requireMonday(weekStart: string): void {
  if (weekdayOf(localDate(weekStart)) !== 1) {
    throw new Refusal('BadInput', `${weekStart} is no Monday; a week begins on Monday.`, { errors: [{ path: 'weekStart', message: 'must be a Monday' }] });
  }
}

export function weekDays(weekStart: string): string[] {
  return Array.from({ length: 7 }, (_, index) => addDays(localDate(weekStart), index));
}

/**
 * Loads everything a plan of the week depends on, in a fixed number of statements. `plan`: the plan that is looked at; what is
 * left of today is counted from the moment it was made (for an hour), so that it does not break while a dispatcher reads it.
 */
export async function loadWeek(ctx: Ctx, weekStart: string, plan?: { createdAt: Date }): Promise<LoadedWeek> {
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const today = localDayOf(ctx.now, company.timeZone);
  const days = weekDays(weekStart);
  const firstDay = today > weekStart ? (today < days[6]! ? today : days[6]!) : weekStart;
  const rows = await plannableVisits(ctx.tx, firstDay);
  const siteIds = [...new Set(rows.map((row) => row.site_id))];
  // one after the other: a transaction is one connection
  const people = await ctx.tx.db.technician.findMany({ where: own(ctx), include: { licences: true, absences: true }, orderBy: { name: 'asc' } });
  const calendars = await calendarsOf(ctx, siteIds);
  const promises = await ctx.tx.db.promise.findMany({ where: { ...own(ctx), siteId: { in: siteIds } }, orderBy: { at: 'asc' } });
  const latest = await ctx.tx.db.planStop.findMany({ where: { ...own(ctx), plan: { weekStart: dbDay(weekStart), state: { in: ['published', 'draft'] } } }, include: { plan: true }, orderBy: { plan: { createdAt: 'desc' } } });
  const travels = await ctx.tx.db.dayTravel.findMany({ where: { ...own(ctx), day: { gte: dbDay(weekStart), lte: dbDay(days[6]!) } } });
  const begun = await begunVisits(ctx.tx, weekStart, days[6]!);
  const withdrawn = new Set(promises.map((promise) => promise.withdrawsId).filter((id) => id !== null));
  // a row that withdraws another and names a day or a person takes its place; one that names neither only withdraws
  const standing = promises.filter((promise) => !withdrawn.has(promise.id) && (promise.withdrawsId === null || promise.day !== null || promise.technicianId !== null));
  const promisesOf = (row: PlannableVisit) => standing.filter((one) => one.siteId === row.site_id && (one.visitId === null || one.visitId === row.visit_id));
  const pins = new Map<string, (typeof latest)[number]>();
  const newest = latest[0]?.planId;
  for (const stop of latest) if (stop.pinned && (stop.planId === newest || stop.plan.state === 'published') && !pins.has(stop.visitId)) pins.set(stop.visitId, stop);
  const workable = days.filter((day) => day >= today || today > days[6]!);
  const clock = plan && plan.createdAt.getTime() > ctx.now.getTime() - PLAN_HOLDS_MS && plan.createdAt < ctx.now ? plan.createdAt : ctx.now;
  const notBefore = localDayOf(clock, company.timeZone) === today ? { day: today, minute: localMinuteOf(clock, company.timeZone) } : null;
  const technicians = people.map((person) => technicianOf(person, days, workable));
  const elsewhen = new Map(rows.flatMap((row) => { const day = agreedOutside(promisesOf(row), days, today); return day === null ? [] : [[row.visit_id, day] as const]; }));
  const placed = rows.filter((row) => row.lat !== null && row.lon !== null && !elsewhen.has(row.visit_id));
  const places = new Places();
  const visits = placed.map((row): Visit => visitOf(row, places.at(row.lat!, row.lon!), workable, days, calendars.get(row.site_id), promisesOf(row), pins.get(row.visit_id), notBefore));
  const windowsOf = new Map(visits.map((visit) => [visit.id, visit.windows.map((one) => ({ day: one.day, startMin: one.startMin, endMin: one.closeMin ?? one.endMin + visit.serviceMin }))]));
  const anchors = anchorsOf(begun, today, ctx.now);
  const published = latest.filter((stop) => stop.plan.state === 'published');
  return {
    weekStart, days, today, technicians, done: begun.map((one) => doneVisit(one, ctx.now)),
    dayTravel: travels.map((one) => ({ day: dayText(one.day), percent: one.percent, reason: one.reason })),
    visits: rows.map((row) => weekVisit(row, promisesOf(row).at(-1)?.words ?? null, pins.has(row.visit_id), windowsOf.get(row.visit_id) ?? [])),
    nowMin: localMinuteOf(ctx.now, company.timeZone), parts: partsOf({ workable, technicians, people, visits, anchors, places, travels, published }),
    unplannable: [
      ...rows.filter((row) => row.lat === null || row.lon === null).map((row) => ({ visitId: row.visit_id, rule: 'no-window', words: `${row.site_name} has no coordinates: enter them on its page, then plan again`, lapses: lapsesWithin(row, days) })),
      ...rows.filter((row) => row.lat !== null && row.lon !== null && elsewhen.has(row.visit_id)).map((row) => ({ visitId: row.visit_id, rule: 'pinned', words: `agreed with the client for ${elsewhen.get(row.visit_id)}, outside this week`, lapses: false })),
    ],
  };
}

/** On which days each site can be entered and be loud: its own days, those of all sites like it, public holidays. */
async function calendarsOf(ctx: Ctx, siteIds: readonly string[]): Promise<Map<string, AccessCalendar>> {
  const company = await companyDays(ctx.tx);
  const blackouts = await blackoutFacts(ctx.tx, siteIds);
  const bySite = new Map<string, typeof blackouts>();
  for (const row of blackouts) bySite.set(row.siteId, [...(bySite.get(row.siteId) ?? []), row]);
  return new Map((await siteDays(ctx.tx, siteIds)).map((site) => [site.siteId, visitCalendar(site, bySite.get(site.siteId) ?? [], company)]));
}

/** The day that was agreed, when it lies ahead and in another week; null otherwise. */
function agreedOutside(promises: readonly { day: Date | null }[], days: string[], today: string): string | null {
  const ahead = promises.flatMap((one) => (one.day === null ? [] : [dayText(one.day)])).filter((day) => day >= today);
  return ahead.length > 0 && !ahead.some((day) => days.includes(day)) ? ahead[0]! : null;
}

interface Loaded {
  workable: string[]; technicians: WeekTechnician[]; people: Person[]; visits: Visit[]; anchors: Anchor[]; places: Places;
  travels: { day: Date; percent: number }[]; published: Parameters<typeof roundsOfStops>[0];
}

function partsOf({ workable, technicians, people, visits, anchors, places, travels, published }: Loaded): WeekParts {
  const homes = technicians.filter((one) => one.homeLat !== null && one.homeLon !== null);
  const engine = homes.map((one) => engineTechnician(one, places.at(one.homeLat!, one.homeLon!), people.find((person) => person.id === one.id)!));
  const anchored = anchors.filter((one) => engine.some((technician) => technician.id === one.technicianId && technician.shifts.some((shift) => shift.day === one.day)));
  const begun = anchored.map((one) => ({ ...one, place: places.at(one.lat, one.lon) }));
  const known = new Set([...visits.map((visit) => visit.id), ...begun.map((one) => one.visitId)]);
  return {
    days: workable, visits, technicians: engine, begun, points: places.points, factors: Object.fromEntries(travels.map((one) => [dayText(one.day), one.percent / 100])),
    published: published.length > 0 ? roundsOfStops(published, workable, known) : null,
  };
}

// ── what has begun today ────────────────────────────────────────────────────

function doneVisit(one: BegunVisit, now: Date): DoneVisit {
  const startMin = localMinuteOf(one.opened_at, one.time_zone);
  const lasted = Math.round(((one.closed_at ?? now).getTime() - one.opened_at.getTime()) / 60_000);
  const minutes = one.state === 'open' ? Math.max(one.service_min, lasted) : Math.max(1, lasted);
  return { visitId: one.visit_id, technicianId: one.technician_id, day: one.day, startMin, endMin: startMin + Math.min(minutes, 1440), state: one.state };
}

/** The last visit each technician began today: from there, and not before its end, the rest of the day goes on. */
function anchorsOf(begun: BegunVisit[], today: string, now: Date): Anchor[] {
  const last = new Map<string, Anchor>();
  for (const one of begun) {
    if (one.day !== today || one.lat === null || one.lon === null) continue;
    const { startMin, endMin } = doneVisit(one, now);
    last.set(one.technician_id, { visitId: one.visit_id, siteId: one.site_id, technicianId: one.technician_id, day: one.day, startMin, endMin, lat: one.lat, lon: one.lon });
  }
  return [...last.values()];
}

// ── technicians and visits ──────────────────────────────────────────────────

function lapsesWithin(row: PlannableVisit, days: string[]): boolean {
  return row.overdue || (row.mandated_lapse !== null && row.mandated_lapse <= days[6]!) || (row.must_by !== null && row.must_by <= days[6]!);
}

type Person = { id: string; name: string; skills: string[]; pairOnly: boolean; homeLat: number | null; homeLon: number | null; shifts: unknown; maxOvertimeMin: number; activeFrom: Date | null; activeTo: Date | null; licences: { kind: string; validFrom: Date | null; validTo: Date | null }[]; absences: { fromDay: Date; toDay: Date }[] };

function technicianOf(person: Person, days: string[], workable: string[]): WeekTechnician {
  const absent = days.filter((day) => person.absences.some((one) => dayText(one.fromDay) <= day && day <= dayText(one.toDay)));
  const works = (day: string) => !absent.includes(day) && (person.activeFrom === null || dayText(person.activeFrom) <= day) && (person.activeTo === null || day <= dayText(person.activeTo));
  const shifts = workable.filter(works).flatMap((day) => (person.shifts as WeeklyShift[]).filter((shift) => shift.weekday === weekdayOf(localDate(day))).slice(0, 1).map((shift) => ({ day, startMin: minuteOf(shift.from), endMin: minuteOf(shift.to) })));
  return { id: person.id, name: person.name, skills: person.skills, pairOnly: person.pairOnly, homeLat: person.homeLat, homeLon: person.homeLon, shifts, absent, licences: person.licences.map((one) => ({ kind: one.kind, validTo: dayTextOrNull(one.validTo) })) };
}

function engineTechnician(one: WeekTechnician, place: number, person: Person): Technician {
  const breakOfDay = (day: string) => (person.shifts as WeeklyShift[]).find((shift) => shift.weekday === weekdayOf(localDate(day)))?.breakMin ?? 0;
  return {
    id: one.id, name: one.name, skills: one.skills, home: place, pairOnly: one.pairOnly,
    // a licence whose last day cannot be told is not counted as valid
    licences: person.licences.filter((licence) => licence.validTo !== null).map((licence) => ({ kind: licence.kind, from: dayTextOrNull(licence.validFrom) ?? '0001-01-01', to: dayText(licence.validTo!) })),
    shifts: one.shifts.map((shift) => ({ ...shift, maxOvertimeMin: person.maxOvertimeMin, breakMin: breakOfDay(shift.day) })),
  };
}

function visitOf(row: PlannableVisit, place: number, workable: string[], days: string[], calendar: AccessCalendar | undefined, promises: { day: Date | null; fromMin: number | null; toMin: number | null; technicianId: string | null }[], pin: { technicianId: string; day: Date } | undefined, notBefore: { day: string; minute: number } | null): Visit {
  const dated = promises.filter((promise) => promise.day !== null && days.includes(dayText(promise.day)));
  const person = promises.find((promise) => promise.technicianId !== null)?.technicianId;
  const usable = calendar === undefined ? workable : usableDates(localDate(days[0]!), localDate(days[6]!), calendar, row.sounds);
  const open = usable.filter((day) => workable.includes(day)).flatMap((day) => windowsOn(row, day)).flatMap((window) => dated.length === 0 ? [window]
    : dated.filter((promise) => dayText(promise.day!) === window.day).map((promise) => ({ ...window, startMin: Math.max(window.startMin, promise.fromMin ?? 0), endMin: Math.min(window.endMin, promise.toMin ?? 1440) })).filter((narrowed) => narrowed.startMin <= narrowed.endMin));
  const windows = notBefore === null ? open : open.map((window) => (window.day === notBefore.day ? { ...window, startMin: Math.max(window.startMin, notBefore.minute) } : window)).filter((window) => window.startMin <= window.endMin);
  const pinned = pin ? { technicianId: pin.technicianId, day: dayText(pin.day) } : person ? { technicianId: person } : undefined;
  return {
    id: row.visit_id, siteId: row.site_id, place, serviceMin: row.service_min, windows, skills: skillsOf(row), licences: row.licences, persons: row.persons === 2 ? 2 : 1,
    ...worthOf(row, workable), ...(lapsesWithin(row, days) ? { lapseDay: lapseDayOf(row, days), lapsePenalty: row.life_safety || row.kind === 'urgent' ? 3 : 1 } : {}),
    ...(pinned ? { pinned } : {}),
  };
}

const skillsOf = (row: PlannableVisit): string[] => [...new Set([...row.skills, ...row.own_skills])];

/** The nearest day of this week after which something lapses; what has lapsed already is wanted within the week. */
function lapseDayOf(row: PlannableVisit, days: string[]): string {
  const within = [row.mandated_lapse, row.must_by].filter((day) => day !== null && day >= days[0]! && day <= days[6]!) as string[];
  return within.length === 0 ? days[6]! : within.sort()[0]!;
}

function windowsOn(row: PlannableVisit, day: string): VisitWindow[] {
  const ofDay = (hours: unknown) => (hours as WeeklyShift[]).filter((one) => one.weekday === weekdayOf(localDate(day))).map((one) => ({ from: minuteOf(one.from), to: minuteOf(one.to) }));
  const access = ofDay(row.access_hours);
  const open = row.sounds && row.noise_hours !== null ? access.flatMap((one) => ofDay(row.noise_hours).map((noise) => ({ from: Math.max(one.from, noise.from), to: Math.min(one.to, noise.to) }))) : access;
  return open.filter((one) => one.to - one.from >= row.service_min).map((one) => ({ day, startMin: one.from, endMin: one.to - row.service_min, closeMin: one.to }));
}

function weekVisit(row: PlannableVisit, promise: string | null, pinned: boolean, windows: WeekVisit['windows']): WeekVisit {
  return {
    id: row.visit_id, siteId: row.site_id, siteName: row.site_name, locality: row.locality, title: row.title, kind: row.kind, state: row.state, serviceMin: row.service_min, persons: row.persons,
    skills: skillsOf(row), licences: row.licences, lapsesOn: [row.mandated_lapse, row.must_by].filter((day) => day !== null).sort()[0] ?? null, dueOn: row.earliest_due ?? row.deficiency_due, overdue: row.overdue, duties: row.duties, deficiencies: row.deficiencies, score: row.score,
    lat: row.lat, lon: row.lon, promise, pinned, windows,
  };
}

function roundsOfStops(stops: readonly { technicianId: string; secondTechnicianId: string | null; day: Date; visitId: string; startMin: number }[], days: string[], known: Set<string>): PublishedRound[] {
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
    add(stop.technicianId, day, { visitId: stop.visitId, startMin: stop.startMin, ...(stop.secondTechnicianId ? { second: stop.secondTechnicianId } : {}) });
    if (stop.secondTechnicianId) add(stop.secondTechnicianId, day, { visitId: stop.visitId, startMin: stop.startMin, joins: stop.technicianId });
  }
  return [...rounds.values()].map((round) => ({ ...round, stops: round.stops.sort((a, b) => a.startMin - b.startMin) }));
}
