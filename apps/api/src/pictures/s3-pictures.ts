import { createHash } from 'node:crypto';
import { AwsClient } from 'aws4fetch';
import { PROBE, StoreUnreachable, type PictureStore } from './picture-store.js';

/** Tries of one request, and how long one may take before it counts as not answered. */
const RETRIES = 2;
const REQUEST_MS = 15_000;

interface Account { readonly url: string; readonly region: string; readonly keyId: string; readonly secret: string }

/** What the store answered when it refused: its own name of the fault, as the XML of its answer gives it. */
class StoreRefused extends Error {
  constructor(readonly status: number, readonly code: string, words: string) { super(`${code || status}${words ? `: ${words}` : ''}`); }
}

/** Pictures in one bucket of an S3-compatible store, addressed by path: `https://host:port/bucket`. Requests are signed with Signature Version 4. */
export function s3Pictures({ url, region, keyId, secret }: Account): PictureStore {
  const address = new URL(url);
  const bucket = address.pathname.replaceAll('/', '');
  const client = new AwsClient({ accessKeyId: keyId, secretAccessKey: secret, service: 's3', region, retries: RETRIES });
  const ask = async (method: 'GET' | 'HEAD' | 'PUT', key: string, body?: Uint8Array<ArrayBuffer>, mime?: string): Promise<Response> => {
    const headers = { 'x-amz-content-sha256': createHash('sha256').update(body ?? '').digest('hex'), ...(mime ? { 'content-type': mime } : {}) };
    let answer: Response;
    try {
      answer = await client.fetch(`${address.origin}/${bucket}/${key}`, { method, headers, ...(body ? { body } : {}), signal: AbortSignal.timeout(REQUEST_MS) });
    } catch (error) {
      throw new StoreUnreachable(`the store of pictures ${address.origin} does not answer (${((error as Error).cause as Error | undefined)?.message || (error as Error).message})`);
    }
    // 'not now' is worth trying again; any other refusal is a fault of the settings
    if (answer.status >= 500 || answer.status === 429) throw new StoreUnreachable(`the store of pictures ${address.origin} answers ${answer.status}`);
    return answer;
  };
  const refused = async (answer: Response): Promise<StoreRefused> => {
    const xml = await answer.text();
    const part = (name: string) => new RegExp(`<${name}>([^<]*)</${name}>`).exec(xml)?.[1] ?? '';
    return new StoreRefused(answer.status, part('Code'), part('Message'));
  };
  const write = async (key: string, content: Uint8Array, mime: string): Promise<void> => {
    const answer = await ask('PUT', key, new Uint8Array(content), mime);
    if (!answer.ok) throw await refused(answer);
  };
  const get = async (key: string): Promise<Uint8Array | null> => {
    const answer = await ask('GET', key);
    if (answer.ok) return new Uint8Array(await answer.arrayBuffer());
    const refusal = await refused(answer);
    if (refusal.code === 'NoSuchKey') return null;
    throw refusal;
  };
  return {
    where: `the bucket ${bucket} at ${address.origin}`, get, close: () => undefined,
    put: async (key, content, mime) => { if ((await ask('HEAD', key)).status !== 200) await write(key, content, mime); },
    requireUsable: async () => {
      try {
        await write(PROBE.key, PROBE.content, 'application/octet-stream');
        if ((await get(PROBE.key))?.length !== PROBE.content.length) throw new Error('what was written was not read back');
      } catch (error) {
        throw new Error(`pictures cannot be kept in the bucket '${bucket}' at ${address.origin} (${(error as Error).message}). ${cureOf(error)}`);
      }
    },
  };
}

function cureOf(error: unknown): string {
  if (error instanceof StoreUnreachable) return 'Start that store or correct PICTURES_S3_URL; unset it to keep pictures in a folder.';
  if (!(error instanceof StoreRefused)) return 'Correct PICTURES_S3_URL.';
  if (error.code === 'NoSuchBucket') return 'Make that bucket, or name another at the end of PICTURES_S3_URL.';
  if (error.status === 403) return 'Correct PICTURES_S3_KEY_ID and PICTURES_S3_SECRET, and let that key read and write there.';
  return 'Correct PICTURES_S3_URL, PICTURES_S3_REGION, PICTURES_S3_KEY_ID and PICTURES_S3_SECRET.';
}
