import { Refusal } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';

/** Largest picture kept, bytes. */
const MOST_BYTES = 2 * 1024 * 1024;

/** First bytes of the picture formats that are kept (their own specifications: JPEG SOI, PNG signature, RIFF....WEBP). */
function pictureType(content: Uint8Array): string | null {
  const starts = (bytes: readonly number[], at = 0) => bytes.every((byte, i) => content[at + i] === byte);
  if (starts([0xff, 0xd8, 0xff])) return 'image/jpeg';
  if (starts([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])) return 'image/png';
  if (starts([0x52, 0x49, 0x46, 0x46]) && starts([0x57, 0x45, 0x42, 0x50], 8)) return 'image/webp';
  return null;
}

/** Keeps one picture as it is. What it is is read from its bytes, never from its name. `digest` is SHA-256 of the bytes, made by the door. */
export const uploadAttachment: Act<{ id: string; content: Uint8Array; digest: string }, { id: string; digest: string; mime: string; bytes: number }> = async (ctx, input) => {
  const before = await ctx.tx.db.attachment.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } }, select: { digest: true, mime: true, bytes: true } });
  if (before && before.digest !== input.digest) throw new Refusal('IdReused', 'This id was already used for another picture.');
  if (before) return { id: input.id, ...before };
  if (input.content.length > MOST_BYTES) throw new Refusal('TooLarge', `The picture has ${input.content.length} bytes; at most ${MOST_BYTES} (2 MB) are kept.`);
  const mime = pictureType(input.content);
  if (mime === null) throw new Refusal('BadInput', 'contentBase64: this is no picture that is kept; JPEG, PNG and WebP are accepted.', { errors: [{ path: 'contentBase64', message: 'must be a JPEG, PNG or WebP picture' }] });
  await ctx.tx.db.attachment.create({ data: { ...own(ctx), id: input.id, digest: input.digest, mime, bytes: input.content.length, content: input.content as Uint8Array<ArrayBuffer>, createdAt: ctx.now, createdBy: ctx.who.userId! } });
  await note(ctx, { act: 'upload-picture', about: 'attachment', id: input.id, summary: `Picture kept (${mime}, ${input.content.length} bytes)` });
  return { id: input.id, digest: input.digest, mime, bytes: input.content.length };
};
