import { Prisma } from '@bellround/database';
import { Refusal, type KeepKey, type SiteNeeds } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { siteNeedsOf } from '../rounds-need.js';
import { note, own } from '../steps.js';

/** Adds a key of a site, or says where and when it is collected. A code is no key here. Throws NotFound, IdReused. */
export const keepKey: Act<KeepKey, SiteNeeds> = async (ctx, { siteId, id, hours, lat, lon, ...input }) => {
  await siteNeedsOf(ctx, siteId);
  const known = await ctx.tx.db.siteKey.findUnique({ where: { companyId_id: { ...own(ctx), id } } });
  if (known && (known.siteId !== siteId || known.kind === 'code')) throw new Refusal('IdReused', 'This id belongs to another key.');
  const data = { ...input, collectAt: input.collectAt || null, collectLat: lat, collectLon: lon, collectHours: hours === null || hours.length === 0 ? Prisma.DbNull : hours };
  await ctx.tx.db.siteKey.upsert({ where: { companyId_id: { ...own(ctx), id } }, create: { ...own(ctx), id, siteId, ...data }, update: data });
  await note(ctx, { act: 'keep-key', about: 'site', id: siteId, siteId, summary: `Key ${input.label}: ${input.needed ? `needed for visits${input.collectAt ? `, collected at ${input.collectAt}` : ''}` : 'not needed for visits'}` });
  return siteNeedsOf(ctx, siteId);
};
