import { Refusal, type PlanHead, type WeekTechnician, type WeekVisit } from '@bellround/contracts';
import { plannableVisits, type PlannableVisit } from '@bellround/database';
import { greatCircleTravel, type CostTerm, type PublishedRound, type Round, type Technician, type Visit, type VisitWindow, type WeekPlan, type WeekProblem } from '@bellround/planning';
import { addDays, localDate, weekdayOf } from '@bellround/recurrence';
import type { Ctx } from '../perform.js';
import { dayText, dayTextOrNull, dbDay, localDayOf, own } from '../steps.js';

/** Minutes of a visit before the first check and after the last: arrive, talk, on test, off test, paper (25-35 min, common practice). */
export const SET_UP_MIN = 25;
/** How far ahead of its due day a duty is worth a trip of its own. */
export const WORTH_AHEAD_DAYS = 21;

interface Hours { weekday: number; from: string; to: string; breakMin?: number }

/** The week as the engine takes it, with what screens say about each part. */
export interface LoadedWeek {
  readonly weekStart: string; readonly days: string[]; readonly today: string;
  readonly problem: WeekProblem; readonly technicians: WeekTechnician[]; readonly visits: WeekVisit[];
  /** visits that no engine can place, with the reason in words */
  readonly unplannable: { visitId: string; rule: string; words: string; lapses: boolean }[];
}

export const minuteOf = (time: string): number => Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5));

export function requireMonday(weekStart: string): void {
  if (weekdayOf(localDate(weekStart)) !== 1) {
    throw new Refusal('BadInput', `${weekStart} is no Monday; a week begins on Monday.`, { errors: [{ path: 'weekStart', message: 'must be a Monday' }] });
  }
}

export function weekDays(weekStart: string): string[] {
  return Array.from({ length: 7 }, (_, index) => addDays(localDate(weekStart), index));
}

/** Loads everything a plan of the week depends on, in a fixed number of statements. `basePlanId` gives the pins and what is published. */
export async function loadWeek(ctx: Ctx, weekStart: string): Promise<LoadedWeek> {
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const today = localDayOf(ctx.now, company.timeZone);
  const days = weekDays(weekStart);
  const firstDay = today > weekStart ? (today < days[6]! ? today : days[6]!) : weekStart;
  const rows = await plannableVisits(ctx.tx, firstDay);
  const siteIds = [...new Set(rows.map((row) => row.site_id))];
  // one after the other: a transaction is one connection
  const people = await ctx.tx.db.technician.findMany({ where: own(ctx), include: { licences: true, absences: true }, orderBy: { name: 'asc' } });
  const blackouts = await ctx.tx.db.siteBlackout.findMany({ where: { ...own(ctx), siteId: { in: siteIds }, fromDay: { lte: dbDay(days[6]!) }, OR: [{ toDay: null }, { toDay: { gte: dbDay(weekStart) } }] } });
  const promises = await ctx.tx.db.promise.findMany({ where: { ...own(ctx), siteId: { in: siteIds } }, orderBy: { at: 'asc' } });
  const latest = await ctx.tx.db.planStop.findMany({ where: { ...own(ctx), plan: { weekStart: dbDay(weekStart), state: { in: ['published', 'draft'] } } }, include: { plan: true }, orderBy: { plan: { createdAt: 'desc' } } });
  const withdrawn = new Set(promises.map((promise) => promise.withdrawsId).filter((id) => id !== null));
  const standing = promises.filter((promise) => !withdrawn.has(promise.id) && promise.withdrawsId === null);
  const pins = new Map<string, (typeof latest)[number]>();
  const newest = latest[0]?.planId;
  for (const stop of latest) if (stop.pinned && (stop.planId === newest || stop.plan.state === 'published') && !pins.has(stop.visitId)) pins.set(stop.visitId, stop);
  const workable = days.filter((day) => day >= today || today > days[6]!);
  const technicians = people.map((person) => technicianOf(person, days, workable));
  const placed = rows.filter((row) => row.lat !== null && row.lon !== null);
  const homes = technicians.filter((one) => one.homeLat !== null && one.homeLon !== null);
  const places = [...homes.map((one) => ({ lat: one.homeLat!, lon: one.homeLon! })), ...placed.map((row) => ({ lat: row.lat!, lon: row.lon! }))];
  const visits = placed.map((row, index): Visit => visitOf(row, homes.length + index, workable, days, blackouts.filter((one) => one.siteId === row.site_id), standing.filter((one) => one.siteId === row.site_id && (one.visitId === null || one.visitId === row.visit_id)), pins.get(row.visit_id)));
  const published = latest.filter((stop) => stop.plan.state === 'published');
  return {
    weekStart, days, today, technicians,
    visits: rows.map((row) => weekVisit(row, standing.find((one) => one.visitId === row.visit_id || (one.visitId === null && one.siteId === row.site_id))?.words ?? null, pins.has(row.visit_id))),
    problem: {
      days: workable, travel: greatCircleTravel(places), visits,
      technicians: homes.map((one, index) => engineTechnician(one, index, people.find((person) => person.id === one.id)!)),
      ...(published.length > 0 ? { published: { rounds: roundsOfStops(published, workable, new Set(visits.map((visit) => visit.id))) } } : {}),
    },
    unplannable: [
      ...rows.filter((row) => row.lat === null).map((row) => ({ visitId: row.visit_id, rule: 'no-window', words: `${row.site_name} has no coordinates: enter them on its page, then plan again`, lapses: lapsesWithin(row, days) })),
    ],
  };
}

function lapsesWithin(row: PlannableVisit, days: string[]): boolean {
  return row.overdue || (row.mandated_lapse !== null && row.mandated_lapse <= days[6]!);
}

type Person = { id: string; name: string; skills: string[]; pairOnly: boolean; homeLat: number | null; homeLon: number | null; shifts: unknown; maxOvertimeMin: number; activeFrom: Date | null; activeTo: Date | null; licences: { kind: string; validFrom: Date | null; validTo: Date | null }[]; absences: { fromDay: Date; toDay: Date }[] };

function technicianOf(person: Person, days: string[], workable: string[]): WeekTechnician {
  const absent = days.filter((day) => person.absences.some((one) => dayText(one.fromDay) <= day && day <= dayText(one.toDay)));
  const works = (day: string) => !absent.includes(day) && (person.activeFrom === null || dayText(person.activeFrom) <= day) && (person.activeTo === null || day <= dayText(person.activeTo));
  const shifts = workable.filter(works).flatMap((day) => (person.shifts as Hours[]).filter((shift) => shift.weekday === weekdayOf(localDate(day))).slice(0, 1).map((shift) => ({ day, startMin: minuteOf(shift.from), endMin: minuteOf(shift.to) })));
  return { id: person.id, name: person.name, skills: person.skills, pairOnly: person.pairOnly, homeLat: person.homeLat, homeLon: person.homeLon, shifts, absent, licences: person.licences.map((one) => ({ kind: one.kind, validTo: dayTextOrNull(one.validTo) })) };
}

function engineTechnician(one: WeekTechnician, place: number, person: Person): Technician {
  const breakOfDay = (day: string) => (person.shifts as Hours[]).find((shift) => shift.weekday === weekdayOf(localDate(day)))?.breakMin ?? 0;
  return {
    id: one.id, name: one.name, skills: one.skills, home: place, pairOnly: one.pairOnly,
    // a licence whose last day cannot be told is not counted as valid
    licences: person.licences.filter((licence) => licence.validTo !== null).map((licence) => ({ kind: licence.kind, from: dayTextOrNull(licence.validFrom) ?? '0001-01-01', to: dayText(licence.validTo!) })),
    shifts: one.shifts.map((shift) => ({ ...shift, maxOvertimeMin: person.maxOvertimeMin, breakMin: breakOfDay(shift.day) })),
  };
}

function visitOf(row: PlannableVisit, place: number, workable: string[], days: string[], blackouts: { kind: string; fromDay: Date; toDay: Date | null }[], promises: { day: Date | null; fromMin: number | null; toMin: number | null; technicianId: string | null }[], pin: { technicianId: string; day: Date; startMin: number } | undefined): Visit {
  const dated = promises.filter((promise) => promise.day !== null && days.includes(dayText(promise.day)));
  const person = promises.find((promise) => promise.technicianId !== null)?.technicianId;
  const windows = workable.flatMap((day) => windowsOn(row, day, blackouts)).flatMap((window) => dated.length === 0 ? [window]
    : dated.filter((promise) => dayText(promise.day!) === window.day).map((promise) => ({ ...window, startMin: Math.max(window.startMin, promise.fromMin ?? 0), endMin: Math.min(window.endMin, promise.toMin ?? 1440) })).filter((narrowed) => narrowed.startMin <= narrowed.endMin));
  const pinned = pin ? { technicianId: pin.technicianId, day: dayText(pin.day) } : person ? { technicianId: person } : undefined;
  return {
    id: row.visit_id, siteId: row.site_id, place, serviceMin: row.service_min, windows, skills: row.skills, licences: row.licences, persons: row.persons === 2 ? 2 : 1,
    prize: prizeOf(row, days[0]!), ...(lapsesWithin(row, days) ? { lapseDay: row.mandated_lapse !== null && row.mandated_lapse >= days[0]! && row.mandated_lapse <= days[6]! ? row.mandated_lapse : days[6]!, lapsePenalty: row.life_safety ? 3 : 1 } : {}),
    ...(pinned ? { pinned } : {}),
  };
}

/**
 * Exposure removed by going this week instead of later, in hours a year, never zero: a site that has not been scored yet is
 * unknown, not safe. Deficiencies add the pace of their severity (company rule).
 */
function prizeOf(row: PlannableVisit, weekStart: string): number {
  const broken = row.worst_severity === null ? 0 : [400, 120, 30, 5][row.worst_severity]! + (row.deficiency_due !== null && row.deficiency_due < weekStart ? 60 : 0);
  return Math.round(100 * (Math.max(1, row.exposure_per_year_h ?? 40) + broken)) / 100;
}

function windowsOn(row: PlannableVisit, day: string, blackouts: { kind: string; fromDay: Date; toDay: Date | null }[]): VisitWindow[] {
  const within = (one: { fromDay: Date; toDay: Date | null }) => dayText(one.fromDay) <= day && (one.toDay === null || day <= dayText(one.toDay));
  if (blackouts.some((one) => within(one) && (one.kind !== 'noise' || row.sounds))) return [];
  const ofDay = (hours: unknown) => (hours as Hours[]).filter((one) => one.weekday === weekdayOf(localDate(day))).map((one) => ({ from: minuteOf(one.from), to: minuteOf(one.to) }));
  const access = ofDay(row.access_hours);
  const open = row.sounds && row.noise_hours !== null ? access.flatMap((one) => ofDay(row.noise_hours).map((noise) => ({ from: Math.max(one.from, noise.from), to: Math.min(one.to, noise.to) }))) : access;
  return open.filter((one) => one.to - one.from >= row.service_min).map((one) => ({ day, startMin: one.from, endMin: one.to - row.service_min, closeMin: one.to }));
}

function weekVisit(row: PlannableVisit, promise: string | null, pinned: boolean): WeekVisit {
  return {
    id: row.visit_id, siteId: row.site_id, siteName: row.site_name, locality: row.locality, title: row.title, kind: row.kind, state: row.state, serviceMin: row.service_min, persons: row.persons,
    skills: row.skills, licences: row.licences, lapsesOn: row.mandated_lapse, dueOn: row.earliest_due ?? row.deficiency_due, overdue: row.overdue, duties: row.duties, deficiencies: row.deficiencies, score: row.score,
    lat: row.lat, lon: row.lon, promise, pinned,
  };
}

function roundsOfStops(stops: { technicianId: string; secondTechnicianId: string | null; day: Date; visitId: string; startMin: number }[], days: string[], known: Set<string>): PublishedRound[] {
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

type PlanRow = { id: string; weekStart: Date; state: string; revision: number; createdAt: Date; publishedAt: Date | null; cost: unknown; progress: unknown; _count?: { stops: number; unplaced: number } };

export function planHead(plan: PlanRow, counts = plan._count ?? { stops: 0, unplaced: 0 }): PlanHead {
  return {
    id: plan.id, weekStart: dayText(plan.weekStart), state: plan.state as PlanHead['state'], revision: plan.revision, createdAt: plan.createdAt.toISOString(), publishedAt: plan.publishedAt?.toISOString() ?? null,
    cost: plan.cost as CostTerm[], placed: counts.stops, unplaced: counts.unplaced, progress: (plan.progress as PlanHead['progress']) ?? null,
  };
}

/** The plan's row, locked for this transaction. A revision that is not the caller's is Stale: somebody saved in between. */
export async function lockPlan(ctx: Ctx, planId: string, revision?: number) {
  await ctx.tx.sql('select 1 from week_plan where company_id = current_company() and id = $1::uuid for update', [planId]);
  const plan = await ctx.tx.db.weekPlan.findUnique({ where: { companyId_id: { ...own(ctx), id: planId } } });
  if (!plan) throw new Refusal('NotFound', 'There is no plan by that id.');
  if (revision !== undefined && plan.revision !== revision) {
    throw new Refusal('Stale', `Somebody changed this plan since you loaded it (you have revision ${revision}, it is at ${plan.revision}). Look at it again, then repeat your change.`, { data: { revision: plan.revision } });
  }
  return plan;
}

/** The stored rounds as the engine's plan, without visits that have meanwhile begun or gone. */
export function storedPlan(problem: WeekProblem, rounds: Round[], unplaced: { visitId: string; rule: string; words: string; lapses: boolean }[], cost: CostTerm[]): WeekPlan {
  const known = new Set(problem.visits.map((visit) => visit.id));
  return {
    rounds: rounds.filter((round) => problem.days.includes(round.day)).map((round) => ({ ...round, stops: round.stops.filter((stop) => known.has(stop.visitId)) })).filter((round) => round.stops.length > 0),
    unplaced: unplaced.filter((one) => known.has(one.visitId)).map((one) => ({ visitId: one.visitId, reason: { rule: one.rule as never, words: one.words }, lapses: one.lapses })), cost,
  };
}

/** Replaces a plan's stops and reasons by the given ones and bumps its revision; set-based. Pins of visits that stay are kept. */
export async function writePlan(ctx: Ctx, planId: string, plan: WeekPlan, unplannable: LoadedWeek['unplannable'], state: string): Promise<PlanHead> {
  const pinned = new Set((await ctx.tx.db.planStop.findMany({ where: { ...own(ctx), planId, pinned: true }, select: { visitId: true } })).map((stop) => stop.visitId));
  await ctx.tx.db.planStop.deleteMany({ where: { ...own(ctx), planId } });
  await ctx.tx.db.planUnplaced.deleteMany({ where: { ...own(ctx), planId } });
  const stops = plan.rounds.flatMap((round) => round.stops.filter((stop) => stop.joins === undefined).map((stop) => ({
    ...own(ctx), planId, visitId: stop.visitId, technicianId: round.technicianId, secondTechnicianId: stop.second ?? null, day: dbDay(round.day),
    arriveMin: stop.arriveMin, startMin: stop.startMin, endMin: stop.endMin, travelMin: stop.travelMin, pinned: pinned.has(stop.visitId) })));
  const unplaced = [...plan.unplaced.map((one) => ({ visitId: one.visitId, rule: one.reason.rule as string, words: one.reason.words, lapses: one.lapses })), ...unplannable];
  await ctx.tx.db.planStop.createMany({ data: stops });
  await ctx.tx.db.planUnplaced.createMany({ data: unplaced.map((one) => ({ ...own(ctx), planId, ...one })) });
  const saved = await ctx.tx.db.weekPlan.update({ where: { companyId_id: { ...own(ctx), id: planId } }, data: { state, rounds: plan.rounds as object, cost: plan.cost as object, revision: { increment: 1 } } });
  return planHead(saved, { stops: stops.length, unplaced: unplaced.length });
}
