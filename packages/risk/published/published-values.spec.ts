/** Values from outside this project; the source stands beside each. */
import { describe, expect, it } from 'vitest';
import { averagePfd, exactAverage, failsWithin, type LowDemandInput, meanRate, meanRemaining, posteriorRate, rateInterval, survivalOver } from '../src/index.js';
import { gammaP, gammaQuantile, lnGamma } from '../src/special-functions.js';

type Case = [id: string, input: Omit<LowDemandInput, 'repairH' | 'proofRepairH' | 'proofIntervalH'> & { mttrH: number }, printed: string];

/**
 * Source: 61508 Association, Dolan (2024), as transcribed in public validation notes (paper itself not seen); proof every 8760 h. MRT = MTTR
 * and the full interval of 10 years are inferences of the transcriber.
 */
const PRINTED: Case[] = [
  ['transmitters', { architecture: '2oo3', undetectedPerHour: 5e-7, detectedPerHour: 8e-7, mttrH: 8, beta: 0.1, betaDetected: 0.1 }, '2.36E-4'],
  ['analogue in', { architecture: '2oo3', undetectedPerHour: 7.06e-9, detectedPerHour: 8.86e-7, mttrH: 8, beta: 0.02, betaDetected: 0.01 }, '6.97E-7'],
  ['cpu', { architecture: '1oo2', undetectedPerHour: 4.9e-9, detectedPerHour: 1.28e-6, mttrH: 8, beta: 0.02, betaDetected: 0.01 }, '5.34E-7'],
  ['digital out', { architecture: '1oo2', undetectedPerHour: 6.81e-9, detectedPerHour: 8.61e-7, mttrH: 8, beta: 0.02, betaDetected: 0.01 }, '6.68E-7'],
  ['final elements', { architecture: '1oo2', undetectedPerHour: 2.1e-6, detectedPerHour: 4e-7, mttrH: 120, beta: 0.1, betaDetected: 0.1 }, '1.05E-3'],
  ['final elements, coverage 85 %', { architecture: '1oo2', undetectedPerHour: 2.1e-6, detectedPerHour: 4e-7, mttrH: 120, beta: 0.1, betaDetected: 0.1, coverage: 0.85, fullIntervalH: 87600 }, '2.71E-3'],
  ['cpu, coverage 98 %', { architecture: '1oo2', undetectedPerHour: 4.9e-9, detectedPerHour: 1.28e-6, mttrH: 8, beta: 0.02, betaDetected: 0.01, coverage: 0.98, fullIntervalH: 87600 }, '6.12E-7'],
  ['digital out, coverage 98 %', { architecture: '1oo2', undetectedPerHour: 6.81e-9, detectedPerHour: 8.61e-7, mttrH: 8, beta: 0.02, betaDetected: 0.01, coverage: 0.98, fullIntervalH: 87600 }, '7.76E-7'],
];
const run = ({ mttrH, ...input }: Case[1]) => averagePfd({ ...input, proofIntervalH: 8760, repairH: mttrH, proofRepairH: mttrH });
const printedForm = (value: number) => value.toExponential(2).toUpperCase();

describe('[LOW-1] IEC 61508-6 Annex B, published results', () => {
  it.each(PRINTED)('%s', (_id, input, printed) => expect(printedForm(run(input))).toBe(printed));

  it('the first five in series: 1.29E-03, risk reduction 777 (same source)', () => {
    const sum = PRINTED.slice(0, 5).reduce((total, [, input]) => total + run(input), 0);
    expect(printedForm(sum)).toBe('1.29E-3');
    expect(Math.round(1 / sum)).toBe(777);
  });

  // IEC 61508-6 Table B.2, proof every 6 months, 8 h, lambda_D 5e-8/h. From memory; the formula gives the same.
  it.each([
    [0, '1.1E-4'],
    [0.6, '4.4E-5'],
    [0.9, '1.1E-5'],
    [0.99, '1.5E-6'],
  ])('Table B.2, 1oo1, diagnostic coverage %f', (dc, printed) => {
    const pfd = averagePfd({ architecture: '1oo1', undetectedPerHour: 5e-8 * (1 - dc), detectedPerHour: 5e-8 * dc, proofIntervalH: 4380, repairH: 8, proofRepairH: 8 });
    expect(pfd.toExponential(1).toUpperCase()).toBe(printed);
  });

  it('1e-6/h tested yearly: 4.38E-03 (computed from lambda T1/2)', () => {
    expect(averagePfd({ architecture: '1oo1', undetectedPerHour: 1e-6, detectedPerHour: 0, proofIntervalH: 8760, repairH: 0, proofRepairH: 0 })).toBeCloseTo(4.38e-3, 12);
  });

  it('imperfect test: 2e-6/h, 0.9 revealed yearly, the rest in 10 years, 8 h: 0.01666 (computed)', () => {
    const pfd = averagePfd({ architecture: '1oo1', undetectedPerHour: 2e-6, detectedPerHour: 0, proofIntervalH: 8760, repairH: 8, proofRepairH: 8, coverage: 0.9, fullIntervalH: 87600 });
    expect(pfd).toBeCloseTo(0.01666, 5);
  });

  it('[LOW-2] the exact average is below the linear one by about lambda T / 3 (formula)', () => {
    const exact = exactAverage(1e-5, 8760);
    expect(0.0876 / 2 / exact - 1).toBeCloseTo(0.0876 / 3, 3);
    expect(exactAverage(1e-12, 1)).toBeCloseTo(5e-13, 20);
  });
});

/** Source: NASA/SP-2009-569 section 4.2 (text seen; one line of the stored copy prints E-9 for E-6: a slip). */
describe('[RATE-1] gamma-Poisson, NASA/SP-2009-569 section 4.2', () => {
  it('example 3: prior gamma(1.6, 365 000 h), none in 4 800 h', () => {
    const posterior = posteriorRate({ shape: 1.6, hours: 365_000 }, 0, 4_800);
    expect(posterior).toEqual({ shape: 1.6, hours: 369_800 });
    expect(meanRate(posterior).toExponential(1)).toBe('4.3e-6');
    const { low, high } = rateInterval(posterior, 0.9);
    expect(low.toExponential(1)).toBe('5.6e-7');
    expect(high.toExponential(1)).toBe('1.1e-5');
    expect(survivalOver(posterior, 1000).toFixed(3)).toBe('0.996');
  });

  it('example 5: gamma(8.6, 13 147 180): 6.54E-7; 3.35E-7 to 1.06E-6 (computed by us; the printed answer was not read)', () => {
    const rate = { shape: 8.6, hours: 13_147_180 };
    expect(meanRate(rate).toExponential(2)).toBe('6.54e-7');
    const { low, high } = rateInterval(rate, 0.9);
    expect(low.toExponential(2)).toBe('3.35e-7');
    expect(high.toExponential(2)).toBe('1.06e-6');
  });
});

describe('[BAT-1] Weibull', () => {
  // Nelson, Applied Life Data Analysis, pp. 69-70 (seen restated): shape 2, scale 13 y, alive at 6.5 y.
  const life = { shape: 2, scaleYears: 13 };
  it('Nelson: mean remaining 7.1 y', () => expect(meanRemaining(life, 6.5).toFixed(1)).toBe('7.1'));
  it('same life, computed: 7.093 y; fails in the next 2 y 0.1627; by 13 y 0.5276', () => {
    expect(meanRemaining(life, 6.5)).toBeCloseTo(7.093, 3);
    expect(failsWithin(life, 6.5, 2)).toBeCloseTo(0.1627, 4);
    expect(failsWithin(life, 6.5, 6.5)).toBeCloseTo(0.5276, 4);
  });
  // Formula R(T+t)/R(T) seen on a reliability wiki; values computed by us.
  it.each([
    [2, 5, 3, 1, 0.2442],
    [3, 5, 4, 1, 0.3861],
    [1, 5, 0, 1, 0.1813],
    [1, 5, 9, 1, 0.1813],
  ])('shape %f, scale %f, alive at %f, next %f: %f', (shape, scaleYears, at, dt, p) => expect(failsWithin({ shape, scaleYears }, at, dt)).toBeCloseTo(p, 4));
});

describe('special functions', () => {
  // Identities: Γ(n) = (n−1)!, Γ(1/2) = √π (any handbook).
  it.each([
    [1, 0],
    [2, 0],
    [5, Math.log(24)],
    [0.5, Math.log(Math.PI) / 2],
    [11, Math.log(3_628_800)],
  ])('ln gamma(%f)', (x, value) => expect(lnGamma(x)).toBeCloseTo(value, 12));

  // Identities: P(1, x) = 1 − e^−x; P(2, x) = 1 − (1 + x) e^−x.
  it.each([0.001, 0.5, 1, 2.5, 7, 40])('incomplete gamma at %f', (x) => {
    expect(gammaP(1, x)).toBeCloseTo(-Math.expm1(-x), 13);
    expect(gammaP(2, x)).toBeCloseTo(1 - (1 + x) * Math.exp(-x), 13);
  });

  // Chi-square table (from memory): 0.95 quantile with 2, 4 and 10 degrees of freedom 5.991, 9.488, 18.307; 0.025 with 10: 3.247.
  it.each([
    [0.95, 2, 5.991],
    [0.95, 4, 9.488],
    [0.95, 10, 18.307],
    [0.025, 10, 3.247],
  ])('chi-square quantile %f with %i degrees of freedom', (p, df, value) => expect(gammaQuantile(p, df / 2, 0.5)).toBeCloseTo(value, 3));
});
