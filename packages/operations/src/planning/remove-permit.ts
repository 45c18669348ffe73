import { Refusal, type SiteNeeds } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { siteNeedsOf } from '../rounds-need.js';
import { note, own } from '../steps.js';

/** A permit that is not needed any more; the activity keeps that it was. Throws NotFound. */
export const removePermit: Act<{ siteId: string; permitId: string }, SiteNeeds> = async (ctx, { siteId, permitId }) => {
  const known = await ctx.tx.db.sitePermit.findFirst({ where: { ...own(ctx), id: permitId, siteId } });
  if (!known) throw new Refusal('NotFound', 'There is no permit by that id at this site.');
  await ctx.tx.db.sitePermit.delete({ where: { companyId_id: { ...own(ctx), id: permitId } } });
  await note(ctx, { act: 'remove-permit', about: 'site', id: siteId, siteId, summary: `Permit ${known.name} is not needed` });
  return siteNeedsOf(ctx, siteId);
};
