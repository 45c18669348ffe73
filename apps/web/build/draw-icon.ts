import { deflateSync } from 'node:zlib';

// The app's icons are drawn here at build time, from the same lines as public/bell.svg: the bell's round, out and back.
interface Point { readonly x: number; readonly y: number }
type Line = readonly Point[];

const PAPER = [0xf5, 0xef, 0xe3] as const;
const BRONZE = [0x74, 0x44, 0x08] as const;

/** A cubic curve as short straight pieces: 24 are finer than a pixel of the largest icon. */
function curve(a: Point, b: Point, c: Point, d: Point): Line {
  return Array.from({ length: 25 }, (_, i) => {
    const t = i / 24;
    const u = 1 - t;
    const at = (k: 'x' | 'y') => u ** 3 * a[k] + 3 * u ** 2 * t * b[k] + 3 * u * t ** 2 * c[k] + t ** 3 * d[k];
    return { x: at('x'), y: at('y') };
  });
}

const p = (x: number, y: number): Point => ({ x, y });
/** In the 32 by 32 square of bell.svg. */
const LINES: readonly Line[] = [
  [p(4, 25), p(28, 25)],
  [...curve(p(7, 25), p(8, 23), p(9, 21), p(9, 17)), ...curve(p(9, 17), p(9, 11), p(12, 7), p(16, 7)), ...curve(p(16, 7), p(20, 7), p(23, 11), p(23, 17)), ...curve(p(23, 17), p(23, 21), p(24, 23), p(25, 25))],
  [p(16, 3), p(16, 7)],
  [p(16, 17), p(16, 29)],
];

function distance(point: Point, a: Point, b: Point): number {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const length = dx * dx + dy * dy;
  const t = length === 0 ? 0 : Math.min(1, Math.max(0, ((point.x - a.x) * dx + (point.y - a.y) * dy) / length));
  return Math.hypot(point.x - a.x - t * dx, point.y - a.y - t * dy);
}

/**
 * A square icon as a PNG. `share` is how much of the side the drawing takes: 0.62 keeps it inside the circle that a phone
 * may cut out of a maskable icon (its safe zone is the middle 80 %, W3C Web Application Manifest).
 */
export function drawIcon(sidePx: number, share: number): Buffer {
  const pixels = Buffer.alloc(sidePx * sidePx * 3);
  const unitPx = (sidePx * share) / 32;
  const startPx = (sidePx * (1 - share)) / 2;
  for (let row = 0; row < sidePx; row++) {
    for (let column = 0; column < sidePx; column++) {
      const point = p((column + 0.5 - startPx) / unitPx, (row + 0.5 - startPx) / unitPx);
      let nearest = Infinity;
      for (const line of LINES) for (let i = 1; i < line.length; i++) nearest = Math.min(nearest, distance(point, line[i - 1]!, line[i]!));
      // One pixel of blending at the edge of a stroke 3 units wide.
      const ink = Math.min(1, Math.max(0, (1.5 - nearest) * unitPx + 0.5));
      for (let k = 0; k < 3; k++) pixels[(row * sidePx + column) * 3 + k] = Math.round(PAPER[k]! * (1 - ink) + BRONZE[k]! * ink);
    }
  }
  return png(sidePx, pixels);
}

/** PNG (W3C PNG, third edition): one IDAT of unfiltered rows, 8-bit RGB. */
function png(sidePx: number, rgb: Buffer): Buffer {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(sidePx, 0);
  header.writeUInt32BE(sidePx, 4);
  header.set([8, 2, 0, 0, 0], 8);
  const rows = Buffer.alloc(sidePx * (sidePx * 3 + 1));
  for (let row = 0; row < sidePx; row++) rgb.copy(rows, row * (sidePx * 3 + 1) + 1, row * sidePx * 3, (row + 1) * sidePx * 3);
  return Buffer.concat([Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]), chunk('IHDR', header), chunk('IDAT', deflateSync(rows, { level: 9 })), chunk('IEND', Buffer.alloc(0))]);
}

function chunk(name: string, data: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(name, 'latin1'), data]);
  const size = Buffer.alloc(4);
  size.writeUInt32BE(data.length, 0);
  const sum = Buffer.alloc(4);
  sum.writeUInt32BE(crc32(body), 0);
  return Buffer.concat([size, body, sum]);
}

/** CRC-32 as PNG asks for it (polynomial 0xedb88320, ISO 3309). */
function crc32(bytes: Buffer): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return (crc ^ 0xffffffff) >>> 0;
}
