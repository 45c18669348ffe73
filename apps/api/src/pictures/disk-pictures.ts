import { randomBytes } from 'node:crypto';
import { mkdir, readFile, rename, rm, stat, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { PROBE, StoreUnreachable, type PictureStore } from './picture-store.js';

/** Not there now, or full: what may be mended without another setting. */
const PASSING = new Set(['ENOSPC', 'EIO', 'EBUSY', 'ESTALE', 'EMFILE', 'ENFILE', 'EDQUOT', 'EROFS', 'ENOTDIR', 'EACCES', 'EPERM']);

/** Pictures in a folder. A file is written beside its place and moved into it whole, so that a crash leaves no half picture. */
export function diskPictures(folder: string): PictureStore {
  const fileOf = (key: string) => join(folder, key);
  const reach = async <T>(work: () => Promise<T>): Promise<T> => {
    try {
      return await work();
    } catch (error) {
      const { code, message } = error as NodeJS.ErrnoException;
      if (code && PASSING.has(code)) throw new StoreUnreachable(`the folder of pictures ${folder} cannot be used now (${message})`);
      throw error;
    }
  };
  const isThere = (file: string) => stat(file).then((found) => found.isFile(), () => false);
  const put = async (key: string, content: Uint8Array): Promise<void> => reach(async () => {
    if (await isThere(fileOf(key))) return;
    await mkdir(dirname(fileOf(key)), { recursive: true, mode: 0o750 });
    const beside = `${fileOf(key)}.${randomBytes(6).toString('hex')}.part`;
    try {
      await writeFile(beside, content, { mode: 0o640, flush: true });
      await rename(beside, fileOf(key));
    } finally {
      await rm(beside, { force: true });
    }
  });
  const get = (key: string): Promise<Uint8Array | null> => reach(async () => {
    try {
      return new Uint8Array(await readFile(fileOf(key)));
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
      throw error;
    }
  });
  return {
    where: `the folder ${folder}`, put, get, close: () => undefined,
    requireUsable: async () => {
      try {
        await rm(fileOf(PROBE.key), { force: true });
        await put(PROBE.key, PROBE.content);
        await rm(fileOf(PROBE.key), { force: true });
      } catch (error) {
        throw new Error(`PICTURES_DIR: pictures cannot be kept in ${folder} (${(error as Error).message}). Make that folder writable for this user, name another one in PICTURES_DIR, or set PICTURES_S3_URL.`);
      }
    },
  };
}
