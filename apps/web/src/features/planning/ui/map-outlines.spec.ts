import { describe, expect, it } from 'vitest';
import { graticule, outlinesWithin, scaleBar } from './map-outlines.js';

describe('outlines of the map', () => {
  const topology = { transform: { scale: [0.5, 0.25] as const, translate: [-10, 40] as const }, arcs: [[[0, 0], [2, 4], [2, -4]], [[400, 0], [1, 1]]] };
  it('adds up the steps of an arc, scales them, and leaves out what does not touch the bounds', () => {
    expect(outlinesWithin(topology, { west: -11, east: -7, south: 39, north: 42 })).toEqual([[[-10, 40], [-9, 41], [-8, 40]]]);
    expect(outlinesWithin(topology, { west: 100, east: 101, south: 0, north: 1 })).toEqual([]);
  });
  it('draws a grid of at most six steps and a scale bar of a round length', () => {
    const grid = graticule({ west: -4.9, east: -4.1, south: 41.2, north: 41.7 });
    expect(grid.step).toBe(0.2);
    expect(grid.lons).toEqual([-4.8, -4.6, -4.4, -4.2]);
    expect(scaleBar(63)).toBe(10);
    expect(scaleBar(30)).toBe(5);
    expect(scaleBar(4)).toBe(0.5);
  });
});
