import { z } from 'zod';
import { Id, LocalDay } from './basics.js';
import { OCCUPANCIES } from './fleet-words.js';
import { route } from './route.js';

// ── do together ────────────────────────────────────────────────────────────

/** What limits a visit on one side: the rule, and all that stands in the way from there outwards. */
const Edge = z.object({ rule: z.string(), because: z.array(z.string()) });
const Part = z.object({ names: z.array(z.string()), days: z.array(LocalDay) });

/** Duties that share one window, as they are done together. */
export const TogetherWindowShown = z.object({
  name: z.string(), regime: z.string(), opens: LocalDay, due: LocalDay, lapses: LocalDay, sounds: z.boolean(),
  /** counts from the last proof, so that a day earlier is given away for good */
  rolling: z.boolean(),
  /** lapsed, or can't be told: wanted as soon as possible */
  overdue: z.boolean(),
  cadence: z.string(), minutes: z.int(),
  duties: z.array(z.object({ id: Id, title: z.string(), subject: z.string(), why: z.string() })),
});
export type TogetherWindowShown = z.infer<typeof TogetherWindowShown>;

export const TogetherVisitShown = z.object({
  names: z.array(z.string()), days: z.array(LocalDay), best: LocalDay, minutes: z.int(), notBefore: Edge, notAfter: Edge,
  givenAway: z.array(z.object({ name: z.string(), days: z.int(), cadence: z.string() })),
});
export type TogetherVisitShown = z.infer<typeof TogetherVisitShown>;

export const TogetherShown = z.object({
  siteId: Id, siteName: z.string(), asOf: LocalDay, until: LocalDay, caution: z.string(),
  /** a suspension that covers the day asked for: nothing is owed */
  suspended: z.string().nullable(),
  access: z.object({ hours: z.string(), noise: z.string().nullable(), holidays: z.string(), holidayRegion: z.string().nullable(), ownRegion: z.string().nullable() }),
  windows: z.array(TogetherWindowShown), visits: z.array(TogetherVisitShown),
  split: z.object({ silent: Part, sounding: Part }).nullable(),
  /** duties that no day suits all of: a pair, or three of which every two share a day */
  apart: z.object({ first: z.string(), second: z.string(), further: z.array(z.string()), why: z.string(), waysOut: z.array(z.string()) }).nullable(),
  cannotBeMet: z.array(z.object({ name: z.string(), why: z.string(), waysOut: z.array(z.string()) })),
  /** duties that need no visit of a technician now */
  leftOut: z.object({ remotely: z.int(), occupant: z.int(), later: z.int() }),
});
export type TogetherShown = z.infer<typeof TogetherShown>;

// ── years ahead, with neighbours ───────────────────────────────────────────

export const AheadAsked = z.strictObject({
  siteId: Id, asOf: LocalDay.optional(), years: z.coerce.number().int().min(1).max(5).default(2), withinKm: z.coerce.number().min(0).max(50).default(3), neighbours: z.coerce.number().int().min(0).max(12).default(5),
  /** minutes of travel for each day out */
  travelMinutes: z.coerce.number().int().min(0).max(480).default(40),
  /** minutes that one day given away on a rolling duty weighs */
  givenAwayMinutes: z.coerce.number().min(0).max(60).default(0.5),
});
export type AheadAsked = z.infer<typeof AheadAsked>;

export const AheadShown = z.object({
  asOf: LocalDay, until: LocalDay, setUpMinutes: z.int(),
  sites: z.array(z.object({ siteId: Id, name: z.string(), km: z.number(), duties: z.int() })),
  /** duties that are not looked at, in words; empty when all are */
  leftOut: z.array(z.string()),
  together: z.object({ days: z.int(), stops: z.int(), minutes: z.int(), daysGivenAway: z.int() }),
  /** the same duties, each site planned by itself */
  bySite: z.object({ days: z.int(), stops: z.int(), minutes: z.int(), daysGivenAway: z.int() }),
  visits: z.array(z.object({ on: LocalDay, sites: z.array(z.object({ siteId: Id, name: z.string(), duties: z.array(z.string()) })), givenAway: z.array(z.object({ name: z.string(), days: z.int() })) })),
  lapsed: z.array(z.object({ name: z.string(), on: LocalDay })),
});
export type AheadShown = z.infer<typeof AheadShown>;

// ── catching up ────────────────────────────────────────────────────────────

export const CatchUpAsked = z.strictObject({
  /** minutes on site that are given to catching up each week */
  weeklyMinutes: z.coerce.number().int().min(15).max(60_000).default(1200),
  /** first week; the next Monday when left out */
  firstWeek: LocalDay.optional(),
});
export type CatchUpAsked = z.infer<typeof CatchUpAsked>;

export const CatchUpVisitShown = z.object({
  siteId: Id, siteName: z.string(), clientName: z.string(), locality: z.string().nullable(), takenOverOn: LocalDay.nullable(), place: z.int(), minutes: z.int(), duties: z.int(), mandated: z.int(),
  /** null: never scored, so it comes first */
  score: z.number().nullable(), reasons: z.array(z.string()), lapses: LocalDay.nullable(), lapsesBefore: z.boolean(),
});
export type CatchUpVisitShown = z.infer<typeof CatchUpVisitShown>;

export const CatchUpShown = z.object({
  asOf: LocalDay, firstWeek: LocalDay, weeklyMinutes: z.int(), endsOn: LocalDay.nullable(), minutes: z.int(), sites: z.int(), lapseBefore: z.int(), atLeastMinutes: z.int().nullable(),
  /** open sites on which no programme is laid: they are in no plan until one is */
  withoutProgramme: z.int(),
  tooLong: z.array(z.object({ siteId: Id, siteName: z.string(), minutes: z.int() })),
  /** sites beyond the most that one plan holds */
  beyond: z.int(),
  weeks: z.array(z.object({ weekStart: LocalDay, minutes: z.int(), visits: z.array(CatchUpVisitShown) })),
});
export type CatchUpShown = z.infer<typeof CatchUpShown>;

// ── remote duties ──────────────────────────────────────────────────────────

/** Kinds of check that a station's history can meet without a visit: a path's signal, a system's mains, a system's log. */
export const REMOTE_KINDS = ['periodic-signal', 'mains-supply', 'event-log-review'] as const;

/** One subject as the station's history shows it, with the evidence in words; `checkId` null: nothing was recorded. */
const HistoryReadRow = z.object({ subjectId: Id, subject: z.string(), checkKind: z.string(), verdict: z.enum(['pass', 'marginal', 'fail', 'cant-tell']), words: z.string(), checkId: Id.nullable() });
export type HistoryReadRow = z.infer<typeof HistoryReadRow>;
export const HistoryRead = z.object({ siteId: Id, rows: z.array(HistoryReadRow) });
export type HistoryRead = z.infer<typeof HistoryRead>;

// ── days that close many sites ─────────────────────────────────────────────

const ClosedDaysRow = z.object({ id: Id, kind: z.enum(['closed', 'noise']), fromDay: LocalDay, toDay: LocalDay, reason: z.string(), authority: z.string(), occupancy: z.string().nullable(), sites: z.int() });
export const ClosedDaysShown = z.object({
  region: z.string().nullable(), regionWords: z.string(), source: z.string(),
  /** holidays of that region in the year to come */
  holidays: z.array(z.object({ day: LocalDay, reason: z.string() })),
  sitesOfOwnRegion: z.int(), rows: z.array(ClosedDaysRow),
});
export type ClosedDaysShown = z.infer<typeof ClosedDaysShown>;

export const AddClosedDays = z.strictObject({
  id: Id, kind: z.enum(['closed', 'noise']), fromDay: LocalDay, toDay: LocalDay, reason: z.string().trim().min(1).max(300), authority: z.string().trim().min(1, { error: 'say who decided it' }).max(120),
  occupancy: z.enum(OCCUPANCIES).nullable().default(null),
}).refine((one) => one.fromDay <= one.toDay, { error: 'must be on or after the first day', path: ['toDay'] });
export type AddClosedDays = z.infer<typeof AddClosedDays>;

/** ISO 3166 code of a country or one of its regions; 'none': no holidays close; null: as the company, or none known. */
const RegionCode = z.string().trim().max(8).nullable();

export const dutiesRoutes = {
  doTogether: route({ name: 'doTogether', method: 'GET', path: '/api/sites/:siteId/together', summary: 'The fewest visits that meet the open duties of a site, the rule that limits each, and why not fewer', may: 'read', input: z.strictObject({ siteId: Id, asOf: LocalDay.optional(), aheadDays: z.coerce.number().int().min(0).max(730).default(120) }), output: TogetherShown, problems: ['NotFound', 'BadInput'] }),
  yearsAhead: route({ name: 'yearsAhead', method: 'GET', path: '/api/sites/:siteId/years-ahead', summary: 'Visits over years in which the windows of neighbouring sites fall together, earlier only', may: 'read', input: AheadAsked, output: AheadShown, problems: ['NotFound', 'BadInput'] }),
  catchUp: route({ name: 'catchUp', method: 'GET', path: '/api/catch-up', summary: 'Sites of which nothing is known, by risk, under a weekly capacity, with the week it ends', may: 'read', input: CatchUpAsked, output: CatchUpShown, problems: ['BadInput'] }),
  readHistory: route({ name: 'readHistory', method: 'POST', path: '/api/sites/:siteId/read-history', summary: 'Read what the station heard of each path, mains and log that owes a remote duty, and record it without a visit', may: 'plan', input: z.strictObject({ siteId: Id }), output: HistoryRead, problems: ['NotFound'] }),
  dutiesCalendar: route({ name: 'dutiesCalendar', method: 'GET', path: '/api/duties.ics', summary: 'Due days of duties as iCalendar, of one site or of all', may: 'read', carries: 'calendar', input: z.strictObject({ siteId: Id.optional(), from: LocalDay.optional(), days: z.coerce.number().int().min(1).max(1100).default(400) }), output: z.string(), problems: ['NotFound', 'BadInput'] }),
  closedDays: route({ name: 'closedDays', method: 'GET', path: '/api/closed-days', summary: 'Public holidays and shared days that close sites or keep them silent', may: 'read', input: z.strictObject({}), output: ClosedDaysShown }),
  holidayRegions: route({ name: 'holidayRegions', method: 'GET', path: '/api/holiday-regions', summary: 'Countries and regions whose public holidays are known', may: 'read', input: z.strictObject({}), output: z.object({ rows: z.array(z.object({ code: z.string(), words: z.string() })) }) }),
  addClosedDays: route({ name: 'addClosedDays', method: 'POST', path: '/api/closed-days', summary: 'Add days on which all sites, or those of one occupancy, are closed or silent', may: 'plan', input: AddClosedDays, output: ClosedDaysShown, problems: ['IdReused'] }),
  removeClosedDays: route({ name: 'removeClosedDays', method: 'POST', path: '/api/closed-days/:closedDaysId/remove', summary: 'Take such days away again', may: 'plan', input: z.strictObject({ closedDaysId: Id }), output: ClosedDaysShown, problems: ['NotFound'] }),
  chooseHolidays: route({ name: 'chooseHolidays', method: 'POST', path: '/api/holiday-region', summary: 'Choose whose public holidays close the sites of the company', may: 'plan', input: z.strictObject({ region: RegionCode }), output: ClosedDaysShown, problems: ['BadInput'] }),
  chooseSiteHolidays: route({ name: 'chooseSiteHolidays', method: 'POST', path: '/api/sites/:siteId/holiday-region', summary: 'Choose whose public holidays close one site', may: 'plan', input: z.strictObject({ siteId: Id, region: RegionCode }), output: z.object({ siteId: Id, region: z.string().nullable() }), problems: ['NotFound', 'BadInput'] }),
};
