import type { TravelMatrix } from './problem.js';

/** A point on the globe in degrees, or on a plane in kilometres. */
export type Point = { readonly lat: number; readonly lon: number } | { readonly x: number; readonly y: number };

export interface TravelModel {
  /** Road length over straight line. */
  readonly circuity: number;
  /** Speed by stretch of the trip: the kilometres up to upToKm of the first band at its speed, those beyond at the next, and so on. */
  readonly bands: readonly { readonly upToKm: number; readonly kmh: number }[];
  /** Parking, walking, keys: added to each trip between different points. */
  readonly fixedMin: number;
  /** Points no further apart than this, straight line, are next door: no travel between them. */
  readonly nextDoorKm: number;
}

/**
 * Circuity 1.4: near the mean detour 1.417 of Boscoe, Henry and Zdeb 2012, 'A nationwide comparison of driving
 * distance versus straight-line distance to hospitals' (The Professional Geographer 64), from memory; Ballou et al. 2002 give
 * 1.2 to 1.6 by country, from memory. Speeds rising with trip length, the fixed part and next door: common practice. Calibrate with
 * past trips where there are any.
 */
export const DEFAULT_TRAVEL: TravelModel = {
  circuity: 1.4,
  bands: [{ upToKm: 3, kmh: 22 }, { upToKm: 10, kmh: 32 }, { upToKm: 30, kmh: 48 }, { upToKm: Infinity, kmh: 68 }],
  fixedMin: 3,
  nextDoorKm: 0.05,
};

/** Mean radius of the earth in km (IUGG R1, from memory). */
const EARTH_KM = 6371.0088;

/** Straight-line kilometres. Throws RangeError when one point is on the globe and the other on a plane. */
export function straightKm(a: Point, b: Point): number {
  if ('lat' in a && 'lat' in b) {
    const rad = Math.PI / 180;
    const dLat = (b.lat - a.lat) * rad;
    const dLon = (b.lon - a.lon) * rad;
    const h = Math.sin(dLat / 2) ** 2 + Math.cos(a.lat * rad) * Math.cos(b.lat * rad) * Math.sin(dLon / 2) ** 2;
    return 2 * EARTH_KM * Math.asin(Math.min(1, Math.sqrt(h)));
  }
  if ('x' in a && 'x' in b) return Math.hypot(a.x - b.x, a.y - b.y);
  throw new RangeError('points of two kinds: give all as lat/lon or all as x/y');
}

/** Minutes for one trip: each band's kilometres at the band's speed, so that a longer trip never takes less. */
export function tripMin(km: number, model: TravelModel = DEFAULT_TRAVEL): number {
  const road = km * model.circuity;
  if (km <= model.nextDoorKm) return 0;
  let left = road;
  let below = 0;
  let min = model.fixedMin;
  for (const band of model.bands) {
    const part = Math.min(left, band.upToKm - below);
    min += (part / band.kmh) * 60;
    left -= part;
    below = band.upToKm;
    if (left <= 0) break;
  }
  return Math.ceil(min - 1e-9);
}

/** The default travel matrix: great-circle distance, circuity, speed by length. Whole minutes, rounded up; 0 between equal points. */
export function greatCircleTravel(places: readonly Point[], model: Partial<TravelModel> = {}): TravelMatrix {
  const full = { ...DEFAULT_TRAVEL, ...model };
  return { kind: 'matrix', minutes: places.map((a) => places.map((b) => (a === b ? 0 : tripMin(straightKm(a, b), full)))) };
}
