import { encode } from 'uqr';

/** A QR code (ISO/IEC 18004) as one path: sharp at any size, printed without pictures. `words` is what a screen reader says. */
export function QrCode({ text, words }: { text: string; words: string }) {
  // Level Q still reads with a quarter of the label worn away; the quiet zone of four modules is the standard's.
  const { data, size } = encode(text, { ecc: 'Q', border: 4 });
  const path = data.flatMap((row, y) => row.flatMap((isDark, x) => (isDark ? [`M${x} ${y}h1v1h-1z`] : []))).join('');
  return <svg className="qr" viewBox={`0 0 ${size} ${size}`} role="img" aria-label={words} shapeRendering="crispEdges"><rect width={size} height={size} fill="#fff" /><path d={path} fill="#000" /></svg>;
}
