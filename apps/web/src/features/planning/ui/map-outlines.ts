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
  const whole = { west: (bounds.west - dx) / kx, east: (bounds.east - dx) / kx, south: (bounds.south - dy) / ky, north: (bounds.north - dy) / ky };
  for (const arc of topology.arcs) {
    if (!touches(arc, whole)) continue;
    let [x, y] = [0, 0];
    lines.push(arc.map((step): [number, number] => {
      x += step[0] ?? 0;
      y += step[1] ?? 0;
      return [x * kx + dx, y * ky + dy];
    }));
  }
  return lines;
}

/** In the file's own whole numbers, and no line made of it: of a hundred thousand points a week's map shows a few hundred. */
function touches(arc: readonly (readonly number[])[], bounds: Bounds): boolean {
  let x = 0, y = 0, west = Infinity, east = -Infinity, south = Infinity, north = -Infinity;
  for (let at = 0; at < arc.length; at++) {
    x += arc[at]![0]!;
    y += arc[at]![1]!;
    if (x < west) west = x;
    if (x > east) east = x;
    if (y < south) south = y;
    if (y > north) north = y;
  }
  return west <= bounds.east && east >= bounds.west && south <= bounds.north && north >= bounds.south;
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
