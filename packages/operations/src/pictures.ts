import { pictureKind, Refusal, stripPicture } from '@bellround/contracts';

// What is kept as a picture. Shared by the door, which stores the bytes, and by nobody else; no act.

/** Largest picture kept, bytes. */
const MOST_BYTES = 2 * 1024 * 1024;

/** What a picture is, read from its bytes and never from its name. Throws TooLarge, and BadInput for what is no whole picture without metadata. */
export function requirePicture(content: Uint8Array): string {
  if (content.length > MOST_BYTES) throw new Refusal('TooLarge', `The picture has ${content.length} bytes; at most ${MOST_BYTES} (2 MB) are kept.`);
  const mime = pictureKind(content);
  if (mime === null) throw new Refusal('BadInput', 'contentBase64: this is no picture that is kept; JPEG, PNG and WebP are accepted.', { errors: [{ path: 'contentBase64', message: 'must be a JPEG, PNG or WebP picture' }] });
  if (stripPicture(content)?.length !== content.length) throw new Refusal('BadInput', 'contentBase64: the picture is damaged, or still says where it was taken; take it again.', { errors: [{ path: 'contentBase64', message: 'must be a whole picture without metadata' }] });
  return mime;
}
