import { Refusal, type EntryCodes } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { entryCodesOf } from './steps.js';

/**
 * Sets a site's code, a new place or a new code in place of the old (IDN-3). The door seals the text; the act never sees it,
 * and nobody reads it back but a technician within their visit's time. Throws NotFound, IdReused.
 */
export const setEntryCode: Act<{ siteId: string; keyId: string; id: string; label: string; sealed: string; digest: string }, EntryCodes> = async (ctx, input) => {
  const { db } = ctx.tx;
  if (ctx.who.userId === null) throw new Refusal('NotAllowed', 'Only a signed-in person sets an entry code.');
  const site = await db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const before = await db.entryCode.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } } });
  if (before && (before.keyId !== input.keyId || before.digest !== input.digest)) throw new Refusal('IdReused', 'This id was already used to set another code. Make a new id.');
  if (before) return entryCodesOf(ctx, input.siteId);
  const key = await db.siteKey.findUnique({ where: { companyId_id: { ...own(ctx), id: input.keyId } } });
  if (key && (key.siteId !== input.siteId || key.kind !== 'code')) throw new Refusal('IdReused', 'This id belongs to another key.');
  if (!key) await db.siteKey.create({ data: { ...own(ctx), id: input.keyId, siteId: input.siteId, kind: 'code', label: input.label } });
  else if (key.label !== input.label) await db.siteKey.update({ where: { companyId_id: { ...own(ctx), id: key.id } }, data: { label: input.label } });
  await db.entryCode.create({ data: { ...own(ctx), id: input.id, keyId: input.keyId, sealed: input.sealed, digest: input.digest, setAt: ctx.now, setBy: ctx.who.userId } });
  await note(ctx, { act: 'set-entry-code', about: 'entry-code', id: input.keyId, siteId: input.siteId, summary: `${key ? 'New code' : 'Code'} for ${input.label} at ${site.name} set` });
  return entryCodesOf(ctx, input.siteId);
};
