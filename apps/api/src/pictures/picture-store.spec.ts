import { mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { createServer, type AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readSettings, Settings } from '@bellround/contracts';
import S3rver from 's3rver';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openSignatureGuard } from '../testing/signature-guard.js';
import { openPictureStore } from './open-picture-store.js';
import { pictureKey, StoreUnreachable, type PictureStore } from './picture-store.js';

const OURS = '0190b000-0000-7000-8000-000000000001';
const THEIRS = '0190b000-0000-7000-8000-000000000002';
const [ONE, TWO] = ['a1'.repeat(32), 'b2'.repeat(32)] as const;
const bytes = (length: number) => Uint8Array.from({ length }, (_, n) => (n * 31) % 256);
/** What that test server's only account is called. */
const KEY = 'S3RVER';

let folder: string;
let server: S3rver;
let guard: Awaited<ReturnType<typeof openSignatureGuard>>;
let origin: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'pictures-'));
  server = new S3rver({ port: 0, address: '127.0.0.1', silent: true, directory: join(folder, 's3'), configureBuckets: [{ name: 'pictures', configs: [] }] });
  const { port } = await server.run();
  guard = await openSignatureGuard(port, KEY);
  origin = guard.origin;
});
afterAll(async () => {
  await guard.close();
  await server.close();
  await rm(folder, { recursive: true, force: true });
});

const s3 = (over: Record<string, string> = {}) => openPictureStore(Settings.parse({ PICTURES_S3_URL: `${origin}/pictures`, PICTURES_S3_KEY_ID: KEY, PICTURES_S3_SECRET: KEY, ...over }), folder);
const disk = (dir: string) => openPictureStore(Settings.parse({ PICTURES_DIR: dir }), '/nowhere');
const both: [string, () => Promise<PictureStore>][] = [['a folder', () => disk(join(folder, 'kept'))], ['an S3-compatible store', () => s3()]];

describe.each(both)('[PIC-2] pictures in %s', (_, open) => {
  it('are what was put there, byte for byte, also an empty one and one of 2 MB', async () => {
    const store = await open();
    await store.requireUsable();
    for (const [digest, length] of [[ONE, 0], [TWO, 2 * 1024 * 1024]] as const) {
      await store.put(pictureKey(OURS, digest), bytes(length), 'image/jpeg');
      const found = await store.get(pictureKey(OURS, digest));
      expect(found !== null && Buffer.from(bytes(length)).equals(found)).toBe(true);
    }
    store.close();
  });

  it('kept again, also at once, are kept once; what is there is never overwritten', async () => {
    const store = await open();
    const key = pictureKey(THEIRS, ONE);
    await Promise.all(Array.from({ length: 5 }, () => store.put(key, bytes(1000), 'image/png')));
    await store.put(key, bytes(10), 'image/png');
    expect((await store.get(key))?.length).toBe(1000);
    store.close();
  });

  it('that are not there are null, also under another company\'s name', async () => {
    const store = await open();
    await store.put(pictureKey(OURS, 'c3'.repeat(32)), bytes(5), 'image/webp');
    expect(await store.get(pictureKey(THEIRS, 'c3'.repeat(32)))).toBeNull();
    expect(await store.get(pictureKey(OURS, 'd4'.repeat(32)))).toBeNull();
    store.close();
  });
});

it('a key is made of a company and a digest only: no path leads out of the store', () => {
  for (const [company, digest] of [['../../etc', ONE], [OURS, '../passwd'], ['', ''], [OURS, ONE.toUpperCase()]] as const) expect(() => pictureKey(company, digest)).toThrow('company and a digest');
});

it('a folder holds whole pictures only, each in its company\'s', async () => {
  const store = await disk(join(folder, 'tidy'));
  await store.requireUsable();
  await store.put(pictureKey(OURS, ONE), bytes(3), 'image/jpeg');
  expect(await readdir(join(folder, 'tidy', OURS))).toEqual([ONE]);
});

describe('[PIC-3] a wrong setting refuses to start and names the cure', () => {
  it('a folder that is no folder', async () => {
    await writeFile(join(folder, 'file'), 'x');
    await expect((await disk(join(folder, 'file'))).requireUsable()).rejects.toThrow(/^PICTURES_DIR: pictures cannot be kept in .*file .*Make that folder writable/s);
  });

  it.each([
    ['another secret', { PICTURES_S3_SECRET: 'wrong' }, /Correct PICTURES_S3_KEY_ID and PICTURES_S3_SECRET/],
    ['another key', { PICTURES_S3_KEY_ID: 'NOBODY' }, /Correct PICTURES_S3_KEY_ID and PICTURES_S3_SECRET/],
  ])('%s', async (_, over, words) => {
    await expect((await s3(over)).requireUsable()).rejects.toThrow(words);
  });

  it('a bucket that does not exist, and a store that does not answer', async () => {
    await expect((await s3({ PICTURES_S3_URL: `${origin}/elsewhere` })).requireUsable()).rejects.toThrow(/'elsewhere'.*Make that bucket, or name another/s);
    const closed = createServer();
    await new Promise<void>((resolve) => { closed.listen(0, '127.0.0.1', resolve); });
    const { port } = closed.address() as AddressInfo;
    await new Promise((resolve) => { closed.close(resolve); });
    const gone = await s3({ PICTURES_S3_URL: `http://127.0.0.1:${port}/pictures` });
    await expect(gone.requireUsable()).rejects.toThrow(/Start that store or correct PICTURES_S3_URL/);
    await expect(gone.put(pictureKey(OURS, ONE), bytes(3), 'image/jpeg')).rejects.toBeInstanceOf(StoreUnreachable);
    await expect(gone.get(pictureKey(OURS, ONE))).rejects.toBeInstanceOf(StoreUnreachable);
  });

  it('half an account, an address without a bucket, another scheme', () => {
    const words = (environment: Record<string, string>) => { try { readSettings(environment); return null; } catch (error) { return (error as Error).message; } };
    expect(words({ PICTURES_S3_URL: 'https://store.example/pictures', PICTURES_S3_KEY_ID: 'K' })).toMatch(/PICTURES_S3_SECRET: must be set too, since PICTURES_S3_URL is/);
    expect(words({ PICTURES_S3_URL: 'https://store.example', PICTURES_S3_KEY_ID: 'K', PICTURES_S3_SECRET: 'S' })).toMatch(/PICTURES_S3_URL: must end in the name of one bucket/);
    expect(words({ PICTURES_S3_URL: 'ftp://store.example/pictures' })).toMatch(/PICTURES_S3_URL: must be a URL beginning with http/);
    expect(words({ PICTURES_S3_URL: 'https://store.example:9000/pictures', PICTURES_S3_KEY_ID: 'K', PICTURES_S3_SECRET: 'S' })).toBeNull();
  });
});
