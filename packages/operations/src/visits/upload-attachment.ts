import { pictureKind, Refusal, stripPicture } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';

/** Largest picture kept, bytes. */
const MOST_BYTES = 2 * 1024 * 1024;

/** Keeps one picture, which its door has stripped of place and maker already. What it is is read from its bytes, never from its name. `digest` is SHA-256 of the bytes, made by the door. */
export const uploadAttachment: Act<{ id: string; content: Uint8Array; digest: string }, { id: string; digest: string; mime: string; bytes: number }> = async (ctx, input) => {
  const before = await ctx.tx.db.attachment.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } }, select: { digest: true, mime: true, bytes: true } });
  if (before && before.digest !== input.digest) throw new Refusal('IdReused', 'This id was already used for another picture.');
  if (before) return { id: input.id, ...before };
  if (input.content.length > MOST_BYTES) throw new Refusal('TooLarge', `The picture has ${input.content.length} bytes; at most ${MOST_BYTES} (2 MB) are kept.`);
  const mime = pictureKind(input.content);
  if (mime === null) throw new Refusal('BadInput', 'contentBase64: this is no picture that is kept; JPEG, PNG and WebP are accepted.', { errors: [{ path: 'contentBase64', message: 'must be a JPEG, PNG or WebP picture' }] });
  if (stripPicture(input.content)?.length !== input.content.length) throw new Refusal('BadInput', 'contentBase64: the picture is damaged, or still says where it was taken; take it again.', { errors: [{ path: 'contentBase64', message: 'must be a whole picture without metadata' }] });
  await ctx.tx.db.attachment.create({ data: { ...own(ctx), id: input.id, digest: input.digest, mime, bytes: input.content.length, content: input.content as Uint8Array<ArrayBuffer>, createdAt: ctx.now, createdBy: ctx.who.userId! } });
  await note(ctx, { act: 'upload-picture', about: 'attachment', id: input.id, summary: `Picture kept (${mime}, ${input.content.length} bytes)` });
  return { id: input.id, digest: input.digest, mime, bytes: input.content.length };
};
