import { afterEach, describe, expect, it, vi } from 'vitest';
import { fitted, shrinkPicture } from './shrink-picture.js';

describe('a camera’s picture', () => {
  it.each([[4000, 3000, 2400, { width: 2400, height: 1800 }], [3000, 4000, 1200, { width: 900, height: 1200 }], [800, 600, 2400, { width: 800, height: 600 }], [4000, 1, 1200, { width: 1200, height: 1 }]])('%i by %i fits %i', (width, height, px, expected) => {
    expect(fitted(width, height, px)).toEqual(expected);
  });

  const jpeg = new Uint8Array([0xff, 0xd8, 0xff, 0xda, 0, 2, 1, 2, 0xff, 0xd9]);
  const heic = new Uint8Array([0, 0, 0, 24, ...new TextEncoder().encode('ftypheic'), 0, 0, 0, 0]);
  const drawn = { picture: { width: 4000, height: 3000, close: () => undefined }, sizes: [] as number[] };
  /** A browser that can decode what it is given, or cannot. */
  const browser = (decodes: boolean) => {
    vi.stubGlobal('createImageBitmap', () => (decodes ? Promise.resolve(drawn.picture) : Promise.reject(new Error('no'))));
    vi.stubGlobal('OffscreenCanvas', class { constructor(readonly width: number, readonly height: number) { drawn.sizes.push(width); } getContext() { return { drawImage: () => undefined }; } convertToBlob() { return Promise.resolve(new Blob([jpeg], { type: 'image/jpeg' })); } });
  };
  afterEach(() => { vi.unstubAllGlobals(); drawn.sizes = []; });

  it('is left alone when it is small enough and of a kind that is kept', async () => {
    browser(true);
    const file = new File([jpeg], 'door.jpg', { type: 'image/jpeg' });
    expect(await shrinkPicture(file)).toBe(file);
    expect(drawn.sizes).toEqual([]);
  });

  it('of HEIC is drawn to a JPEG where the browser can decode it, however small it is', async () => {
    browser(true);
    const sent = await shrinkPicture(new File([heic], 'IMG_1.HEIC', { type: 'image/heic' }));
    expect([sent.type, drawn.sizes]).toEqual(['image/jpeg', [2400]]);
  });

  it('of HEIC where the browser cannot is refused with what to do; what is no picture at all otherwise', async () => {
    browser(false);
    await expect(shrinkPicture(new File([heic], 'IMG_1.HEIC'))).rejects.toThrow(/IMG_1.HEIC is a HEIC picture.*Most compatible/s);
    await expect(shrinkPicture(new File([new Uint8Array(100)], 'notes.txt'))).rejects.toThrow(/notes.txt could not be read as a picture/);
    await expect(shrinkPicture(new File([jpeg, new Uint8Array(3_000_000)], 'big.jpg'))).rejects.toThrow(/big.jpg could not be read/);
  });
});
