import { Refusal, type DoneVisit, type WeekTechnician, type WeekVisit } from '@bellround/contracts';
import { begunVisits, blackoutFacts, companyDays, plannableVisits, siteDays, type BegunVisit, type PlannableVisit } from '@bellround/database';
import type { Visit } from '@bellround/planning';
import { addDays, localDate, weekdayOf, type AccessCalendar } from '@bellround/recurrence';
import { visitCalendar } from './access-days.js';
import type { Ctx } from './perform.js';
import { dayText, dbDay, localDayOf, own } from './steps.js';
import { needsOf, planningRules, type PlanningRules } from './week-needs.js';
import { weekTravel } from './road-travel.js';
import { Places, type Anchor, type WeekParts } from './week-parts.js';
import { engineTechnician, lapsesWithin, minuteOf, roundsOfStops, sharingSetUp, technicianOf, visitOf, weekVisit, type Person } from './week-visits.js';

export { minuteOf, SET_UP_MIN, type WeeklyShift } from './week-visits.js';

// A week as the planning engine takes it, loaded from what the company has on record. Used by the acts of planning.

/** A plan may be looked at, moved in and published for this long on the clock it was computed at; then it must be computed anew. */
const PLAN_HOLDS_MS = 60 * 60_000;

/** The week with what screens say about each part: plain data, so that a thread can be given it. `problemOf` makes the engine's problem of it. */
export interface LoadedWeek {
  readonly weekStart: string; readonly days: string[]; readonly today: string;
  readonly parts: WeekParts; readonly technicians: WeekTechnician[]; readonly visits: WeekVisit[]; readonly done: DoneVisit[];
  readonly dayTravel: { day: string; percent: number; reason: string }[];
  /** visits that no engine can place, with the reason in words */
  readonly unplannable: { visitId: string; rule: string; words: string; lapses: boolean }[];
  /** what the plan cannot count and a dispatcher must know, in words */
  readonly told: readonly string[];
  readonly rules: PlanningRules;
  /** minute of today, before which nothing can start any more */
  readonly nowMin: number;
}

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
 * left of today is counted from the moment it was made (for an hour), so that it does not break while a dispatcher reads it, and
 * travel counts as it did then.
 */
export async function loadWeek(ctx: Ctx, weekStart: string, plan?: { createdAt: Date; travel: unknown }): Promise<LoadedWeek> {
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
  const ofWeek = { weekStart: dbDay(weekStart), state: { in: ['published', 'draft'] } };
  const newest = (await ctx.tx.db.weekPlan.findFirst({ where: { ...own(ctx), ...ofWeek, stops: { some: {} } }, select: { id: true }, orderBy: { createdAt: 'desc' } }))?.id;
  // Of its plan a stop brings its state alone: a plan holds whole rounds and reasons, and a week has a thousand stops.
  const latest = await ctx.tx.db.planStop.findMany({ where: { ...own(ctx), plan: ofWeek, OR: [{ pinned: true }, { plan: { state: 'published' } }] }, include: { plan: { select: { state: true } } }, orderBy: { plan: { createdAt: 'desc' } } });
  const travels = await ctx.tx.db.dayTravel.findMany({ where: { ...own(ctx), day: { gte: dbDay(weekStart), lte: dbDay(days[6]!) } } });
  const begun = await begunVisits(ctx.tx, weekStart, days[6]!);
  const withdrawn = new Set(promises.map((promise) => promise.withdrawsId).filter((id) => id !== null));
  // a row that withdraws another and names a day or a person takes its place; one that names neither only withdraws
  const standing = promises.filter((promise) => !withdrawn.has(promise.id) && (promise.withdrawsId === null || promise.day !== null || promise.technicianId !== null));
  const promisesOf = (row: PlannableVisit) => standing.filter((one) => one.siteId === row.site_id && (one.visitId === null || one.visitId === row.visit_id));
  const pins = new Map<string, (typeof latest)[number]>();
  for (const stop of latest) if (stop.pinned && stop.part === '' && (stop.planId === newest || stop.plan.state === 'published') && !pins.has(stop.visitId)) pins.set(stop.visitId, stop);
  const workable = days.filter((day) => day >= today || today > days[6]!);
  const clock = plan && plan.createdAt.getTime() > ctx.now.getTime() - PLAN_HOLDS_MS && plan.createdAt < ctx.now ? plan.createdAt : ctx.now;
  const notBefore = localDayOf(clock, company.timeZone) === today ? { day: today, minute: localMinuteOf(clock, company.timeZone) } : null;
  const rules = planningRules(company.settings);
  const needs = await needsOf(ctx, rows);
  const technicians = people.map((person) => technicianOf(person, days, workable));
  const elsewhen = new Map(rows.flatMap((row) => { const day = agreedOutside(promisesOf(row).filter((one) => one.priceMin === null), days, today); return day === null ? [] : [[row.visit_id, day] as const]; }));
  const placed = rows.filter((row) => row.lat !== null && row.lon !== null && !elsewhen.has(row.visit_id));
  const places = new Places();
  const of = { days, workable, today, notBefore, places, needs, rules };
  const shaped = placed.map((row) => visitOf(of, row, calendars.get(row.site_id), promisesOf(row), pins.get(row.visit_id)));
  const visits = sharingSetUp(shaped.map((one) => one.visit));
  const visitById = new Map(visits.map((visit) => [visit.id, visit]));
  const anchors = anchorsOf(begun, today, ctx.now);
  const published = latest.filter((stop) => stop.plan.state === 'published');
  const parts = partsOf({ workable, technicians, people, visits, anchors, travels, published, places, needs, rules });
  return {
    weekStart, days, today, rules, technicians, done: begun.map((one) => doneVisit(one, ctx.now)),
    dayTravel: travels.map((one) => ({ day: dayText(one.day), percent: one.percent, reason: one.reason })),
    visits: rows.map((row) => weekVisit(row, promisesOf(row).at(-1)?.words ?? null, pins.has(row.visit_id), visitById.get(row.visit_id))),
    nowMin: localMinuteOf(ctx.now, company.timeZone), told: shaped.flatMap((one) => one.told),
    parts: { ...parts, travel: await weekTravel(ctx, parts.points, plan?.travel ?? null) },
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
  workable: string[]; technicians: WeekTechnician[]; people: Person[]; visits: Visit[]; anchors: Anchor[]; places: Places; needs: Awaited<ReturnType<typeof needsOf>>; rules: ReturnType<typeof planningRules>;
  travels: { day: Date; percent: number }[]; published: Parameters<typeof roundsOfStops>[0];
}

function partsOf({ workable, technicians, people, visits, anchors, places, needs, rules, travels, published }: Loaded): Omit<WeekParts, 'travel'> {
  const homes = technicians.filter((one) => one.homeLat !== null && one.homeLon !== null);
  const engine = homes.map((one) => engineTechnician(one, places, people.find((person) => person.id === one.id)!, needs, rules));
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
