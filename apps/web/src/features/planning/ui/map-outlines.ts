/**
 * Outlines of land and borders from the world-atlas package (Natural Earth 1:50m, public domain), bundled with the app: no map
 * server is asked. The file is TopoJSON: arcs of delta-encoded whole numbers, scaled by `transform`. Lines are enough here, so
 * arcs are drawn as they are.
 */
export interface Topology { readonly transform: { readonly scale: readonly [number, number]; readonly translate: readonly [number, number] }; readonly arcs: readonly (readonly (readonly number[])[])[] }
export interface Bounds { readonly west: number; readonly east: number; readonly south: number; readonly north: number }
export type Line = readonly (readonly [lon: number, lat: number])[];

/** The outlines that touch the bounds, in degrees. */
export function outlinesWithin(topology: Topology, bounds: Bounds): Line[] {
  const { scale: [kx, ky], translate: [dx, dy] } = topology.transform;
  const lines: Line[] = [];
  for (const arc of topology.arcs) {
    let [x, y] = [0, 0];
    let [west, east, south, north] = [Infinity, -Infinity, Infinity, -Infinity];
    const line = arc.map((step): [number, number] => {
      x += step[0] ?? 0;
      y += step[1] ?? 0;
      const point: [number, number] = [x * kx + dx, y * ky + dy];
      west = Math.min(west, point[0]); east = Math.max(east, point[0]); south = Math.min(south, point[1]); north = Math.max(north, point[1]);
      return point;
    });
    if (west <= bounds.east && east >= bounds.west && south <= bounds.north && north >= bounds.south) lines.push(line);
  }
  return lines;
}

/** Steps of the grid of degrees: at most about six lines across. */
const STEPS = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20];

/** Lines of equal latitude and longitude through the bounds, with their degrees. */
export function graticule(bounds: Bounds): { lats: number[]; lons: number[]; step: number } {
  const wide = Math.max(bounds.east - bounds.west, bounds.north - bounds.south);
  const step = STEPS.find((one) => wide / one <= 6) ?? 30;
  const through = (from: number, to: number) => Array.from({ length: Math.max(0, Math.floor(to / step) - Math.ceil(from / step) + 1) }, (_, i) => Number(((Math.ceil(from / step) + i) * step).toFixed(4)));
  return { lats: through(bounds.south, bounds.north), lons: through(bounds.west, bounds.east), step };
}

/** A round length of about a fifth of the width: 1, 2 or 5 times a power of ten kilometres. */
export function scaleBar(widthKm: number): number {
  const aim = widthKm / 5;
  const ten = 10 ** Math.floor(Math.log10(Math.max(aim, 0.001)));
  return ten * (aim / ten >= 5 ? 5 : aim / ten >= 2 ? 2 : 1);
}
