import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DEFAULT_TRAVEL, learnTravel, NO_WAY, readTable, tableAddress, tableRequests, travelMatrix, tripMin, UNKNOWN, type PastTrip } from './index.js';

describe('travel by road', () => {
  it('[PLN-56] every missing pair is asked, no question holds more places than allowed, and what is known is not asked again for its own sake', () => {
    const missing = fc.integer({ min: 2, max: 40 }).chain((n) => fc.tuple(fc.constant(n), fc.array(fc.tuple(fc.nat({ max: n - 1 }), fc.nat({ max: n - 1 })), { maxLength: 300 }), fc.integer({ min: 2, max: 20 })));
    let asked = 0;
    fc.assert(fc.property(missing, ([, pairs, most]) => {
      const rows = new Map<number, number[]>();
      for (const [from, to] of pairs) rows.set(from, [...new Set([...(rows.get(from) ?? []), to])]);
      const requests = tableRequests(rows, most);
      const seen = new Set(requests.flatMap((one) => one.sources.flatMap((from) => one.destinations.map((to) => `${from} ${to}`))));
      for (const [from, to] of pairs) if (from !== to) expect(seen.has(`${from} ${to}`)).toBe(true);
      for (const one of requests) expect(new Set([...one.sources, ...one.destinations]).size).toBeLessThanOrEqual(most);
      // sources are asked only for what some source like them lacks
      for (const one of requests) for (const from of one.sources) for (const to of one.destinations) expect(from === to || rows.get(from)!.includes(to)).toBe(true);
      asked += requests.length;
    }), { seed: 20270301, numRuns: 300 });
    expect(asked).toBeGreaterThan(300);
  });

  it('[PLN-56] a hundred new places are a handful of questions; one place more is one row and one column', () => {
    const all = Array.from({ length: 100 }, (_, i) => i);
    expect(tableRequests(new Map(all.map((from) => [from, all.filter((to) => to !== from)])), 100)).toHaveLength(4);
    const more = new Map([...all.map((from) => [from, [100]] as [number, number[]]), [100, all]]);
    expect(tableRequests(more, 100).map((one) => [one.sources.length, one.destinations.length])).toEqual([[99, 1], [1, 1], [1, 99], [1, 1]]);
    expect(() => tableRequests(more, 1)).toThrow(RangeError);
  });

  it('[PLN-56] the address names longitude first, each place once, and keeps what the service is asked with', () => {
    const points = [{ lat: 40.1, lon: -3.7 }, { lat: 40.25, lon: -3.5 }, { lat: 41, lon: -4 }];
    expect(tableAddress('http://roads.example:5000/table/v1/driving?token=a', points, { sources: [2, 0], destinations: [0, 1] }))
      .toBe('http://roads.example:5000/table/v1/driving/-4.000000,41.000000;-3.700000,40.100000;-3.500000,40.250000?sources=0;1&destinations=1;2&annotations=duration&token=a');
  });

  it('[PLN-57] seconds become minutes, no way stays no way, a place off the road is named, and any other answer is a failure', () => {
    const request = { sources: [7, 4], destinations: [4, 9] };
    expect(readTable(request, { code: 'Ok', durations: [[60, 61], [0, null]] })).toEqual({ kind: 'times', minutes: [[1, 2], [0, NO_WAY]] });
    expect(readTable(request, { code: 'NoSegment', message: 'Could not find a matching segment for coordinate 2' })).toEqual({ kind: 'off-road', place: 9 });
    for (const body of [null, 'x', { code: 'TooBig', message: 'Too many table coordinates' }, { code: 'Ok', durations: [[1, 2]] }, { code: 'Ok', durations: [[1, 2], [3]] }, { code: 'Ok', durations: [[1, 2], [3, -4]] }, { code: 'Ok', durations: [[1, 2], [3, 'far']] }]) {
      expect(readTable(request, body).kind).toBe('failed');
    }
    expect(readTable(request, { code: 'TooBig', message: 'Too many table coordinates' })).toMatchObject({ words: 'the service says TooBig: Too many table coordinates' });
  });

  it('[PLN-58] minutes by road where they were answered, with the fixed part; the estimate elsewhere; nothing next door', () => {
    const points = [{ x: 0, y: 0 }, { x: 10, y: 0 }, { x: 0, y: 0.03 }];
    const estimate = travelMatrix(points);
    const road = travelMatrix(points, DEFAULT_TRAVEL, { places: 3, minutes: [0, 17, 9, NO_WAY, 0, 21, 9, UNKNOWN, 0] });
    expect(road[0]).toEqual([0, 20, 0]);
    expect(road[1]).toEqual([estimate[1][0], 0, 24]);
    expect(road[2]).toEqual([0, estimate[2][1], 0]);
    expect(() => travelMatrix(points, DEFAULT_TRAVEL, { places: 2, minutes: [0, 1, 1, 0] })).toThrow(RangeError);
  });
});

describe('travel learned from past trips', () => {
  const trips = (n: number, km: number, times: number): PastTrip[] => Array.from({ length: n }, () => ({ km, minutes: (tripMin(km) - 3) * times + 3 }));

  it('[PLN-55] nothing on record: the model as it is; few trips move it little, many bring it where they say', () => {
    expect(learnTravel([])).toMatchObject({ trips: 0, percent: 100, model: DEFAULT_TRAVEL });
    const few = learnTravel(trips(5, 6, 1.5));
    const many = learnTravel(trips(2000, 6, 1.5));
    expect(few.percent).toBeGreaterThan(100);
    expect(few.percent).toBeLessThan(115);
    expect(many.percent).toBeGreaterThan(147);
    expect(many.percent).toBeLessThanOrEqual(150);
    expect(tripMin(6, many.model)).toBeGreaterThan(tripMin(6));
  });

  it('[PLN-55] lengths without trips follow all trips; lengths with their own go their own way', () => {
    const learnt = learnTravel([...trips(400, 1.5, 1.6), ...trips(400, 15, 0.9)]);
    const by = (upToKm: number) => learnt.bands.find((one) => one.upToKm === upToKm)!;
    expect(by(3)).toMatchObject({ trips: 400 });
    expect(by(3).percent).toBeGreaterThan(150);
    expect(by(30).percent).toBeLessThan(100);
    expect(by(10)).toEqual({ upToKm: 10, trips: 0, percent: learnt.percent });
  });

  it('[PLN-55] a third of the trips with a pause in them, and trips that cannot be, move it hardly', () => {
    const honest = trips(300, 6, 1);
    const paused = honest.slice(0, 90).map((one) => ({ km: one.km, minutes: one.minutes + 20 }));
    const absurd = [{ km: 6, minutes: 400 }, { km: 6, minutes: 1 }, { km: 0, minutes: 30 }, { km: 0.01, minutes: 5 }];
    expect(learnTravel([...honest, ...paused, ...absurd]).percent).toBeLessThan(104);
    expect(learnTravel(absurd).trips).toBe(0);
    expect(learnTravel(trips(5000, 6, 2.9)).percent).toBe(200);
  });

  it('[PLN-55] with a learned model a longer trip still never takes less', () => {
    const { model } = learnTravel([...trips(400, 1.5, 2.5), ...trips(400, 15, 0.4)]);
    fc.assert(fc.property(fc.double({ min: 0, max: 200, noNaN: true }), fc.double({ min: 0, max: 50, noNaN: true }), (km, more) => tripMin(km, model) <= tripMin(km + more, model)), { seed: 20270303, numRuns: 1000 });
  });
});
