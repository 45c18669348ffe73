import { placeOfPicture, stripPicture } from '@bellround/contracts';
import { phrase } from './language/index.js';
import { shrinkPicture } from './shrink-picture.js';

export interface ReadyPicture { readonly contentBase64: string; readonly place: { readonly lat: number; readonly lon: number } | null }

/**
 * A picture as it may leave this device: small enough, without place, moment and maker. `place` is what it said of where it was taken,
 * for whoever wants that kept beside it. Throws in words when it is no picture that can be sent.
 */
export async function readyPicture(file: File): Promise<ReadyPicture> {
  const place = placeOfPicture(new Uint8Array(await file.arrayBuffer()));
  const bytes = stripPicture(new Uint8Array(await (await shrinkPicture(file)).arrayBuffer()));
  if (!bytes) throw new Error(phrase('app.name-is-no-whole-picture-take-it', { name: file.name }));
  let text = '';
  for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return { contentBase64: btoa(text), place };
}
