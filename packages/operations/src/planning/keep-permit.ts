import { Refusal, type KeepPermit, type SiteNeeds } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { siteNeedsOf } from '../rounds-need.js';
import { dbDay, note, own } from '../steps.js';

/** Adds a permit, or says from when to when it counts. Without a first day it is not granted, and no visit is planned. Throws NotFound, IdReused. */
export const keepPermit: Act<KeepPermit, SiteNeeds> = async (ctx, { siteId, id, name, fromDay, toDay }) => {
  await siteNeedsOf(ctx, siteId);
  const known = await ctx.tx.db.sitePermit.findUnique({ where: { companyId_id: { ...own(ctx), id } } });
  if (known && known.siteId !== siteId) throw new Refusal('IdReused', 'This id belongs to a permit of another site.');
  const data = { name, fromDay: fromDay === null ? null : dbDay(fromDay), toDay: toDay === null ? null : dbDay(toDay), enteredAt: ctx.now };
  await ctx.tx.db.sitePermit.upsert({ where: { companyId_id: { ...own(ctx), id } }, create: { ...own(ctx), id, siteId, ...data }, update: data });
  await note(ctx, { act: 'keep-permit', about: 'site', id: siteId, siteId, summary: `Permit ${name}: ${fromDay === null ? 'not granted yet' : `from ${fromDay}${toDay === null ? '' : ` to ${toDay}`}`}` });
  return siteNeedsOf(ctx, siteId);
};
