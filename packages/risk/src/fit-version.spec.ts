import { describe, expect, it } from 'vitest';
import { aComponent, TODAY } from '../bench/builders.js';
import { seeded } from './back-test.js';
import { areaUnderCurve, type BackTestCase, brier, bootstrapDifference, calibrationTable, type ClassHistory, comparePredictions, fitModel, fitVersion, frequencyRule, type HeldBack, type Outcome, rateFactor } from './index.js';

const YEAR = 365;
/** Detectors of two lots: those of 2019 fail every other year, those of 2022 once in fifty. */
function aHistory(random: () => number, perLot: number): { history: ClassHistory[]; cases: BackTestCase[] } {
  const perComponent: { failures: number; hoursInService: number; cohort: number }[] = [];
  const cases = [2019, 2022].flatMap((cohort) => Array.from({ length: perLot }, (_, n): BackTestCase => {
    const chance = cohort === 2019 ? 0.4 : 0.02;
    const failures = [1, 2, 3].filter(() => random() < chance).length;
    perComponent.push({ failures, hoursInService: 3 * 8766, cohort });
    const component = aComponent('detector-wired', { id: `${cohort}-${n}`, failures, hoursInService: 3 * 8766, cohort, installedDay: TODAY - 3 * YEAR });
    return { component, fromDay: TODAY, untilDay: TODAY + YEAR, happened: random() < chance, lastWasBad: failures > 0 };
  }));
  return { history: [{ class: 'detector-wired', failures: perComponent.reduce((sum, one) => sum + one.failures, 0), hoursInService: perComponent.length * 3 * 8766, perComponent }], cases };
}
const { history, cases } = aHistory(seeded(4), 200);
const held: HeldBack = { window: { from: '2026-03-01', to: '2027-03-01' }, history, cases, learn: cases };
const options = { seed: 3, window: { from: '2023-03-01', to: '2027-03-01' } };

describe('[BACK-4] a version and its report', () => {
  it('is judged by its twin on what was held back, and beats the starting rules', () => {
    const { model, twin, report } = fitVersion(history, held, null, options);
    expect(report).toMatchObject({ promote: true, cases: 400, heldBack: held.window, present: { version: 'starting rules' } });
    expect(twin!.window).toEqual({ from: '2023-03-01', to: '2026-03-01' });
    expect(model.window).toEqual(options.window);
    expect(report.present!.against.brier.high).toBeLessThan(0);
    expect(report.rules.map((one) => one.rule)).toEqual(['age-only', 'last-result-only']);
    expect(report.byClass).toEqual([{ class: 'detector-wired', cases: 400, predicted: expect.any(Number), observed: report.happened }]);
    expect(Math.abs(report.byClass[0]!.predicted / report.happened - 1)).toBeLessThan(0.25);
  });

  it('[BACK-2] a worse one is refused, and the one it was judged against is named', () => {
    const good = fitVersion(history, held, null, options);
    const spoiled = history.map((one) => ({ ...one, failures: one.failures + 2000, perComponent: one.perComponent!.map((record) => ({ ...record, failures: record.failures + 5 })) }));
    const found = fitVersion(spoiled, { ...held, history: spoiled }, { version: good.model.version, twin: good.twin }, options);
    expect(found.report).toMatchObject({ promote: false, present: { version: good.model.version } });
    expect(found.report.why).toMatch(/^Brier 0\.\d+ is worse than 0\.\d+$/);
  });

  it('[BACK-5] its own twin is no worse than itself; the same seed gives the same report', () => {
    const first = fitVersion(history, held, null, options);
    const again = fitVersion(history, held, { version: first.model.version, twin: first.twin }, options);
    expect(again.report.promote).toBe(true);
    expect(again.report.present!.against.brier).toEqual({ difference: 0, low: 0, high: 0 });
    expect(fitVersion(history, held, null, options).report).toEqual(first.report);
  });

  it('[BACK-6] too little to judge by: promoted, and it says so', () => {
    expect(fitVersion(history, null, null, options).report).toMatchObject({ promote: true, ours: null, why: expect.stringContaining('too short') });
    const few = fitVersion(history, { ...held, cases: cases.slice(0, 5) }, null, options);
    expect(few.report).toMatchObject({ promote: true, ours: null, cases: 5, why: expect.stringContaining('at least 10') });
  });
});

describe('[BACK-7] the simple rules and their comparison', () => {
  it('a rule says the frequency it saw, held to the whole by ten cases', () => {
    const [mine] = frequencyRule((one) => String(one.lastWasBad), cases, cases.slice(0, 1));
    const like = cases.filter((one) => one.lastWasBad === cases[0]!.lastWasBad);
    const all = cases.filter((one) => one.happened).length / cases.length;
    expect(mine!.chance).toBeCloseTo((like.filter((one) => one.happened).length + 10 * all) / (like.length + 10), 12);
  });

  it('counting gives the differences that sorting gives, and the interval of the plain bootstrap', () => {
    const random = seeded(8);
    const ours: Outcome[] = Array.from({ length: 300 }, () => ({ chance: Math.round(10 * random()) / 10, happened: random() < 0.3 }));
    const theirs = ours.map(({ chance, happened }) => ({ chance: (chance + random()) / 2, happened }));
    const found = comparePredictions(ours, theirs, { resamples: 50, seed: 4 });
    expect(found.areaUnderCurve.difference).toBeCloseTo(areaUnderCurve(ours) - areaUnderCurve(theirs), 12);
    for (const [mine, score] of [[found.areaUnderCurve, areaUnderCurve], [found.brier, brier]] as const) {
      const plain = bootstrapDifference(ours, theirs, score, { resamples: 50, seed: 4 });
      expect(mine.low).toBeCloseTo(plain.low, 10);
      expect(mine.high).toBeCloseTo(plain.high, 10);
    }
    expect(() => comparePredictions(ours, theirs.slice(1), { resamples: 1, seed: 1 })).toThrow('300 outcomes beside 299');
  });

  // R prop.test as quoted by the scipy test suite (stats/tests/test_morestats.py): 3 of 10, 95 %, without continuity correction.
  it('the calibration table holds the Wilson interval: 3 of 10 is 0.1077913 to 0.6032219', () => {
    const [row] = calibrationTable(Array.from({ length: 10 }, (_, n) => ({ chance: 0.3, happened: n < 3 })), 1);
    expect(row!.low).toBeCloseTo(0.1077913, 7);
    expect(row!.high).toBeCloseTo(0.6032219, 7);
  });
});

describe('[FAC-7] lots by year of installation', () => {
  it('a bad year is found and shrunk towards its class; an unknown year is as its class', () => {
    const { weights, settings } = fitModel(history);
    const of = (cohort: number | null) => rateFactor(weights, 'detector-wired', { cohort }, settings);
    expect(of(null)).toBe(1);
    expect(of(1990)).toBe(1);
    // Seen over expected is 1.9 with about 125 failures expected: a dozen of shrinkage leaves it near 1.8.
    expect(of(2019)).toBeGreaterThan(1.6);
    expect(of(2019)).toBeLessThan(1.95);
    expect(of(2022)).toBeLessThan(0.4);
  });

  it('a year with next to no record says next to nothing', () => {
    const one = { failures: 1, hoursInService: 100, cohort: 2001 };
    const many = Array.from({ length: 300 }, () => ({ failures: 0, hoursInService: 8766, cohort: 2015 }));
    const { weights, settings } = fitModel([{ class: 'supply', failures: 1, hoursInService: 300 * 8766 + 100, perComponent: [one, ...many] }]);
    expect(rateFactor(weights, 'supply', { cohort: 2001 }, settings)).toBeLessThan(1.1);
  });
});
