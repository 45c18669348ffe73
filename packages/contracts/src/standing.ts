import { z } from 'zod';
import { Id, Instant, LocalDay, PageInput } from './basics.js';
import { DutyCheckRow, WindowShown } from './programmes.js';
import { route } from './route.js';

/** Worst first, as lists are sorted. */
export const STANDINGS = ['lapsed', 'cant-tell', 'late', 'open', 'proven', 'not-owed'] as const;
export const Standing = z.enum(STANDINGS);
export type Standing = z.infer<typeof Standing>;

/** What each standing means, in words for screens. */
export const STANDING_WORDS: Record<Standing, { title: string; means: string }> = {
  lapsed: { title: 'Lapsed', means: 'A check was due and its window is over: the proof is missing.' },
  'cant-tell': { title: "Can't tell", means: 'Nothing is known to count from, or no programme is laid on it. Never counted as good.' },
  late: { title: 'Late', means: 'Past its due day; the window is still open.' },
  open: { title: 'Window open', means: 'May be checked now, and is not late.' },
  proven: { title: 'Proven', means: 'Every duty is met and none is open.' },
  'not-owed': { title: 'Nothing owed', means: 'Suspended, or its duties have not begun.' },
};

/** One lane of a proof strip: a duty's windows in the stretch that is drawn. */
export const StripLane = z.object({
  dutyId: Id, title: z.string(), standing: Standing,
  windows: z.array(WindowShown.pick({ n: true, opens: true, due: true, lapses: true, governsFrom: true, governsTo: true, metOn: true, outcome: true, lateDays: true, carried: true })),
});
export type StripLane = z.infer<typeof StripLane>;

export const StandingRow = z.object({
  siteId: Id, externalKey: z.string(), name: z.string(), address: z.string(), locality: z.string().nullable(), timeZone: z.string(), occupancy: z.string(), clientId: Id, clientName: z.string(),
  standing: Standing, duties: z.int(), lapsed: z.int(), cantTell: z.int(), late: z.int(), open: z.int(), proven: z.int(),
  nextLapses: LocalDay.nullable(), openDeficiencies: z.int(), lanes: z.array(StripLane),
});
export type StandingRow = z.infer<typeof StandingRow>;

export const StandingCounted = z.object({ lapsed: z.int(), cantTell: z.int(), late: z.int(), open: z.int(), proven: z.int(), notOwed: z.int(), sites: z.int() });

export const StandingList = z.object({
  asOf: LocalDay, today: LocalDay,
  /** the stretch that the strips draw */
  stripFrom: LocalDay, stripTo: LocalDay,
  counts: StandingCounted, rows: z.array(StandingRow), total: z.int(),
});
export type StandingList = z.infer<typeof StandingList>;

export const StandingAsked = PageInput.extend({
  asOf: LocalDay.optional(), standing: Standing.optional(), clientId: Id.optional(), occupancy: z.string().trim().max(40).optional(),
  /** a kind of system that the site has */
  systemKind: z.string().trim().max(40).optional(),
  /** only sites with a deficiency open on the day */
  broken: z.enum(['yes', 'no']).default('no'),
  /** proof strips cost a second question; a plain list can do without, and asks for the strips it shows */
  strips: z.enum(['yes', 'no']).default('yes'),
});
export type StandingAsked = z.infer<typeof StandingAsked>;

/** Proof strips of some sites: what a scrolling list asks for as they come into sight. */
export const StripsAsked = z.strictObject({ siteIds: z.string().transform((text) => text.split(',')).pipe(z.array(Id).min(1).max(100)), asOf: LocalDay.optional() });
export type StripsAsked = z.infer<typeof StripsAsked>;
export const SiteStrips = z.object({ asOf: LocalDay, stripFrom: LocalDay, stripTo: LocalDay, sites: z.array(z.object({ siteId: Id, lanes: z.array(StripLane), pauses: z.array(z.object({ from: LocalDay, to: LocalDay.nullable(), by: z.string() })) })) });
export type SiteStrips = z.infer<typeof SiteStrips>;

export const OverdueRow = z.object({
  dutyId: Id, title: z.string(), regime: z.string(), mandated: z.boolean(), siteId: Id, siteName: z.string(), clientName: z.string(), subject: z.string(), standing: Standing,
  opens: LocalDay, due: LocalDay, lapses: LocalDay, daysOver: z.int(),
});
export type OverdueRow = z.infer<typeof OverdueRow>;

/** Who could have prevented a lateness, and what shows it. */
export const PREVENTABLE_BY = ['ours', 'customer', 'station', 'weather', 'part-supplier'] as const;
export const Attribution = z.object({ by: z.enum(PREVENTABLE_BY), words: z.string(), attempts: z.int(), provenAttempts: z.int(), letters: z.int() });
export type Attribution = z.infer<typeof Attribution>;

export const LateRow = z.object({
  dutyId: Id, n: z.int(), title: z.string(), siteId: Id, siteName: z.string(), opens: LocalDay, lapses: LocalDay, metOn: LocalDay.nullable(), outcome: z.enum(['late', 'missed']),
  lateDays: z.int(), attribution: Attribution,
});
export type LateRow = z.infer<typeof LateRow>;

const share = z.number().min(0).max(1).nullable();

/** A count of accounts by how their windows ended, with both shares. */
export const InTime = z.object({
  onTime: z.int(), late: z.int(), missed: z.int(), unknown: z.int(),
  /** live at the station, and nobody is due to prove them */
  untested: z.int(),
  /** on time of all live accounts whose windows closed, the untested among them */
  honest: share, honestOf: z.int(),
  /** on time of those on the schedule only */
  flattering: share, flatteringOf: z.int(),
});
export type InTime = z.infer<typeof InTime>;

export const OnTimeMonth = z.object({ month: z.string(), windows: z.object({ onTime: z.int(), late: z.int(), missed: z.int(), unknown: z.int(), share }), accounts: InTime });
export type OnTimeMonth = z.infer<typeof OnTimeMonth>;

export const OnTime = z.object({
  from: LocalDay, to: LocalDay, asOf: LocalDay,
  /** the day for which the station's newest list speaks; null: it never gave one, and our own live accounts are counted */
  stationListOn: LocalDay.nullable(), liveAccounts: z.int(),
  whole: InTime, months: z.array(OnTimeMonth),
  untested: z.array(z.object({ account: z.string(), name: z.string(), siteId: Id.nullable(), why: z.string() })),
  /** late and missed windows of the stretch by who could have prevented them */
  preventableBy: z.array(z.object({ by: z.enum(PREVENTABLE_BY), windows: z.int() })),
});
export type OnTime = z.infer<typeof OnTime>;
const OnTimeAsked = z.strictObject({ asOf: LocalDay.optional(), months: z.coerce.number().int().min(1).max(60).default(12), regime: z.string().trim().max(200).optional() });
export type OnTimeAsked = z.infer<typeof OnTimeAsked>;

export const SiteDuty = z.object({
  id: Id, title: z.string(), regime: z.string(), mandated: z.boolean(), systemId: Id, systemName: z.string(), subjectKind: z.string(), subjectId: Id, subject: z.string(), standing: Standing,
  /** the window that governs on the day; null when none does */
  now: WindowShown.nullable(), remotely: z.boolean(), sounds: z.boolean(), minutes: z.int(), validFrom: LocalDay, validTo: LocalDay.nullable(), windows: z.array(WindowShown),
});
export type SiteDuty = z.infer<typeof SiteDuty>;

export const SiteStanding = z.object({
  siteId: Id, name: z.string(), address: z.string(), clientId: Id, clientName: z.string(), timeZone: z.string(), occupancy: z.string(),
  asOf: LocalDay, today: LocalDay,
  /** what was known on this day; null: all that is known now */
  knownOn: LocalDay.nullable(),
  standing: Standing, stripFrom: LocalDay, stripTo: LocalDay, duties: z.array(SiteDuty),
  /** suspensions of the site: who allowed them */
  pauses: z.array(z.object({ from: LocalDay, to: LocalDay.nullable(), by: z.string(), reason: z.string() })),
  deficiencies: z.object({ open: z.int(), impairments: z.int(), accepted: z.int() }),
  visits: z.array(z.object({ id: Id, title: z.string(), state: z.string(), day: LocalDay.nullable(), closedAt: Instant.nullable(), technician: z.string().nullable(), checks: z.int() })),
  attempts: z.array(z.object({ id: Id, how: z.string(), outcome: z.string(), at: Instant, words: z.string(), proven: z.boolean() })),
});
export type SiteStanding = z.infer<typeof SiteStanding>;

/** What stands behind one window: the checks credited to it, and those of its time that were not. */
export const WindowBehind = z.object({ dutyId: Id, title: z.string(), siteId: Id, siteName: z.string(), window: WindowShown, checks: z.array(DutyCheckRow), attribution: Attribution.nullable() });
export type WindowBehind = z.infer<typeof WindowBehind>;

export const CheckBehindShown = z.object({
  id: Id, title: z.string(), checkKind: z.string(), siteId: Id, siteName: z.string(), systemName: z.string(), subjectKind: z.string(), subjectId: Id, subject: z.string(),
  performedOn: LocalDay, performedAt: Instant, recordedAt: Instant, deviceClockAt: Instant.nullable(), by: z.string().nullable(), recordedBy: z.string().nullable(),
  verdict: z.string(), computedVerdict: z.string().nullable(), reason: z.string(), margin: z.object({ value: z.number(), unit: z.string() }).nullable(), limitSource: z.string().nullable(),
  overruleReason: z.string().nullable(), excuseCode: z.string().nullable(), evidence: z.string(), source: z.string(), notes: z.string().nullable(), visitId: Id.nullable(),
  readings: z.array(z.object({ key: z.string(), label: z.string(), value: z.string(), unit: z.string().nullable(), instrument: z.string().nullable(), reliable: z.boolean().nullable() })),
  credits: z.array(z.object({ dutyId: Id, title: z.string(), regime: z.string(), met: z.boolean(), outcome: z.string().nullable(), lateDays: z.int() })),
  /** the check that this one corrects, and the ones that correct it: both stay visible */
  correctsId: Id.nullable(), corrections: z.array(z.object({ id: Id, verdict: z.string(), recordedAt: Instant })),
  deficiencies: z.array(z.object({ id: Id, title: z.string(), severity: z.string(), state: z.string() })),
});
export type CheckBehindShown = z.infer<typeof CheckBehindShown>;

const csv = z.string();
const asOf = LocalDay.optional();

export const standingRoutes = {
  listStanding: route({ name: 'listStanding', method: 'GET', path: '/api/standing', summary: 'Sites with their standing on a day, missing proof first, with counts', may: 'read', input: StandingAsked, output: StandingList }),
  standingStrips: route({ name: 'standingStrips', method: 'GET', path: '/api/standing/strips', summary: 'Proof strips of some sites, by their ids with commas between', may: 'read', input: StripsAsked, output: SiteStrips }),
  standingCsv: route({ name: 'standingCsv', method: 'GET', path: '/api/standing.csv', summary: 'Standing of all matching sites on a day, as CSV', may: 'read', carries: 'csv', input: StandingAsked.pick({ asOf: true, standing: true, clientId: true, occupancy: true, search: true, systemKind: true, broken: true }), output: csv }),
  overdue: route({ name: 'overdue', method: 'GET', path: '/api/overdue', summary: 'Duties that are lapsed, late or can\'t be told on a day', may: 'read', input: PageInput.extend({ asOf, standing: z.enum(['lapsed', 'cant-tell', 'late']).optional() }), output: z.object({ asOf: LocalDay, rows: z.array(OverdueRow), total: z.int() }) }),
  overdueCsv: route({ name: 'overdueCsv', method: 'GET', path: '/api/overdue.csv', summary: 'The overdue list as CSV', may: 'read', carries: 'csv', input: z.strictObject({ asOf, search: z.string().trim().max(200).optional(), standing: z.enum(['lapsed', 'cant-tell', 'late']).optional() }), output: csv }),
  onTime: route({ name: 'onTime', method: 'GET', path: '/api/on-time', summary: 'On-time share by month of all live accounts, beside the share of those on the schedule', may: 'read', input: OnTimeAsked, output: OnTime }),
  onTimeCsv: route({ name: 'onTimeCsv', method: 'GET', path: '/api/on-time.csv', summary: 'On-time share by month as CSV', may: 'read', carries: 'csv', input: OnTimeAsked, output: csv }),
  lateWindows: route({ name: 'lateWindows', method: 'GET', path: '/api/late', summary: 'Windows that ended late or missed, and who could have prevented it', may: 'read', input: PageInput.extend({ asOf, months: z.coerce.number().int().min(1).max(60).default(12) }), output: z.object({ rows: z.array(LateRow), total: z.int() }) }),
  siteStanding: route({ name: 'siteStanding', method: 'GET', path: '/api/sites/:siteId/standing', summary: 'One site: its duties, windows and standing on a day, as known now or on an earlier day', may: 'read', input: z.strictObject({ siteId: Id, asOf, knownOn: LocalDay.optional() }), output: SiteStanding, problems: ['NotFound'] }),
  windowBehind: route({ name: 'windowBehind', method: 'GET', path: '/api/duties/:dutyId/windows/:n', summary: 'The checks behind one window of a duty', may: 'read', input: z.strictObject({ dutyId: Id, n: z.coerce.number().int().min(0).max(100_000) }), output: WindowBehind, problems: ['NotFound'] }),
  checkBehind: route({ name: 'checkBehind', method: 'GET', path: '/api/checks/:checkId', summary: 'One check: readings, verdict, margin, source of the limit, what it is credited to', may: 'read', input: z.strictObject({ checkId: Id }), output: CheckBehindShown, problems: ['NotFound'] }),
};
