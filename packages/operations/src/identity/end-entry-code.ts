import { Refusal, type EndEntryCode, type EntryCodes } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { codeKey, entryCodesOf } from './steps.js';

const ENDED = 'ended';

/** Says that a code opens nothing any more: a further row without a text. Who saw it before stays on record. */
export const endEntryCode: Act<EndEntryCode, EntryCodes> = async (ctx, input) => {
  const { db } = ctx.tx;
  if (ctx.who.userId === null) throw new Refusal('NotAllowed', 'Only a signed-in person ends an entry code.');
  const key = await codeKey(ctx, input.keyId);
  if (key.siteId !== input.siteId) throw new Refusal('NotFound', 'There is no entry code by that id at this site.');
  const before = await db.entryCode.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } } });
  if (before && (before.keyId !== key.id || before.digest !== ENDED)) throw new Refusal('IdReused', 'This id was already used for something else. Make a new id.');
  if (!before && key.codes[0]?.sealed) {
    await db.entryCode.create({ data: { ...own(ctx), id: input.id, keyId: key.id, sealed: null, digest: ENDED, setAt: ctx.now, setBy: ctx.who.userId } });
    await note(ctx, { act: 'end-entry-code', about: 'entry-code', id: key.id, siteId: key.siteId, summary: `Code for ${key.label} at ${key.site.name} ended` });
  }
  return entryCodesOf(ctx, input.siteId);
};
