import { Refusal } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';

/**
 * Writes down one picture, whose bytes its door has stripped of place and maker, found good (requirePicture) and put into the store:
 * what is on record is always there to be seen. `digest` is SHA-256 of the bytes, and with the company their key in the store.
 */
export const uploadAttachment: Act<{ id: string; digest: string; mime: string; bytes: number }, { id: string; digest: string; mime: string; bytes: number }> = async (ctx, input) => {
  const before = await ctx.tx.db.attachment.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } }, select: { digest: true, mime: true, bytes: true } });
  if (before && before.digest !== input.digest) throw new Refusal('IdReused', 'This id was already used for another picture.');
  if (before) return { id: input.id, ...before };
  await ctx.tx.db.attachment.create({ data: { ...own(ctx), id: input.id, digest: input.digest, mime: input.mime, bytes: input.bytes, createdAt: ctx.now, createdBy: ctx.who.userId! } });
  await note(ctx, { act: 'upload-picture', about: 'attachment', id: input.id, summary: `Picture kept (${input.mime}, ${input.bytes} bytes)` });
  return { id: input.id, digest: input.digest, mime: input.mime, bytes: input.bytes };
};
