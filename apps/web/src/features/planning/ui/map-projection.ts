import type { Bounds } from './map-outlines.js';

/** Kilometres of one degree of latitude (mean radius 6371 km). */
const KM_PER_DEGREE = 111.19;
const TILE_PX = 256;
/** A world of tiles of one zoom step is 360 degrees wide. */
const WORLD = 360;

/** Web Mercator in degrees (EPSG:3857 without its radius), so that tiles of that projection lie under the outlines without a seam. */
export const northing = (lat: number): number => (180 / Math.PI) * Math.log(Math.tan(Math.PI / 4 + (Math.max(-85, Math.min(85, lat)) * Math.PI) / 360));
const latitude = (y: number): number => (360 / Math.PI) * Math.atan(Math.exp((y * Math.PI) / 180)) - 90;

export interface Size { readonly width: number; readonly height: number; readonly edge: number }
/** `midX`, `midY` (degrees, northing) lie in the middle of the picture; `scale` is its pixels a degree. */
export interface Projection { readonly at: (lat: number, lon: number) => readonly [number, number]; readonly bounds: Bounds; readonly widthKm: number; readonly midX: number; readonly midY: number; readonly scale: number }
export interface Place { readonly lat: number; readonly lon: number }

/** A picture in which all places are seen; null when there are none. */
export function projectionOf(places: readonly Place[], { width, height, edge }: Size): Projection | null {
  if (places.length === 0) return null;
  const [xs, ys] = [places.map((one) => one.lon), places.map((one) => northing(one.lat))];
  const [west, east, south, north] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const scale = Math.min((width - 2 * edge) / Math.max(0.002, east - west), (height - 2 * edge) / Math.max(0.002, north - south));
  const [midX, midY] = [(west + east) / 2, (south + north) / 2];
  const [halfX, halfY] = [width / 2 / scale, height / 2 / scale];
  return {
    at: (lat, lon) => [width / 2 + (lon - midX) * scale, height / 2 - (northing(lat) - midY) * scale],
    bounds: { west: midX - halfX, east: midX + halfX, south: latitude(midY - halfY), north: latitude(midY + halfY) },
    widthKm: (width / scale) * KM_PER_DEGREE * Math.cos((latitude(midY) * Math.PI) / 180), midX, midY, scale,
  };
}

export interface Tile { readonly key: string; readonly url: string; readonly left: number; readonly top: number; readonly side: number }

/** The tiles that cover the picture, at the zoom whose tiles come nearest to their own size; at most some twenty. */
export function tilesUnder({ midX, midY, scale }: Projection, { width, height }: Size, template: string, maxZoom: number): Tile[] {
  const z = Math.max(0, Math.min(maxZoom, Math.round(Math.log2((WORLD * scale) / TILE_PX))));
  const many = 2 ** z;
  const side = (WORLD / many) * scale;
  const [left, top] = [width / 2 - (midX + 180) * scale, height / 2 - (180 - midY) * scale];
  const tiles: Tile[] = [];
  for (let y = Math.max(0, Math.floor(-top / side)); y < many && top + y * side < height; y++) {
    for (let column = Math.floor(-left / side); left + column * side < width; column++) {
      const x = ((column % many) + many) % many;
      tiles.push({ key: `${z}/${column}/${y}`, url: template.replaceAll('{z}', String(z)).replaceAll('{x}', String(x)).replaceAll('{y}', String(y)), left: left + column * side, top: top + y * side, side });
    }
  }
  return tiles;
}
