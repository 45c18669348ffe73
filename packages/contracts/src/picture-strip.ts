/**
 * Takes out of a picture what tells where, when and with what it was taken, and leaves its pixels byte for byte. Only parts
 * that are needed to show it are kept, so an unknown block never slips through. Used on the phone before a picture is queued and
 * again by the house. Formats: JPEG (ITU-T T.81 annex B; Exif 2.3 in APP1), PNG (W3C PNG, chunks), WebP (RFC 9649, RIFF chunks).
 */
export type PictureKind = 'image/jpeg' | 'image/png' | 'image/webp';

const PNG_SIGNATURE = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];
const has = (content: Uint8Array, bytes: readonly number[], at = 0): boolean => bytes.every((byte, i) => content[at + i] === byte);
const letters = (content: Uint8Array, at: number, count: number): string => String.fromCharCode(...content.subarray(at, at + count));

/** What a picture is by its first bytes, never by its name; null for what is not kept. */
export function pictureKind(content: Uint8Array): PictureKind | null {
  if (has(content, [0xff, 0xd8, 0xff])) return 'image/jpeg';
  if (has(content, PNG_SIGNATURE)) return 'image/png';
  if (letters(content, 0, 4) === 'RIFF' && letters(content, 8, 4) === 'WEBP') return 'image/webp';
  return null;
}

/** The picture without its metadata; of a JPEG only its way up stays. Null when it is no such picture or is damaged. Stripping twice changes nothing more. */
export function stripPicture(content: Uint8Array): Uint8Array | null {
  const kind = pictureKind(content);
  if (kind === 'image/jpeg') return stripJpeg(content);
  if (kind === 'image/png') return stripPng(content);
  return kind === 'image/webp' ? stripWebp(content) : null;
}

function joined(parts: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) { all.set(part, at); at += part.length; }
  return all;
}

const SOI = 0xd8, EOI = 0xd9, SOS = 0xda, APP0 = 0xe0, APP1 = 0xe1, APP2 = 0xe2, APP14 = 0xee, COM = 0xfe;
const isRestart = (marker: number) => marker >= 0xd0 && marker <= 0xd7;

/** Kept: frames, tables and scans, JFIF's head, the colour profile and the colour transform; a second picture behind the first (EOI) goes too. */
function isShown(content: Uint8Array, marker: number, at: number): boolean {
  if (marker === APP0) return letters(content, at + 4, 5) === 'JFIF\0';
  if (marker === APP2) return letters(content, at + 4, 12) === 'ICC_PROFILE\0';
  if (marker === APP14) return letters(content, at + 4, 5) === 'Adobe';
  return !(marker >= APP0 && marker <= 0xef) && marker !== COM;
}

function stripJpeg(content: Uint8Array): Uint8Array | null {
  const parts: Uint8Array[] = [content.subarray(0, 2)];
  let wayUp = 1;
  let hasScan = false;
  let at = 2;
  while (at < content.length) {
    if (content[at] !== 0xff) return null;
    const marker = content[at + 1];
    if (marker === 0xff) { at++; continue; }
    if (marker === undefined || marker === 0 || marker === SOI || isRestart(marker)) return null;
    if (marker === EOI) { parts.push(content.subarray(at, at + 2)); break; }
    const length = ((content[at + 2] ?? 0) << 8) | (content[at + 3] ?? 0);
    let end = at + 2 + length;
    if (length < 2 || end > content.length) return null;
    if (marker === APP1) wayUp = orientationOf(content.subarray(at + 4, end)) ?? wayUp;
    if (marker === SOS) { hasScan = true; end = endOfScan(content, end); }
    if (isShown(content, marker, at)) parts.push(content.subarray(at, end));
    at = end;
  }
  if (!hasScan) return null;
  if (wayUp !== 1) parts.splice(1, 0, onlyOrientation(wayUp));
  return joined(parts);
}

/** Where the coded data of a scan ends: at the next marker that is neither a stuffed zero nor a restart. */
function endOfScan(content: Uint8Array, from: number): number {
  for (let at = from; at + 1 < content.length; at++) {
    if (content[at] === 0xff && content[at + 1] !== 0 && content[at + 1] !== 0xff && !isRestart(content[at + 1]!)) return at;
  }
  return content.length;
}

/** Exif 2.3, tag 0x0112 of the first directory, 1 to 8; null where there is none. */
function orientationOf(block: Uint8Array): number | null {
  if (letters(block, 0, 6) !== 'Exif\0\0' || block.length < 14) return null;
  const tiff = new DataView(block.buffer, block.byteOffset + 6, block.length - 6);
  const isLittle = tiff.getUint16(0) === 0x4949;
  const start = tiff.getUint32(4, isLittle);
  if (start + 2 > tiff.byteLength) return null;
  for (let entry = 0; entry < tiff.getUint16(start, isLittle); entry++) {
    const at = start + 2 + entry * 12;
    if (at + 12 > tiff.byteLength) return null;
    if (tiff.getUint16(at, isLittle) !== 0x0112) continue;
    const value = tiff.getUint16(at + 8, isLittle);
    return value >= 1 && value <= 8 ? value : null;
  }
  return null;
}

/** An Exif block of one entry, so that a picture taken upright is still shown upright. */
function onlyOrientation(value: number): Uint8Array {
  return new Uint8Array([0xff, APP1, 0, 34, 0x45, 0x78, 0x69, 0x66, 0, 0, 0x4d, 0x4d, 0, 42, 0, 0, 0, 8, 0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, value, 0, 0, 0, 0, 0, 0]);
}

const PNG_KEPT = new Set(['IHDR', 'PLTE', 'IDAT', 'IEND', 'tRNS', 'gAMA', 'cHRM', 'sRGB', 'iCCP', 'cICP', 'sBIT', 'bKGD', 'pHYs', 'acTL', 'fcTL', 'fdAT']);

function stripPng(content: Uint8Array): Uint8Array | null {
  const parts = [content.subarray(0, 8)];
  const view = new DataView(content.buffer, content.byteOffset, content.length);
  for (let at = 8; at + 12 <= content.length;) {
    const name = letters(content, at + 4, 4);
    const end = at + 12 + view.getUint32(at);
    if (end > content.length) return null;
    if (PNG_KEPT.has(name)) parts.push(content.subarray(at, end));
    if (name === 'IEND') return joined(parts);
    at = end;
  }
  return null;
}

const WEBP_KEPT = new Set(['VP8 ', 'VP8L', 'VP8X', 'ALPH', 'ANIM', 'ANMF', 'ICCP']);
/** RFC 9649 2.7: the bits of VP8X that promise an EXIF and an XMP chunk */
const EXIF_AND_XMP = 0x08 | 0x04;

function stripWebp(content: Uint8Array): Uint8Array | null {
  const parts = [content.slice(0, 12)];
  const view = new DataView(content.buffer, content.byteOffset, content.length);
  const end = view.getUint32(4, true) + 8;
  if (end > content.length) return null;
  for (let at = 12; at + 8 <= end;) {
    const size = view.getUint32(at + 4, true);
    const next = at + 8 + size + (size % 2);
    if (next > end) return null;
    const name = letters(content, at, 4);
    if (WEBP_KEPT.has(name)) {
      const chunk = content.slice(at, next);
      if (name === 'VP8X' && size > 0) chunk[8] = chunk[8]! & ~EXIF_AND_XMP;
      parts.push(chunk);
    }
    at = next;
  }
  if (parts.length === 1) return null;
  const whole = joined(parts);
  new DataView(whole.buffer).setUint32(4, whole.length - 8, true);
  return whole;
}
