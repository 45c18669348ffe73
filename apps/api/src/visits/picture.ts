import { createHash } from 'node:crypto';
import { stripPicture, type UploadAttachment } from '@bellround/contracts';

/** The bytes of an uploaded picture without place, moment and maker, and their SHA-256; acts have neither base64 nor a hash of bytes. */
export function pictureOf(input: UploadAttachment): { id: string; content: Uint8Array; digest: string } {
  const sent = new Uint8Array(Buffer.from(input.contentBase64, 'base64'));
  const content = stripPicture(sent) ?? sent;
  return { id: input.id, content, digest: createHash('sha256').update(content).digest('hex') };
}
