import { createHash } from 'node:crypto';
import type { UploadAttachment } from '@bellround/contracts';

/** The bytes of an uploaded picture and their SHA-256; acts have neither base64 nor a hash of bytes. */
export function pictureOf(input: UploadAttachment): { id: string; content: Uint8Array; digest: string } {
  const content = new Uint8Array(Buffer.from(input.contentBase64, 'base64'));
  return { id: input.id, content, digest: createHash('sha256').update(content).digest('hex') };
}
