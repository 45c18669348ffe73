import { createHash } from 'node:crypto';
import { Refusal, stripPicture, type UploadAttachment } from '@bellround/contracts';
import { readAttachment, requirePicture, type Who } from '@bellround/operations';
import type { Door } from '../door/door.js';
import { pictureKey } from '../pictures/picture-store.js';

/** The bytes of an uploaded picture, found good and stripped of place, moment and maker, and their SHA-256. */
export function pictureOf(input: UploadAttachment): { id: string; content: Uint8Array; digest: string; mime: string } {
  const sent = new Uint8Array(Buffer.from(input.contentBase64, 'base64'));
  const content = stripPicture(sent) ?? sent;
  return { id: input.id, content, mime: requirePicture(content), digest: createHash('sha256').update(content).digest('hex') };
}

/** A picture of the asker's company from wherever it is kept. NotFound, in words, when it is on record and its bytes are gone. */
export async function pictureBytes(door: Door, who: Who, attachmentId: string): Promise<{ mime: string; content: Uint8Array }> {
  const { mime, digest, content } = await door.perform(readAttachment, who, { attachmentId });
  const found = content ?? await door.pictures.get(pictureKey(who.companyId, digest));
  if (!found) throw new Refusal('NotFound', `The picture is on record, but its bytes are not in ${door.pictures.where} any more. Restore them there from your backup.`);
  return { mime, content: found };
}
