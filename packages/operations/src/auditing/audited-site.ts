import type { SiteReport } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { reportOfSite } from '../reports/steps.js';
import { nothingHere, openLink } from './steps.js';

/** One site of an auditor's address; any other site answers as one that never existed. */
export const auditedSite: Act<{ linkId: string; siteId: string; asOf?: string | undefined; months: number }, SiteReport> = async (ctx, input) => {
  const link = await openLink(ctx, input.linkId);
  if (!link.siteIds.includes(input.siteId)) throw nothingHere();
  return reportOfSite(ctx, { siteId: input.siteId, asOf: input.asOf, months: input.months });
};
