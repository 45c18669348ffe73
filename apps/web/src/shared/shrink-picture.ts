/** What the house takes of one picture, bytes (contracts/visits UploadAttachment). */
export const MOST_PICTURE_BYTES = 2_000_000;
/** Long sides and qualities tried in turn, the best that fits first: a meter stays readable at the last of them. */
const TRIES = [{ px: 2400, quality: 0.85 }, { px: 2000, quality: 0.75 }, { px: 1600, quality: 0.7 }, { px: 1200, quality: 0.6 }] as const;

/** The size at which a picture of these pixels has its long side at most `px`, whole pixels, never enlarged. */
export function fitted(width: number, height: number, px: number): { width: number; height: number } {
  const scale = Math.min(1, px / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}

/**
 * The picture as it is when it is small enough, otherwise a smaller JPEG of it: a phone's camera makes four times what may
 * be sent. Throws in words when the file is no picture or cannot be made small enough.
 */
export async function shrinkPicture(file: File, most = MOST_PICTURE_BYTES): Promise<Blob> {
  if (file.size <= most) return file;
  let picture: ImageBitmap;
  try {
    picture = await createImageBitmap(file);
  } catch {
    throw new Error(`${file.name} is larger than 2 MB and could not be read as a picture; take it as JPEG or PNG.`);
  }
  try {
    for (const { px, quality } of TRIES) {
      const size = fitted(picture.width, picture.height, px);
      const canvas = new OffscreenCanvas(size.width, size.height);
      canvas.getContext('2d')!.drawImage(picture, 0, 0, size.width, size.height);
      const smaller = await canvas.convertToBlob({ type: 'image/jpeg', quality });
      if (smaller.size <= most) return smaller;
    }
    throw new Error(`${file.name} stays larger than 2 MB however it is made smaller; take it again.`);
  } finally {
    picture.close();
  }
}
