import { createHash } from 'node:crypto';
import type { Readable } from 'node:stream';
import { Refusal } from '@bellround/contracts';
import type { UploadedFile } from '@bellround/operations';

/** The body of a CSV upload as an act reads it: once, as it arrives, with its digest. */
export function uploadedFile(body: unknown): UploadedFile {
  if (!body || typeof (body as Readable).pipe !== 'function') throw new Refusal('BadInput', 'The body must be the CSV file itself, with content type text/csv.');
  const hash = createHash('sha256');
  async function* bytes(): AsyncGenerator<Uint8Array> {
    // A reader that stops early must not take the connection down with it: the refusal still has to reach the person.
    for await (const piece of (body as Readable).iterator({ destroyOnReturn: false }) as AsyncIterable<Uint8Array>) {
      hash.update(piece);
      yield piece;
    }
  }
  return { bytes: bytes(), digest: () => hash.digest('hex') };
}
