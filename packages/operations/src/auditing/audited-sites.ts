import type { AuditedSite, AuditedSites } from '@bellround/contracts';
import { standingPage } from '@bellround/database';
import type { Act } from '../perform.js';
import { stripLanes, stripStretch } from '../reports/steps.js';
import { asOfDay } from '../standing/steps.js';
import { openLink } from './steps.js';

/** What an auditor's address opens: its named sites with their standing and strips, missing proof first, and nothing else. */
export const auditedSites: Act<{ linkId: string; asOf?: string | undefined }, AuditedSites> = async (ctx, input) => {
  const link = await openLink(ctx, input.linkId);
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const { asOf } = await asOfDay(ctx, input.asOf);
  const { rows } = await standingPage(ctx.tx, asOf, { siteIds: link.siteIds, limit: link.siteIds.length, offset: 0 });
  const lanes = await stripLanes(ctx.tx, rows.map((row) => row.siteId), asOf);
  return {
    company: company.name, forWhom: link.forWhom, expiresAt: link.expiresAt.toISOString(), timeZone: company.timeZone, asOf, ...stripStretch(asOf),
    rows: rows.map(({ siteId, name, address, clientName, standing, duties, lapsed, cantTell, late, open, proven, nextLapses, openDeficiencies }) => ({
      siteId, name, address, clientName, standing: standing as AuditedSite['standing'], duties, lapsed, cantTell, late, open, proven, nextLapses, openDeficiencies, lanes: lanes.get(siteId) ?? [] })),
  };
};
