import { Refusal } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { refreshSite } from '../standing/steps.js';
import { checkedRegion, regionWords } from './steps.js';

/** Chooses whose public holidays close one site (null: as the company; 'none': none do) and moves its due dates at once. Throws NotFound, BadInput. */
export const chooseSiteHolidays: Act<{ siteId: string; region: string | null }, { siteId: string; region: string | null }> = async (ctx, input) => {
  const region = checkedRegion(input.region);
  const key = { companyId_id: { ...own(ctx), id: input.siteId } };
  const site = await ctx.tx.db.site.findUnique({ where: key });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  if (site.holidayRegion !== region) {
    await ctx.tx.db.site.update({ where: key, data: { holidayRegion: region } });
    await refreshSite(ctx, site.id);
    await note(ctx, { act: 'choose-site-holidays', about: 'site', id: site.id, siteId: site.id, summary: `${site.name}: public holidays ${region === null ? 'as the company' : regionWords(region)}` });
  }
  return { siteId: site.id, region };
};
