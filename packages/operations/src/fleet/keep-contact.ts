import { Refusal, type KeepContact, type SiteDetail } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dbDay, note, own } from '../steps.js';
import { siteDetail } from './steps.js';

/** Adds a person of the site under the client's id, or changes the one of that id. Throws NotFound, IdReused. */
export const keepContact: Act<KeepContact, SiteDetail> = async (ctx, { siteId, id, ...input }) => {
  const site = await siteDetail(ctx, siteId);
  const known = await ctx.tx.db.contact.findUnique({ where: { companyId_id: { ...own(ctx), id } } });
  if (known && known.siteId !== siteId) throw new Refusal('IdReused', 'This id belongs to a person of another site.');
  const data = { ...input, roles: [...input.roles], validFrom: dbDay(input.validFrom), validTo: input.validTo === null ? null : dbDay(input.validTo) };
  if (known) await ctx.tx.db.contact.update({ where: { companyId_id: { ...own(ctx), id } }, data });
  else await ctx.tx.db.contact.create({ data: { ...own(ctx), id, siteId, ...data } });
  await note(ctx, { act: 'keep-contact', about: 'site', id: siteId, siteId, summary: `${input.name} ${known ? 'changed' : 'added'} at ${site.name}` });
  return siteDetail(ctx, siteId);
};
