import { Prisma } from '@bellround/database';
import { Refusal, type EditSite, type SiteDetail } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { later, note, own } from '../steps.js';
import { siteDetail } from './steps.js';

/** Changes hours and notes of a site. Throws NotFound, and Stale when somebody changed them since `version` was shown. */
export const editSite: Act<EditSite, SiteDetail> = async (ctx, { siteId, version, environment, ...input }) => {
  await ctx.tx.sql('select 1 from site where company_id = current_company() and id = $1::uuid for update', [siteId]);
  const before = await siteDetail(ctx, siteId);
  if (before.version !== version) throw new Refusal('Stale', `${before.name} was changed by somebody else since you opened it. Load it again; what you typed is still on your screen.`);
  await ctx.tx.db.site.update({ where: { companyId_id: { ...own(ctx), id: siteId } }, data: { ...input, ...(environment === undefined ? {} : { environment }), noiseHours: input.noiseHours ?? Prisma.DbNull } });
  if (environment !== undefined && environment !== before.environment) await later(ctx, 'standing-refresh', { siteId });
  await note(ctx, { act: 'edit-site', about: 'site', id: siteId, siteId, summary: `Hours and notes of ${before.name} changed` });
  return siteDetail(ctx, siteId);
};
