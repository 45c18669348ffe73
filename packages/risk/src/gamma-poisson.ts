/** Failure rates: gamma prior, Poisson failures, and the prior fitted to the company's own history. Rules RATE-1..6 in SPEC.md. */
import { minimise } from './minimise.js';
import { gammaQuantile } from './special-functions.js';

/** Gamma distribution of a failure rate: `shape` (pseudo-failures) and `hours` (pseudo-hours, the rate parameter). */
export interface GammaRate {
  readonly shape: number;
  readonly hours: number;
}

/** Posterior after `failures` in `hours` of service. */
export function posteriorRate(prior: GammaRate, failures: number, hours: number): GammaRate {
  return { shape: prior.shape + failures, hours: prior.hours + hours };
}

/** Mean failures per hour. */
export function meanRate(rate: GammaRate): number {
  return rate.shape / rate.hours;
}

/** Equal-tailed interval holding the rate with probability `level` (0..1), failures per hour. */
export function rateInterval(rate: GammaRate, level: number): { low: number; high: number } {
  const tail = (1 - level) / 2;
  return { low: gammaQuantile(tail, rate.shape, rate.hours), high: gammaQuantile(1 - tail, rate.shape, rate.hours) };
}

/** Probability of no failure in `hours`, the rate being uncertain: (b / (b + t))^a. */
export function survivalOver(rate: GammaRate, hours: number): number {
  return Math.exp(-rate.shape * Math.log1p(hours / rate.hours));
}

/** One component's record; `hours` already multiplied by its factor. */
export interface RateRecord {
  readonly failures: number;
  readonly hours: number;
}

/** Log of the marginal probability of the records under the prior, without the terms that no prior changes. */
export function marginalLogLikelihood(prior: GammaRate, records: readonly RateRecord[]): number {
  const { shape, hours } = prior;
  const lnHours = Math.log(hours);
  let sum = 0;
  for (const record of records) {
    // ln Γ(a+k) − ln Γ(a) as a short sum: failures of one component are few.
    for (let j = 0; j < record.failures; j++) sum += Math.log(shape + j);
    sum += shape * lnHours - (shape + record.failures) * Math.log(hours + record.hours);
  }
  return sum;
}

// How far the company's mean and spread may sit from the starting rule: a factor of about 4.5 and 2 at one standard deviation.
export const MEAN_SD = 1.5;
export const SHAPE_SD = 0.7;

/**
 * Prior fitted to the records by maximum marginal likelihood, held near `start` by log-normal hyper-priors that a few dozen failures
 * outweigh. Without records the start itself.
 */
export function fitGammaPrior(records: readonly RateRecord[], start: GammaRate): GammaRate {
  if (records.length === 0) return start;
  const lnMean = Math.log(meanRate(start));
  const lnShape = Math.log(start.shape);
  const prior = (at: readonly number[]): GammaRate => {
    const shape = Math.exp(at[1] as number);
    return { shape, hours: shape / Math.exp(at[0] as number) };
  };
  const cost = (at: readonly number[]): number => {
    const m = ((at[0] as number) - lnMean) / MEAN_SD;
    const s = ((at[1] as number) - lnShape) / SHAPE_SD;
    // Beyond these bounds nothing changes but rounding.
    if (Math.abs(s) > 12 || Math.abs(m) > 12) return Infinity;
    return 0.5 * (m * m + s * s) - marginalLogLikelihood(prior(at), records);
  };
  return prior(minimise(cost, [lnMean, lnShape], 0.5));
}

/** As fitGammaPrior when only totals are known: the mean moves, the spread between components stays that of `start`. */
export function fitGammaMean(failures: number, hours: number, start: GammaRate): GammaRate {
  if (hours === 0) return start;
  const lnMean = Math.log(meanRate(start));
  // Newton on the logarithm of the mean; the cost is convex.
  let at = lnMean;
  for (let n = 0; n < 100; n++) {
    const expected = Math.exp(at) * hours;
    const step = (expected - failures + (at - lnMean) / MEAN_SD ** 2) / (expected + 1 / MEAN_SD ** 2);
    at -= Math.max(-2, Math.min(2, step));
    if (Math.abs(step) < 1e-13) break;
  }
  return { shape: start.shape, hours: start.shape / Math.exp(at) };
}
