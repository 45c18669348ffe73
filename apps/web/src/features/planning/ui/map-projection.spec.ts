import { describe, expect, it } from 'vitest';
import { northing, projectionOf, tilesUnder } from './map-projection.js';

const SIZE = { width: 560, height: 420, edge: 30 };
const PLACES = [{ lat: 41.9, lon: -4.6 }, { lat: 42.3, lon: -3.9 }];
const TEMPLATE = 'https://tiles.example/{z}/{x}/{y}.png';

describe('the map\'s projection', () => {
  it('shows every place inside the edges, north up', () => {
    const { at } = projectionOf(PLACES, SIZE)!;
    const [[x1, y1], [x2, y2]] = [at(41.9, -4.6), at(42.3, -3.9)];
    expect(Math.min(x1, x2, y1, y2)).toBeGreaterThanOrEqual(29.99);
    expect(x2).toBeGreaterThan(x1);
    expect(y2).toBeLessThan(y1);
  });

  it('its width in kilometres agrees with the great circle through its middle', () => {
    const { widthKm, bounds } = projectionOf(PLACES, SIZE)!;
    const mid = ((bounds.south + bounds.north) / 2) * (Math.PI / 180);
    const [a, b] = [bounds.west, bounds.east].map((one) => one * (Math.PI / 180)) as [number, number];
    const km = 6371 * Math.acos(Math.sin(mid) ** 2 + Math.cos(mid) ** 2 * Math.cos(b - a));
    expect(widthKm / km).toBeCloseTo(1, 2);
  });

  it('no place, no map; one place, a map around it', () => {
    expect(projectionOf([], SIZE)).toBeNull();
    expect(projectionOf([{ lat: 0, lon: 0 }], SIZE)!.at(0, 0)).toEqual([280, 210]);
  });
});

describe('the tiles under it', () => {
  // The column and row of a place by the usual rule of tiled web maps: x = (lon + 180) / 360 * 2^z, y = (1 - asinh(tan lat) / pi) / 2 * 2^z (common practice).
  const rowOf = (lat: number, z: number) => ((1 - Math.asinh(Math.tan((lat * Math.PI) / 180)) / Math.PI) / 2) * 2 ** z;

  it('lie where their places are, without a gap over the whole picture', () => {
    const projection = projectionOf(PLACES, SIZE)!;
    const tiles = tilesUnder(projection, SIZE, TEMPLATE, 18);
    const z = Number(tiles[0]!.url.split('/')[3]);
    for (const { lat, lon } of PLACES) {
      const [x, y] = projection.at(lat, lon);
      const under = tiles.filter((one) => one.left <= x && x < one.left + one.side && one.top <= y && y < one.top + one.side);
      expect(under.map((one) => one.url)).toEqual([`https://tiles.example/${z}/${Math.floor(((lon + 180) / 360) * 2 ** z)}/${Math.floor(rowOf(lat, z))}.png`]);
    }
    expect(Math.min(...tiles.map((one) => one.left))).toBeLessThanOrEqual(0);
    expect(Math.max(...tiles.map((one) => one.left + one.side))).toBeGreaterThanOrEqual(SIZE.width);
    expect(Math.max(...tiles.map((one) => one.top + one.side))).toBeGreaterThanOrEqual(SIZE.height);
    expect(tiles.length).toBeLessThanOrEqual(24);
    expect(tiles[0]!.side).toBeGreaterThan(180);
    expect(tiles[0]!.side).toBeLessThan(363);
  });

  it('never ask for more than the server has, nor beyond the poles; the world goes round', () => {
    const near = projectionOf([{ lat: 41.9, lon: -4.6 }], SIZE)!;
    expect(tilesUnder(near, SIZE, TEMPLATE, 3).map((one) => one.key)).toEqual(['3/3/2']);
    const world = tilesUnder(projectionOf([{ lat: 80, lon: -179 }, { lat: -80, lon: 179 }], SIZE)!, SIZE, TEMPLATE, 18);
    for (const one of world) {
      const [z, x, y] = one.url.replace('.png', '').split('/').slice(3).map(Number) as [number, number, number];
      expect([x >= 0 && x < 2 ** z, y >= 0 && y < 2 ** z]).toEqual([true, true]);
    }
    expect(northing(90)).toBe(northing(85));
  });
});
