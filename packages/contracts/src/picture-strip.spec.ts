import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pictureKind, stripPicture } from './picture-strip.js';

const bytes = (text: string): number[] => [...text].map((letter) => letter.charCodeAt(0));
const segment = (marker: number, body: readonly number[]): number[] => [0xff, marker, (body.length + 2) >> 8, (body.length + 2) & 255, ...body];
const entry = (tag: number, type: number, value: number) => [tag >> 8, tag & 255, 0, type, 0, 0, 0, 1, ...(type === 3 ? [value >> 8, value & 255, 0, 0] : [0, 0, 0, value])];
/** big-endian TIFF: way up and a pointer (0x8825) to a GPS directory whose text is readable */
const exif = (wayUp: number) => [...bytes('Exif\0\0MM'), 0, 42, 0, 0, 0, 8, 0, 2, ...entry(0x0112, 3, wayUp), ...entry(0x8825, 4, 38), 0, 0, 0, 0, ...bytes('GPS 40.7128N 074.0060W')];
const littleExif = [...bytes('Exif\0\0II'), 42, 0, 8, 0, 0, 0, 1, 0, 0x12, 0x01, 3, 0, 1, 0, 0, 0, 6, 0, 0, 0, 0, 0, 0, 0];
const JFIF = segment(0xe0, [...bytes('JFIF\0'), 1, 1, 0, 0, 1, 0, 1, 0, 0]);
const TABLE = segment(0xdb, [0, ...Array.from({ length: 64 }, () => 1)]);
const SCAN = [...segment(0xda, [1, 1, 0, 0, 63, 0]), 0x12, 0xff, 0x00, 0x34, 0xff, 0xd0, 0x56];
const jpeg = (...metadata: number[]) => new Uint8Array([0xff, 0xd8, ...JFIF, ...metadata, ...TABLE, ...SCAN, 0xff, 0xd9]);
const text = (content: Uint8Array | null) => String.fromCharCode(...content!);
const chunk = (name: string, body: readonly number[]) => [0, 0, 0, body.length, ...bytes(name), ...body, 1, 2, 3, 4];
const png = (...more: number[]) => new Uint8Array([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, ...chunk('IHDR', [1, 2, 3]), ...more, ...chunk('IDAT', [9]), ...chunk('IEND', [])]);
const riff = (name: string, body: readonly number[]) => [...bytes(name), body.length, 0, 0, 0, ...body, ...(body.length % 2 ? [0] : [])];
const webp = (chunks: readonly number[]) => new Uint8Array([...bytes('RIFF'), chunks.length + 4, 0, 0, 0, ...bytes('WEBP'), ...chunks]);

describe('[PIC-1] what tells the place leaves a picture before it is kept', () => {
  it('JPEG: Exif with GPS, XMP, maker blocks, comments and a second picture behind the first go; pixels stay byte for byte', () => {
    const dirty = new Uint8Array([...jpeg(...segment(0xe1, exif(1)), ...segment(0xe1, bytes('http://ns.adobe.com/xap/1.0/\0<exif:GPSLatitude>')), ...segment(0xed, bytes('Photoshop City')), ...segment(0xe5, bytes('maker GPS')), ...segment(0xfe, bytes('GPS comment'))), ...jpeg(...segment(0xe1, exif(1)))]);
    expect(text(dirty)).toContain('GPS 40.7128N');
    expect(stripPicture(dirty)).toEqual(jpeg());
  });

  it('JPEG: its way up stays, alone, of either byte order; the colour profile and transform stay', () => {
    const up = stripPicture(jpeg(...segment(0xe1, exif(6))))!;
    expect(text(up)).not.toContain('GPS');
    expect(stripPicture(jpeg(...segment(0xe1, littleExif)))).toEqual(up);
    expect(up.length).toBe(jpeg().length + 36);
    const colour = jpeg(...segment(0xe2, [...bytes('ICC_PROFILE\0'), 1, 1, 7]), ...segment(0xee, [...bytes('Adobe'), 0, 100, 0, 0, 0, 0, 1]));
    expect(stripPicture(colour)).toEqual(colour);
  });

  it('PNG and WebP: their Exif, text and XMP go, and nothing is promised that is not there', () => {
    expect(stripPicture(png(...chunk('eXIf', bytes('GPS')), ...chunk('tEXt', bytes('Location')), ...chunk('prVt', [1])))).toEqual(png());
    const picture = riff('VP8L', [5, 6, 7]);
    const dirty = webp([...riff('VP8X', [0x1c, 0, 0, 0, 0, 0, 0, 0, 0, 0]), ...picture, ...riff('EXIF', bytes('GPS!')), ...riff('XMP ', bytes('GPS'))]);
    expect(stripPicture(dirty)).toEqual(webp([...riff('VP8X', [0x10, 0, 0, 0, 0, 0, 0, 0, 0, 0]), ...picture]));
  });

  it('stripping twice changes nothing; what is damaged or no picture is null, never a throw', () => {
    for (const one of [jpeg(...segment(0xe1, exif(8))), png(), webp(riff('VP8 ', [1, 2]))]) expect(stripPicture(stripPicture(one)!)).toEqual(stripPicture(one));
    expect([bytes('<svg>'), [0xff, 0xd8, 0xff, 0xe0, 1, 2, 3], [...png()].slice(0, 30), [...webp(riff('VP8 ', [1, 2]))].slice(0, 20)].map((one) => stripPicture(new Uint8Array(one)))).toEqual([null, null, null, null]);
  });

  it('property: cut or bent anywhere it answers; what is answered holds no text of the place (seed 4)', () => {
    const whole = jpeg(...segment(0xe1, exif(3)));
    let answered = 0;
    fc.assert(fc.property(fc.nat(whole.length), fc.nat(whole.length - 1), fc.nat(255), (length, at, value) => {
      const bent = whole.slice(0, length);
      if (at < length) bent[at] = value;
      const out = stripPicture(bent);
      if (out) { answered++; expect(pictureKind(out)).toBe('image/jpeg'); expect(stripPicture(out)).toEqual(out); }
    }), { seed: 4, numRuns: 2000 });
    expect(answered).toBeGreaterThan(20);
  });
});
