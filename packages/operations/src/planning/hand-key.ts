import { Refusal, type HandKey, type SiteNeeds } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { siteNeedsOf } from '../rounds-need.js';
import { note, own } from '../steps.js';

/** Records who has a key now. Append-only: who had it before stays on record. The same id and body again: the same answer. Throws NotFound, IdReused. */
export const handKey: Act<HandKey, SiteNeeds> = async (ctx, input) => {
  const key = await ctx.tx.db.siteKey.findUnique({ where: { companyId_id: { ...own(ctx), id: input.keyId } } });
  if (!key || key.kind === 'code') throw new Refusal('NotFound', 'There is no key by that id.');
  const known = await ctx.tx.db.custody.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } } });
  if (known) {
    if (known.keyId !== key.id || known.holderKind !== input.holderKind || known.technicianId !== input.technicianId || known.holderName !== input.holderName) throw new Refusal('IdReused', 'This id was used for another handing over.');
    return siteNeedsOf(ctx, key.siteId);
  }
  if (input.technicianId !== null && !await ctx.tx.db.technician.findUnique({ where: { companyId_id: { ...own(ctx), id: input.technicianId } } })) throw new Refusal('NotFound', 'There is no technician by that id.');
  await ctx.tx.db.custody.create({ data: { ...own(ctx), id: input.id, keyId: key.id, holderKind: input.holderKind, technicianId: input.technicianId, holderName: input.holderName, at: ctx.now, recordedBy: ctx.who.name } });
  await note(ctx, { act: 'hand-key', about: 'site', id: key.siteId, siteId: key.siteId, summary: `Key ${key.label} is with ${input.holderName}` });
  return siteNeedsOf(ctx, key.siteId);
};
