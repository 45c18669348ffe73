import { pictureKind } from './picture-strip.js';

/**
 * Where a JPEG says it was taken: Exif 2.3 in APP1, its GPS directory (tag 0x8825), latitude and longitude in degrees, minutes and
 * seconds. Null when it says nothing, or nothing that can be a place on earth. Read on the phone only, and only when whoever took it
 * wants the place kept; the picture itself leaves without it (picture-strip).
 */
export function placeOfPicture(content: Uint8Array): { lat: number; lon: number } | null {
  if (pictureKind(content) !== 'image/jpeg') return null;
  const exif = exifOf(content);
  if (exif === null) return null;
  try {
    return placeIn(exif);
  } catch {
    return null; // a directory that points outside its block
  }
}

const EXIF = [0x45, 0x78, 0x69, 0x66, 0, 0];

/** The TIFF part of the first Exif block before the coded data. */
function exifOf(content: Uint8Array): DataView | null {
  for (let at = 2; at + 4 <= content.length && content[at] === 0xff && content[at + 1] !== 0xda;) {
    const length = (content[at + 2]! << 8) | content[at + 3]!;
    if (content[at + 1] === 0xe1 && EXIF.every((byte, n) => content[at + 4 + n] === byte)) return new DataView(content.buffer, content.byteOffset + at + 10, Math.min(length - 8, content.length - at - 10));
    at += 2 + length;
  }
  return null;
}

const GPS = 0x8825;
const [LAT_REF, LAT, LON_REF, LON] = [1, 2, 3, 4];

function placeIn(tiff: DataView): { lat: number; lon: number } | null {
  const isLittle = tiff.getUint16(0) === 0x4949;
  const gpsAt = entriesAt(tiff, tiff.getUint32(4, isLittle), isLittle).get(GPS);
  if (gpsAt === undefined) return null;
  const gps = entriesAt(tiff, tiff.getUint32(gpsAt, isLittle), isLittle);
  const degrees = (tag: number, refTag: number, negative: string): number | null => {
    const [at, refAt] = [gps.get(tag), gps.get(refTag)];
    if (at === undefined || refAt === undefined) return null;
    const start = tiff.getUint32(at, isLittle);
    const part = (n: number) => tiff.getUint32(start + n * 8, isLittle) / tiff.getUint32(start + n * 8 + 4, isLittle);
    const value = part(0) + part(1) / 60 + part(2) / 3600;
    return String.fromCharCode(tiff.getUint8(refAt)) === negative ? -value : value;
  };
  const [lat, lon] = [degrees(LAT, LAT_REF, 'S'), degrees(LON, LON_REF, 'W')];
  return lat !== null && lon !== null && Math.abs(lat) <= 90 && Math.abs(lon) <= 180 ? { lat: round(lat), lon: round(lon) } : null;
}

/** A metre is about 0.00001 degrees; more is not known. */
const round = (degrees: number): number => Math.round(degrees * 1e5) / 1e5;

/** Where the value, or the offset of the value, of each tag of a directory stands. */
function entriesAt(tiff: DataView, start: number, isLittle: boolean): Map<number, number> {
  return new Map(Array.from({ length: tiff.getUint16(start, isLittle) }, (_, n) => [tiff.getUint16(start + 2 + n * 12, isLittle), start + 2 + n * 12 + 8]));
}
