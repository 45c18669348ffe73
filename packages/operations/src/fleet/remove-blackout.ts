import { Refusal, type SiteDetail } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dayText, note, own } from '../steps.js';
import { refreshSite } from '../standing/steps.js';
import { siteDetail } from './steps.js';

/** Takes closed or silent days away again; the activity list keeps that they were there. Throws NotFound. */
export const removeBlackout: Act<{ siteId: string; blackoutId: string }, SiteDetail> = async (ctx, { siteId, blackoutId }) => {
  const site = await siteDetail(ctx, siteId);
  const known = await ctx.tx.db.siteBlackout.findFirst({ where: { ...own(ctx), id: blackoutId, siteId } });
  if (!known) throw new Refusal('NotFound', 'There are no such days at this site.');
  await ctx.tx.db.siteBlackout.delete({ where: { companyId_id: { ...own(ctx), id: blackoutId } } });
  await refreshSite(ctx, siteId);
  await note(ctx, { act: 'remove-blackout', about: 'site', id: siteId, siteId, summary: `${site.name}: ${known.kind} from ${dayText(known.fromDay)} taken away (${known.reason})` });
  return siteDetail(ctx, siteId);
};
