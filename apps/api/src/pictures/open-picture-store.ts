import { join } from 'node:path';
import type { Settings } from '@bellround/contracts';
import { diskPictures } from './disk-pictures.js';
import type { PictureStore } from './picture-store.js';

/** The store that the settings name: an S3-compatible one when PICTURES_S3_URL is set, otherwise a folder. */
export async function openPictureStore(settings: Settings, dataRoot: string): Promise<PictureStore> {
  if (!settings.PICTURES_S3_URL) return diskPictures(settings.PICTURES_DIR ?? join(dataRoot, 'pictures'));
  // loaded only where it is asked for: a folder needs none of it
  const { s3Pictures } = await import('./s3-pictures.js');
  return s3Pictures({ url: settings.PICTURES_S3_URL, region: settings.PICTURES_S3_REGION, keyId: settings.PICTURES_S3_KEY_ID!, secret: settings.PICTURES_S3_SECRET! });
}
