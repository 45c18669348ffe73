import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { gamma } from '../bench/synthetic-fleet.js';
import { seeded } from './back-test.js';
import { CLASS_DEFAULTS, COMPONENT_CLASSES, DEFAULT_SETTINGS, fitGammaPrior, fitModel, fitWeights, fitWeibull, marginalLogLikelihood, meanRate, posteriorRate, SETTING_SOURCES } from './index.js';
import { fitGammaMean } from './gamma-poisson.js';

const start = { shape: 1, hours: 500_000 };

describe('rates', () => {
  it('[RATE-4] [CLS-3] without history every class stands on its rule and says so', () => {
    const model = fitModel([]);
    for (const cls of COMPONENT_CLASSES) {
      expect(model.rates[cls]).toMatchObject({ source: 'company rule', rule: CLASS_DEFAULTS[cls].source, components: 0 });
      if (cls !== 'battery') expect(model.rates[cls].meanPerHour).toBeCloseTo(CLASS_DEFAULTS[cls].ratePerHour, 12);
    }
    expect(model.battery).toMatchObject({ source: 'company rule', shape: 3, scaleYears: 6 });
  });

  it('[CLS-2] every setting has a source', () => {
    for (const key of Object.keys(DEFAULT_SETTINGS)) expect(SETTING_SOURCES[key as keyof typeof SETTING_SOURCES]).toMatch(/^\S.+/);
  });

  it('[RATE-2] the marginal likelihood is the negative binomial (closed form for one component)', () => {
    // P(k) with k = 2, t = 100, a = 3, b = 50: C(4,2) (b/(b+t))^3 (t/(b+t))^2; the terms without a or b are left out of ours.
    const full = Math.log(6) + 3 * Math.log(50 / 150) + 2 * Math.log(100 / 150);
    const left = marginalLogLikelihood({ shape: 3, hours: 50 }, [{ failures: 2, hours: 100 }]);
    expect(left + 2 * Math.log(100) - Math.log(2)).toBeCloseTo(full, 12);
  });

  it('[RATE-2] no prior nearby fits better than the fitted one, once there is history', () => {
    const random = seeded(3);
    const records = Array.from({ length: 4000 }, () => {
      const mean = (gamma(random, 2) / 2) * 5e-6 * 40_000;
      let [failures, t] = [0, -Math.log(1 - random())];
      for (; t < mean; t -= Math.log(1 - random())) failures += 1;
      return { failures, hours: 40_000 };
    });
    const fitted = fitGammaPrior(records, start);
    const best = marginalLogLikelihood(fitted, records);
    expect(Math.abs(meanRate(fitted) / 5e-6 - 1)).toBeLessThan(0.1);
    for (const by of [0.7, 1.4]) {
      expect(marginalLogLikelihood({ shape: fitted.shape, hours: fitted.hours * by }, records)).toBeLessThan(best);
      expect(marginalLogLikelihood({ shape: fitted.shape * by, hours: fitted.hours * by }, records)).toBeLessThan(best + 0.5);
    }
  });

  it('[RATE-3] totals move the mean and keep the spread; [RATE-5] much moves it almost all the way, little hardly', () => {
    expect(fitGammaMean(400, 4e7, start).shape).toBe(1);
    expect(meanRate(fitGammaMean(400, 4e7, start)) / 1e-5).toBeCloseTo(1, 2);
    const little = meanRate(fitGammaMean(0, 1000, start));
    expect(little).toBeLessThan(2e-6);
    expect(little).toBeGreaterThan(1.9e-6);
    expect(fitModel([{ class: 'supply', failures: 3, hoursInService: 1e6 }]).rates.supply.source).toBe('own totals');
  });

  it('[RATE-1] a posterior mean lies between the class and the own frequency', () => {
    fc.assert(
      fc.property(fc.nat(20), fc.double({ min: 1, max: 1e6, noNaN: true }), (failures, hours) => {
        const mean = meanRate(posteriorRate(start, failures, hours));
        const [low, high] = [meanRate(start), failures / hours].sort((a, b) => a - b) as [number, number];
        expect(mean).toBeGreaterThanOrEqual(low * (1 - 1e-12));
        expect(mean).toBeLessThanOrEqual(high * (1 + 1e-12));
      }),
    );
  });

  it('[FAC-3] without differences within a class the weights stay where they start; a planted weight is found', () => {
    const same = Array.from({ length: 50 }, () => ({ class: 'path-radio' as const, failures: 1, hoursInService: 1000, marginDb: 10 }));
    expect(fitWeights(same, DEFAULT_SETTINGS).per10DbMissing).toBeCloseTo(Math.log(2), 9);
    const planted = Array.from({ length: 400 }, (_, i) => ({ class: 'path-radio' as const, failures: i % 2 === 0 ? 10 : 40, hoursInService: 1e6, marginDb: i % 2 === 0 ? 20 : 10 }));
    expect(fitWeights(planted, DEFAULT_SETTINGS).per10DbMissing).toBeCloseTo(Math.log(4), 2);
  });

  it('[FAC-3] records that say better-is-worse leave the weight at nothing, not below', () => {
    const absurd = Array.from({ length: 400 }, (_, i) => ({ class: 'path-radio' as const, failures: i % 2 === 0 ? 40 : 10, hoursInService: 1e6, marginDb: i % 2 === 0 ? 20 : 10 }));
    expect(fitWeights(absurd, DEFAULT_SETTINGS).per10DbMissing).toBe(0);
  });
});

describe('[BAT-3] battery fit', () => {
  const rule = { shape: 3, scaleYears: 6 };
  const settings = DEFAULT_SETTINGS;
  const life = (random: () => number, from: number) => 4 * ((from / 4) ** 2.5 - Math.log(1 - random())) ** (1 / 2.5);

  it.each(['replaced at three years', 'watched from two years', 'found at yearly checks'])('%s: still the truth (shape 2.5, scale 4)', (how) => {
    const random = seeded(11);
    const lives = Array.from({ length: 4000 }, () => {
      const from = how.startsWith('watched') ? 2 : 0;
      const end = life(random, from);
      const until = how.startsWith('replaced') ? 3 : how.startsWith('watched') ? 3.5 : 50;
      if (how.startsWith('found')) return { fromAgeYears: 0, toAgeYears: Math.ceil(end), lastGoodAgeYears: Math.floor(end), temperatureC: 25, failed: true };
      return { fromAgeYears: from, toAgeYears: Math.min(end, until), temperatureC: 25, failed: end < until };
    });
    const fitted = fitWeibull(lives, rule, 1e6, settings);
    expect(fitted.scaleYears).toBeGreaterThan(3.8);
    expect(fitted.scaleYears).toBeLessThan(4.2);
    expect(fitted.shape).toBeGreaterThan(2.3);
    expect(fitted.shape).toBeLessThan(2.7);
  });

  it('[BAT-5] no life, or lives of no length, leave the rule', () => {
    expect(fitWeibull([], rule, 20, settings)).toEqual(rule);
    expect(fitWeibull([{ fromAgeYears: 1, toAgeYears: 1, temperatureC: null, failed: false }], rule, 20, settings)).toEqual(rule);
  });
});

describe('a model', () => {
  it('is plain data, carries its window, and equal histories have equal versions', () => {
    const history = [{ class: 'supply' as const, failures: 3, hoursInService: 1e6 }];
    const model = fitModel(history, { window: { from: '2024-01-01', to: '2026-12-31' } });
    expect(JSON.parse(JSON.stringify(model))).toEqual(model);
    expect(model.window).toEqual({ from: '2024-01-01', to: '2026-12-31' });
    expect(fitModel(history).version).toBe(fitModel(history).version);
    expect(fitModel([]).version).not.toBe(fitModel(history).version);
    expect(fitModel([], { version: 'night 7' }).version).toBe('night 7');
  });

  it.each([
    [{ class: 'supply', failures: -1, hoursInService: 1 }, 'history of supply: failures is -1; accepted: a number from 0'],
    [{ class: 'supply', failures: 1, hoursInService: 0 }, 'history of supply: 1 failures in 0 hours; accepted: hours above 0'],
    [{ class: 'dish', failures: 0, hoursInService: 0 }, /history: class is dish; accepted: supply, battery/],
    [{ class: 'supply', failures: 0, hoursInService: 1, perComponent: [{ failures: 0.5, hoursInService: 1 }] }, /perComponent\[0\]\.failures/],
  ])('[CLS-4] %j is refused', (one, message) => expect(() => fitModel([one as never])).toThrow(message as string));
});
