import { describe, expect, it } from 'vitest';
import { placeOfPicture } from './picture-place.js';
import { stripPicture } from './picture-strip.js';

/** A JPEG whose Exif block has one GPS directory; degrees, minutes and hundredths of seconds. */
function taken(lat: readonly [string, number, number, number], lon: readonly [string, number, number, number], isLittle = false): Uint8Array {
  const tiff = new DataView(new ArrayBuffer(8 + 18 + 54 + 48));
  tiff.setUint16(0, isLittle ? 0x4949 : 0x4d4d);
  tiff.setUint16(2, 42, isLittle);
  tiff.setUint32(4, 8, isLittle);
  tiff.setUint16(8, 1, isLittle);
  const entry = (at: number, tag: number, type: number, count: number, value: number, isText = false) => {
    tiff.setUint16(at, tag, isLittle);
    tiff.setUint16(at + 2, type, isLittle);
    tiff.setUint32(at + 4, count, isLittle);
    if (isText) tiff.setUint8(at + 8, value);
    else tiff.setUint32(at + 8, value, isLittle);
  };
  entry(10, 0x8825, 4, 1, 26);
  tiff.setUint16(26, 4, isLittle);
  entry(28, 1, 2, 2, lat[0].charCodeAt(0), true);
  entry(40, 2, 5, 3, 80);
  entry(52, 3, 2, 2, lon[0].charCodeAt(0), true);
  entry(64, 4, 5, 3, 104);
  for (const [start, [, degrees, minutes, hundredths]] of [[80, lat], [104, lon]] as const) for (const [n, [over, under]] of ([[degrees, 1], [minutes, 1], [hundredths, 100]] as const).entries()) {
    tiff.setUint32(start + n * 8, over, isLittle);
    tiff.setUint32(start + n * 8 + 4, under, isLittle);
  }
  const block = [0x45, 0x78, 0x69, 0x66, 0, 0, ...new Uint8Array(tiff.buffer)];
  return new Uint8Array([0xff, 0xd8, 0xff, 0xe1, 0, block.length + 2, ...block, 0xff, 0xda, 0, 2, 1, 2, 0xff, 0xd9]);
}

describe('[PIC-1] where a picture was taken', () => {
  it.each([['big-endian', false], ['little-endian', true]])('is read from its Exif block, %s, to about a metre', (_, isLittle) => {
    expect(placeOfPicture(taken(['N', 40, 6, 3600], ['W', 3, 12, 0], isLittle))).toEqual({ lat: 40.11, lon: -3.2 });
    expect(placeOfPicture(taken(['S', 33, 30, 0], ['E', 151, 0, 1800], isLittle))).toEqual({ lat: -33.5, lon: 151.005 });
  });

  it('is nothing after stripping, in a picture without one, in what is no place, and in a damaged block', () => {
    const picture = taken(['N', 40, 6, 3600], ['W', 3, 12, 0]);
    expect(placeOfPicture(stripPicture(picture)!)).toBeNull();
    expect(placeOfPicture(new Uint8Array([0xff, 0xd8, 0xff, 0xda, 0, 2, 1, 2, 0xff, 0xd9]))).toBeNull();
    expect(placeOfPicture(taken(['N', 97, 0, 0], ['W', 3, 0, 0]))).toBeNull();
    expect(placeOfPicture(new Uint8Array([1, 2, 3]))).toBeNull();
    for (let length = 0; length < picture.length; length++) expect(() => placeOfPicture(picture.slice(0, length))).not.toThrow();
    const far = picture.slice();
    far.set([0xff, 0xff, 0xff, 0xff], 12 + 18);
    expect(placeOfPicture(far)).toBeNull();
  });
});
