import type { ChainLink, Share, SiteScore, WhatIf } from '@bellround/risk';
import { z } from 'zod';
import { Id, Instant, LocalDay, PageInput, pageOf } from './basics.js';
import { route } from './route.js';

/** A site in the order in which to look: most exposed first. */
export const ExposureRow = z.object({
  siteId: Id, siteName: z.string(), locality: z.string().nullable(), score: z.number(), percentile: z.number().nullable(), exposureH: z.number(), exposurePerYearH: z.number(),
  reasons: z.array(z.string()), missing: z.array(z.string()), scoredOn: LocalDay,
});
export type ExposureRow = z.infer<typeof ExposureRow>;

export const SiteExposureView = z.object({
  siteId: Id, siteName: z.string(), score: z.number(), percentile: z.number().nullable(), exposureH: z.number(), exposurePerYearH: z.number(), nextProofOn: LocalDay, scoredOn: LocalDay,
  reasons: z.array(z.string()), missing: z.array(z.string()), shares: z.array(z.custom<Share & { label: string }>()), links: z.array(z.custom<ChainLink>()), curve: z.array(z.custom<SiteScore['curve'][number]>()),
  modelVersion: z.string(),
});
export type SiteExposureView = z.infer<typeof SiteExposureView>;

export const RiskModelView = z.object({
  version: z.string(), fittedAt: Instant, fromDay: LocalDay.nullable(), toDay: LocalDay,
  classes: z.array(z.object({ class: z.string(), meanPerYear: z.number(), lowPerYear: z.number(), highPerYear: z.number(), failures: z.number(), yearsInService: z.number(), components: z.int(), source: z.string(), rule: z.string() })),
  battery: z.object({ meanYears: z.number(), source: z.string(), lives: z.int(), failed: z.int(), rule: z.string() }),
});
export type RiskModelView = z.infer<typeof RiskModelView>;

export const exposureRoutes = {
  listExposure: route({ name: 'listExposure', method: 'GET', path: '/api/exposure', summary: 'Sites by exposure, most exposed first, with the reasons in words', may: 'read', input: PageInput, output: pageOf(ExposureRow) }),
  showExposure: route({ name: 'showExposure', method: 'GET', path: '/api/sites/:siteId/exposure', summary: 'One site\'s chain, shares and reasons', may: 'read', input: z.strictObject({ siteId: Id }), output: SiteExposureView, problems: ['NotFound'] }),
  whatIfExposure: route({ name: 'whatIfExposure', method: 'POST', path: '/api/sites/:siteId/exposure/what-if', summary: 'What one change would do to a site\'s exposure; nothing is changed', may: 'read', input: z.strictObject({ siteId: Id, change: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('replace-component'), systemId: Id, componentId: z.string() }),
    z.strictObject({ kind: z.literal('add-path'), systemId: Id, class: z.enum(['path-ethernet', 'path-wifi', 'path-cellular', 'path-line', 'path-radio']) }),
    z.strictObject({ kind: z.literal('prove-every'), days: z.int().min(1).max(3650) }),
    z.strictObject({ kind: z.literal('visit-on'), on: LocalDay }),
  ]) }), output: z.custom<Pick<WhatIf, 'savedH' | 'savedShare' | 'ofH' | 'sentence'>>(), problems: ['NotFound'] }),
  showRiskModel: route({ name: 'showRiskModel', method: 'GET', path: '/api/risk-model', summary: 'The failure rates the scores rest on, and where each comes from', may: 'read', input: z.strictObject({}), output: RiskModelView.nullable() }),
};
