/**
 * Where the bytes of pictures are kept. A key is made by the house from company and content, so the same picture kept again is the
 * same object and nothing is ever overwritten by something else.
 */
export interface PictureStore {
  /** for people: which store this is */
  readonly where: string;
  /** Keeps the bytes; kept before, nothing changes. Throws StoreUnreachable. */
  put(key: string, content: Uint8Array, mime: string): Promise<void>;
  /** The bytes, or null when nothing is kept under that key. Throws StoreUnreachable. */
  get(key: string): Promise<Uint8Array | null>;
  /** Writes and reads a few bytes; throws an error whose message names the wrong setting and its cure. */
  requireUsable(): Promise<void>;
  close(): void;
}

/** The store does not answer now; the same request may succeed later. */
export class StoreUnreachable extends Error {}

/** The key of a picture: its company, and SHA-256 of its bytes. */
export function pictureKey(companyId: string, digest: string): string {
  if (!/^[0-9a-f-]{36}$/.test(companyId) || !/^[0-9a-f]{64}$/.test(digest)) throw new Error('a key of a picture is made of a company and a digest');
  return `${companyId}/${digest}`;
}

/** What is written and read back to see that a store can be used. */
export const PROBE = { key: 'probe/usable', content: new Uint8Array([98, 101, 108, 108]) };
