import { Refusal, type EditSiteNeeds, type SiteNeeds } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { siteNeedsOf } from '../rounds-need.js';
import { note, own } from '../steps.js';

/** Changes notice and equipment of a site. Throws NotFound, and Stale when somebody changed them since `version` was shown. */
export const editSiteNeeds: Act<EditSiteNeeds, SiteNeeds> = async (ctx, { siteId, version, noticeDays, equipment }) => {
  await ctx.tx.sql('select 1 from site where company_id = current_company() and id = $1::uuid for update', [siteId]);
  const before = await siteNeedsOf(ctx, siteId);
  if (before.version !== version) throw new Refusal('Stale', 'Somebody changed this since you opened it. Load it again; what you typed is still on your screen.');
  await ctx.tx.db.site.update({ where: { companyId_id: { ...own(ctx), id: siteId } }, data: { noticeDays, equipment: [...new Set(equipment)].sort() } });
  await note(ctx, { act: 'edit-site-needs', about: 'site', id: siteId, siteId, summary: `Notice ${noticeDays} days; equipment: ${equipment.join(', ') || 'none'}` });
  return siteNeedsOf(ctx, siteId);
};
