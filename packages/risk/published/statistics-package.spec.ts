/**
 * The distributions of a general-purpose statistics package as reference: scipy.stats 1.17.1 (gamma, weibull_min and lomax; run on 2026-11-25,
 * all digits as printed). Parameters: shape a and rate b per hour; Weibull shape and scale in years.
 */
import { describe, expect, it } from 'vitest';
import { failsWithin, meanLife, meanRemaining, rateInterval, survivalOver } from '../src/index.js';
import { gammaP, gammaQuantile } from '../src/special-functions.js';

describe('[RATE-6] gamma quantiles: gamma.ppf(p, a, scale=1/b)', () => {
  it.each([
    [0.025, 0.5, 1e5, 4.910345585876278e-9],
    [0.975, 0.5, 1e5, 2.5119430936574444e-5],
    [0.05, 1.6, 369_800, 5.626932736246586e-7],
    [0.95, 1.6, 369_800, 1.1031205048157036e-5],
    [0.025, 8.6, 13_147_180, 2.927138584082093e-7],
    [0.975, 8.6, 13_147_180, 1.1583805984023425e-6],
    [0.5, 1.2, 342_857, 2.589815035057744e-6],
    [0.975, 40, 1, 53.31428386583284],
  ])('p %f of gamma(%f, %f)', (p, shape, hours, value) => expect(gammaQuantile(p, shape, hours) / value).toBeCloseTo(1, 9));

  it('an interval is its two quantiles', () => {
    const { low, high } = rateInterval({ shape: 0.5, hours: 1e5 }, 0.95);
    expect(low / 4.910345585876278e-9).toBeCloseTo(1, 9);
    expect(high / 2.5119430936574444e-5).toBeCloseTo(1, 9);
  });
});

describe('incomplete gamma: gamma.cdf(x, a)', () => {
  it.each([
    [0.3, 0.1, 0.5459128495917965],
    [0.3, 2, 0.977974019172853],
    [2.5, 1, 0.15085496391539038],
    [20, 15, 0.12478121503252496],
    [20, 30, 0.9781265315586091],
    [150, 140, 0.2095436239186071],
  ])('shape %f at %f', (shape, x, value) => expect(gammaP(shape, x)).toBeCloseTo(value, 12));
});

describe('[BAT-1] Weibull: weibull_min(shape, scale): cdf, mean, and mean left given alive', () => {
  it.each([
    [3, 6, 4, 0.25643292079409363, 5.357877069415494, 2.1931175204034385],
    [3.6, 5.4, 5, 0.5314016181886276, 4.865970689724364, 1.1555845104678575],
    [1.5, 8, 2, 0.1175030974154046, 7.221962343607468, 6.026277941149784],
  ])('shape %f, scale %f, at %f years', (shape, scaleYears, at, cdf, mean, left) => {
    const life = { shape, scaleYears };
    expect(failsWithin(life, 0, at)).toBeCloseTo(cdf, 12);
    expect(meanLife(life)).toBeCloseTo(mean, 10);
    expect(meanRemaining(life, at)).toBeCloseTo(left, 8);
  });
});

describe('[EXP-2] survival with an uncertain rate: lomax(a, scale=b).sf(t)', () => {
  it.each([
    [1.6, 369_800, 1000, 0.9956884977462278],
    [0.5, 1e5, 8766, 0.9588560690266137],
    [20, 20, 0.7, 0.5025658844316698],
  ])('gamma(%f, %f), %f hours', (shape, hours, t, value) => expect(survivalOver({ shape, hours }, t)).toBeCloseTo(value, 13));
});
