import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { greatCircleTravel, straightKm, tripMin } from './index.js';

describe('travel by great circle', () => {
  it('[PLN-50] one degree of latitude is 111.195 km on the mean sphere', () => {
    expect(straightKm({ lat: 0, lon: 0 }, { lat: 1, lon: 0 })).toBeCloseTo(111.195, 3);
  });

  it('[PLN-51] no travel between one place and itself or its neighbour at the same point; symmetric; whole minutes', () => {
    const points = [{ lat: 40, lon: -3 }, { lat: 40, lon: -3 }, { lat: 40.3, lon: -3.4 }];
    const { minutes } = greatCircleTravel(points);
    expect(minutes[0][0]).toBe(0);
    expect(minutes[0][1]).toBe(0);
    expect(minutes[0][2]).toBe(minutes[2][0]);
    expect(Number.isInteger(minutes[0][2])).toBe(true);
  });

  it('[PLN-52] a longer trip never takes less', () => {
    fc.assert(fc.property(fc.double({ min: 0, max: 200, noNaN: true }), fc.double({ min: 0, max: 50, noNaN: true }), (km, more) => tripMin(km) <= tripMin(km + more)), { seed: 20270303, numRuns: 2000 });
  });

  it('[PLN-54] next door, and between systems of one address, nobody drives; a little further the fixed part counts', () => {
    expect(tripMin(0.05)).toBe(0);
    expect(tripMin(0.051)).toBe(4);
    const { minutes } = greatCircleTravel([{ x: 0, y: 0 }, { x: 0.03, y: 0.04 }, { x: 0.1, y: 0 }], { nextDoorKm: 0.05 });
    expect(minutes[0]).toEqual([0, 0, 4]);
  });

  it('[PLN-53] points of two kinds are refused', () => {
    expect(() => straightKm({ lat: 0, lon: 0 }, { x: 1, y: 1 })).toThrow(RangeError);
  });
});
