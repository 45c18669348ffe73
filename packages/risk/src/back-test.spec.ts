import { describe, expect, it } from 'vitest';
import { aComponent, TODAY } from '../bench/builders.js';
import { areaUnderCurve, backTest, batteryForecast, bootstrapDifference, brier, calibrationSlope, calibrationTable, failsWithin, failureChance, fitModel, mayPromote, type Outcome } from './index.js';
import { seeded } from './back-test.js';

const of = (...pairs: [number, 0 | 1][]): Outcome[] => pairs.map(([chance, happened]) => ({ chance, happened: happened === 1 }));

describe('[BACK-1] measures', () => {
  it('Brier by hand', () => expect(brier(of([0.9, 1], [0.2, 0], [0.5, 1]))).toBeCloseTo((0.01 + 0.04 + 0.25) / 3, 12));
  it('area under the curve by counting pairs, ties half', () => {
    expect(areaUnderCurve(of([0.1, 0], [0.4, 0], [0.35, 1], [0.8, 1]))).toBe(0.75);
    expect(areaUnderCurve(of([0.5, 0], [0.5, 1], [0.2, 0], [0.9, 1]))).toBe(0.875);
    expect(areaUnderCurve(of([0.5, 1]))).toBeNaN();
  });
  it('calibration table in groups of equal size', () => {
    const table = calibrationTable(of([0.1, 0], [0.2, 1], [0.6, 1], [0.8, 1]), 2);
    expect(table.map((row) => [row.count, row.observed])).toEqual([[2, 0.5], [2, 1]]);
    expect(table[0]?.predicted).toBeCloseTo(0.15, 12);
  });
  it('slope is 1 for true chances, and 1/2 when the logits were doubled', () => {
    const random = seeded(5);
    const logits = Array.from({ length: 60_000 }, () => -6 + 8 * random());
    const outcomes = logits.map((x) => ({ x, happened: random() < 1 / (1 + Math.exp(-x)) }));
    const slope = (by: number) => calibrationSlope(outcomes.map(({ x, happened }) => ({ chance: 1 / (1 + Math.exp(-by * x)), happened }))).slope;
    expect(slope(1)).toBeCloseTo(1, 1);
    expect(slope(2)).toBeCloseTo(0.5, 1);
  });
  it('bootstrap: the same seed gives the same interval, and it holds the difference', () => {
    const random = seeded(9);
    const base = Array.from({ length: 400 }, () => ({ chance: random(), happened: random() < 0.3 }));
    const better = base.map(({ chance, happened }) => ({ chance: happened ? chance : chance * 0.8, happened }));
    const found = bootstrapDifference(better, base, brier, { resamples: 200, seed: 4 });
    expect(found).toEqual(bootstrapDifference(better, base, brier, { resamples: 200, seed: 4 }));
    expect(found.low).toBeLessThan(found.difference);
    expect(found.high).toBeGreaterThan(found.difference);
    expect(found.high).toBeLessThan(0);
  });
});

describe('[BACK-2] promotion', () => {
  const good = backTest(of([0.9, 1], [0.8, 1], [0.2, 0], [0.1, 0]));
  const bad = backTest(of([0.6, 1], [0.3, 1], [0.4, 0], [0.1, 0]));
  it('better is promoted, worse is refused with the figures', () => {
    expect(mayPromote(bad, good).promote).toBe(true);
    expect(mayPromote(good, bad)).toEqual({ promote: false, why: 'Brier 0.20500 is worse than 0.02500' });
  });
  it('other cases cannot be compared', () => expect(mayPromote(good, { ...good, cases: 5 })).toEqual({ promote: false, why: 'the two versions were not judged on the same cases' }));
});

describe('predictions', () => {
  const model = fitModel([]);
  it('[PRE-1] a battery follows its Weibull as the spread between batteries vanishes', () => {
    const sharp = { ...model, rates: { ...model.rates, battery: { ...model.rates.battery, shape: 1e8, hours: 1e8 } } };
    const battery = aComponent('battery', { ageYears: 4, temperatureC: 25, hoursInService: 0 });
    expect(failureChance(sharp, battery, TODAY, TODAY + 365.25)).toBeCloseTo(failsWithin(model.battery, 4, 1), 6);
  });
  it('[PRE-1] an undated battery is neither new nor oldest in a forecast', () => {
    const chance = (ageYears: number | null) => failureChance(model, aComponent('battery', { ageYears, installedDay: null, hoursInService: 0 }), TODAY, TODAY + 365);
    expect(chance(null)).toBeGreaterThan(chance(1));
    expect(chance(null)).toBeLessThan(chance(model.settings.unknownBatteryAgeYears));
  });
  it('[PRE-1] the company\'s own ages say what an undated battery may be', () => {
    const livesTo = (age: number) => Array.from({ length: 80 }, (_, n) => ({ fromAgeYears: 0, toAgeYears: age + n / 80, temperatureC: 25, failed: false }));
    const undated = aComponent('battery', { ageYears: null, installedDay: null, hoursInService: 0 });
    const chance = (lives: ReturnType<typeof livesTo>) => {
      const fitted = fitModel([{ class: 'battery', failures: 0, hoursInService: 1, lives }]);
      // One life for all: only the ages differ.
      return failureChance({ ...model, battery: { ...model.battery, agesYears: fitted.battery.agesYears ?? [] } }, undated, TODAY, TODAY + 365);
    };
    const dated = (ageYears: number) => failureChance(model, { ...undated, ageYears }, TODAY, TODAY + 365);
    expect(chance(livesTo(1))).toBeGreaterThan(dated(1));
    expect(chance(livesTo(1))).toBeLessThan(dated(2));
    expect(chance(livesTo(4))).toBeGreaterThan(dated(4));
    expect(chance(livesTo(1).slice(0, 39))).toBe(failureChance(model, undated, TODAY, TODAY + 365));
  });
  it('[PRE-2] months and ratings; the whole is the chance over the whole', () => {
    const fleet = [3, 4, 5].map((ageYears, i) => ({ component: aComponent('battery', { id: `b${i}`, ageYears }), ratedMah: i === 0 ? 7000 : 17_000 }));
    const lines = batteryForecast(model, fleet, TODAY, 12);
    expect(lines).toHaveLength(24);
    expect([...new Set(lines.map((line) => line.ratedMah))]).toEqual([7000, 17_000]);
    const whole = fleet.reduce((sum, { component }) => sum + failureChance(model, component, TODAY, TODAY + 365.25), 0);
    expect(lines.reduce((sum, line) => sum + line.expected, 0)).toBeCloseTo(whole, 9);
    for (const line of lines) expect(line.upper).toBeGreaterThanOrEqual(line.expected);
  });
});
