import { pictureKind } from '@bellround/contracts';
import { phrase } from './language/index.js';

/** What the house takes of one picture, bytes (contracts/visits UploadAttachment). */
export const MOST_PICTURE_BYTES = 2_000_000;
/** Long sides and qualities tried in turn, the best that fits first: a meter stays readable at the last of them. */
const TRIES = [{ px: 2400, quality: 0.85 }, { px: 2000, quality: 0.75 }, { px: 1600, quality: 0.7 }, { px: 1200, quality: 0.6 }] as const;

/** The size at which a picture of these pixels has its long side at most `px`, whole pixels, never enlarged. */
export function fitted(width: number, height: number, px: number): { width: number; height: number } {
  const scale = Math.min(1, px / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}

/** ISO/IEC 23008-12: a file-type box whose major brand is one of the HEIF family. */
export function isHeic(start: Uint8Array): boolean {
  const word = (at: number) => String.fromCharCode(...start.subarray(at, at + 4));
  return word(4) === 'ftyp' && ['heic', 'heix', 'hevc', 'hevx', 'heim', 'heis', 'mif1', 'msf1'].includes(word(8));
}

/**
 * The picture as it is when it is small enough and of a kind that is kept, otherwise a JPEG drawn of it: a phone's camera makes four
 * times what may be sent, and some make HEIC, which not every browser can read. Throws in words when it cannot be made fit.
 */
export async function shrinkPicture(file: File, most = MOST_PICTURE_BYTES): Promise<Blob> {
  const start = new Uint8Array(await file.slice(0, 16).arrayBuffer());
  if (file.size <= most && pictureKind(start) !== null) return file;
  let picture: ImageBitmap;
  try {
    picture = await createImageBitmap(file);
  } catch {
    throw new Error(isHeic(start) ? phrase('app.name-is-heic-which-this-browser-cannot', { name: file.name }) : phrase('app.name-could-not-be-read-as-a', { name: file.name }));
  }
  try {
    for (const { px, quality } of TRIES) {
      const size = fitted(picture.width, picture.height, px);
      const canvas = new OffscreenCanvas(size.width, size.height);
      canvas.getContext('2d')!.drawImage(picture, 0, 0, size.width, size.height);
      const smaller = await canvas.convertToBlob({ type: 'image/jpeg', quality });
      if (smaller.size <= most) return smaller;
    }
    throw new Error(phrase('app.name-stays-larger-than-2-mb', { name: file.name }));
  } finally {
    picture.close();
  }
}
