import { readLabel } from '@bellround/contracts';

export type ScannedLabel = NonNullable<ReturnType<typeof readLabel>>;
/** Part of browsers on phones (Shape Detection, WICG); where it is missing the library reads instead. */
interface Detector { detect(from: ImageBitmapSource): Promise<{ rawValue: string }[]> }
interface DetectorMaker { new (options: { formats: string[] }): Detector; getSupportedFormats?(): Promise<string[]> }
/** The library's one function, as bundlers hand it over; its own types say otherwise to Node's resolution. */
type Reader = (pixels: Uint8ClampedArray, width: number, height: number) => { data: string } | null;

/** A label smaller than this many pixels a side is not read anyway; a larger picture only takes longer. */
const MOST_PX = 1000;

async function detector(): Promise<Detector | null> {
  const maker = (globalThis as { BarcodeDetector?: DetectorMaker }).BarcodeDetector;
  if (!maker || !((await maker.getSupportedFormats?.().catch(() => [])) ?? []).includes('qr_code')) return null;
  return new maker({ formats: ['qr_code'] });
}

function pixelsOf(source: CanvasImageSource, width: number, height: number): ImageData {
  const scale = Math.min(1, MOST_PX / Math.max(width, height));
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [Math.max(1, Math.round(width * scale)), Math.max(1, Math.round(height * scale))];
  const brush = canvas.getContext('2d', { willReadFrequently: true })!;
  brush.drawImage(source, 0, 0, canvas.width, canvas.height);
  return brush.getImageData(0, 0, canvas.width, canvas.height);
}

/** The texts of the QR codes in a picture or video frame. */
async function textsIn(source: ImageBitmap | HTMLVideoElement, width: number, height: number): Promise<string[]> {
  const native = await detector();
  const found = native ? (await native.detect(source).catch(() => [])).map((one) => one.rawValue) : [];
  if (found.length > 0) return found;
  const { default: read } = (await import('jsqr')) as unknown as { default: Reader };
  const pixels = pixelsOf(source, width, height);
  const code = read(pixels.data, pixels.width, pixels.height);
  return code ? [code.data] : [];
}

export type Look = { label: ScannedLabel } | { stranger: string } | null;

function lookAt(texts: readonly string[]): Look {
  for (const text of texts) { const label = readLabel(text); if (label) return { label }; }
  return texts[0] === undefined ? null : { stranger: texts[0].slice(0, 80) };
}

/** What a picture shows: a label of ours, some other code, or none. */
export async function lookAtPicture(file: Blob): Promise<Look> {
  const picture = await createImageBitmap(file);
  try {
    return lookAt(await textsIn(picture, picture.width, picture.height));
  } finally {
    picture.close();
  }
}

export async function lookAtFrame(video: HTMLVideoElement): Promise<Look> {
  return video.videoWidth === 0 ? null : lookAt(await textsIn(video, video.videoWidth, video.videoHeight));
}
