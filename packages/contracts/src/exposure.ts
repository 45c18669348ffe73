import type { Cause, ChainLink, Difference, Share, WhatIf } from '@bellround/risk';
import { z } from 'zod';
import { Id, Instant, LocalDay, PageInput, pageOf } from './basics.js';
import { route } from './route.js';

/** What a site's exposure may be made of, in words. */
export const CAUSE_WORDS: Readonly<Record<Cause | 'missing-record', string>> = {
  'silent-fault': 'silent faults since the last proof',
  'battery-age': 'battery age',
  'outside-checks': 'what no check has looked at',
  'weak-radio': 'radio margin, marginal readings, place or lot',
  'reported-fault': 'reported faults until repaired',
  'known-fault': 'known faults not yet repaired',
  'missing-record': 'parts of which nothing is recorded',
};
const Causes = z.enum(['silent-fault', 'battery-age', 'outside-checks', 'weak-radio', 'reported-fault', 'known-fault', 'missing-record']);

/** A site in the order in which to look: most exposed first. */
export const ExposureRow = z.object({
  siteId: Id, siteName: z.string(), locality: z.string().nullable(), score: z.number(), percentile: z.number().nullable(), exposureH: z.number(), exposurePerYearH: z.number(),
  mainCause: Causes.nullable(), mainShare: z.number(), reasons: z.array(z.string()), missing: z.array(z.string()), missingCount: z.int(), scoredOn: LocalDay,
});
export type ExposureRow = z.infer<typeof ExposureRow>;

export const SiteExposureView = z.object({
  siteId: Id, siteName: z.string(), score: z.number(), percentile: z.number().nullable(), exposureH: z.number(), exposurePerYearH: z.number(), yearAheadH: z.number(), ifKnownGoodH: z.number(), nextProofOn: LocalDay, nextProofWhy: z.string(), scoredOn: LocalDay,
  proofs: z.array(z.object({ on: LocalDay, why: z.string(), exposureH: z.number() })),
  reasons: z.array(z.string()), missing: z.array(z.string()), shares: z.array(z.custom<Share & { label: string }>()), links: z.array(z.custom<ChainLink>()),
  systems: z.array(z.object({ systemId: z.string(), kind: z.string() })),
  components: z.array(z.object({ systemId: z.string(), componentId: z.string(), class: z.string(), label: z.string(), share: z.number(), recorded: z.boolean() })),
  curve: z.array(z.object({ on: LocalDay, exposureH: z.number(), totalToHorizonH: z.number() })), horizonOn: LocalDay,
  modelVersion: z.string(),
});
export type SiteExposureView = z.infer<typeof SiteExposureView>;

const Interval = z.custom<Difference>();
const Comparison = z.object({ areaUnderCurve: Interval, brier: Interval });
/** What a version's back-test found; null parts could not be judged. */
export const VersionReportView = z.object({
  heldBack: z.object({ from: LocalDay, to: LocalDay }).nullable(), cases: z.int(), happened: z.int(),
  ours: z.object({ areaUnderCurve: z.number(), brier: z.number(), slope: z.number(), intercept: z.number(), calibration: z.array(z.object({ count: z.int(), predicted: z.number(), observed: z.number(), low: z.number(), high: z.number() })) }).nullable(),
  byClass: z.array(z.object({ class: z.string(), cases: z.int(), predicted: z.number(), observed: z.number() })),
  rules: z.array(z.object({ rule: z.enum(['age-only', 'last-result-only']), areaUnderCurve: z.number(), brier: z.number(), ours: Comparison })),
  present: z.object({ version: z.string(), areaUnderCurve: z.number(), brier: z.number(), against: Comparison }).nullable(),
  promote: z.boolean(), why: z.string(),
});
export type VersionReportView = z.infer<typeof VersionReportView>;

const Sourced = z.object({ name: z.string(), value: z.number(), source: z.string() });
export const RiskModelView = z.object({
  id: Id, version: z.string(), promoted: z.boolean(), fittedAt: Instant, fromDay: LocalDay.nullable(), toDay: LocalDay,
  classes: z.array(z.object({ class: z.string(), meanPerYear: z.number(), lowPerYear: z.number(), highPerYear: z.number(), shape: z.number(), failures: z.number(), yearsInService: z.number(), components: z.int(), source: z.string(), rule: z.string() })),
  battery: z.object({ meanYears: z.number(), shape: z.number(), scaleYears: z.number(), source: z.string(), lives: z.int(), failed: z.int(), rule: z.string() }),
  factors: z.array(z.object({ name: z.string(), factor: z.number() })), factorsSource: z.string(), lots: z.array(z.object({ class: z.string(), year: z.int(), factor: z.number() })),
  /** Share of single verdicts believed wrong; null: each is taken at its word. */
  wrongVerdicts: z.object({ share: z.number(), secondLooks: z.int() }).nullable(),
  settings: z.array(Sourced),
  modes: z.array(z.object({ class: z.string(), reportedShare: z.number(), modes: z.array(z.object({ words: z.string(), share: z.number(), revealedBy: z.array(z.string()) })) })), modesSource: z.string(),
  report: VersionReportView.nullable(),
});
export type RiskModelView = z.infer<typeof RiskModelView>;

export const RiskVersionRow = z.object({
  id: Id, version: z.string(), fittedAt: Instant, fromDay: LocalDay.nullable(), toDay: LocalDay, inUse: z.boolean(), accepted: z.boolean(), why: z.string(),
  cases: z.int(), happened: z.int(), areaUnderCurve: z.number().nullable(), brier: z.number().nullable(), slope: z.number().nullable(),
});
export type RiskVersionRow = z.infer<typeof RiskVersionRow>;

const ForecastAsked = z.strictObject({ months: z.coerce.number().int().min(1).max(36).default(12) });
export const BatteryForecastView = z.object({
  from: LocalDay, months: z.array(LocalDay), inService: z.int(), undated: z.int(), modelVersion: z.string(),
  /** One line per rating: known failed now, then expected per month with the count that 9 of 10 months stay within. */
  ratings: z.array(z.object({ ratedMah: z.int().nullable(), inService: z.int(), failedNow: z.int(), expected: z.array(z.number()), upper: z.array(z.int()), orderNow: z.int() })),
  batteries: z.array(z.object({ siteId: Id, siteName: z.string(), label: z.string(), ratedMah: z.int().nullable(), madeOn: LocalDay.nullable(), temperatureC: z.number().nullable(), failedNow: z.boolean(), chance: z.number() })),
});
export type BatteryForecastView = z.infer<typeof BatteryForecastView>;

const csv = z.string();
export const exposureRoutes = {
  listExposure: route({ name: 'listExposure', method: 'GET', path: '/api/exposure', summary: 'Sites by exposure, most exposed first, with the reasons in words; may be narrowed to one cause', may: 'read', input: PageInput.extend({ cause: Causes.optional() }), output: pageOf(ExposureRow).extend({ causes: z.array(z.object({ cause: Causes, sites: z.int() })) }) }),
  showExposure: route({ name: 'showExposure', method: 'GET', path: '/api/sites/:siteId/exposure', summary: 'One site\'s chain, shares, reasons, planned proofs and curve by visit day', may: 'read', input: z.strictObject({ siteId: Id }), output: SiteExposureView, problems: ['NotFound'] }),
  whatIfExposure: route({ name: 'whatIfExposure', method: 'POST', path: '/api/sites/:siteId/exposure/what-if', summary: 'What one change would do to a site\'s exposure; nothing is changed', may: 'read', input: z.strictObject({ siteId: Id, change: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('replace-component'), systemId: Id, componentId: z.string() }),
    z.strictObject({ kind: z.literal('add-path'), systemId: Id, class: z.enum(['path-ethernet', 'path-wifi', 'path-cellular', 'path-line', 'path-radio']) }),
    z.strictObject({ kind: z.literal('prove-every'), days: z.int().min(1).max(3650) }),
    z.strictObject({ kind: z.literal('visit-on'), on: LocalDay }),
  ]) }), output: z.custom<Pick<WhatIf, 'savedH' | 'savedShare' | 'ofH' | 'sentence'> & { scoreBefore: number; scoreAfter: number }>(), problems: ['NotFound', 'BadInput'] }),
  showRiskModel: route({ name: 'showRiskModel', method: 'GET', path: '/api/risk-model', summary: 'The failure rates the scores rest on, where each comes from, and how well they foretold a held-back interval', may: 'read', input: z.strictObject({ id: Id.optional() }), output: RiskModelView.nullable(), problems: ['NotFound'] }),
  listRiskVersions: route({ name: 'listRiskVersions', method: 'GET', path: '/api/risk-model/versions', summary: 'Every fitted version, promoted or refused, newest first', may: 'read', input: PageInput.omit({ search: true }), output: pageOf(RiskVersionRow) }),
  batteryForecast: route({ name: 'batteryForecast', method: 'GET', path: '/api/battery-forecast', summary: 'Standby batteries expected to fail, by month and rating: what to order', may: 'read', input: ForecastAsked, output: BatteryForecastView }),
  batteryForecastCsv: route({ name: 'batteryForecastCsv', method: 'GET', path: '/api/battery-forecast.csv', summary: 'The battery forecast as CSV', may: 'read', carries: 'csv', input: ForecastAsked, output: csv }),
};
