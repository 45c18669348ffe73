/**
 * Priors fitted to looks instead of to hours: each look finds a part failed or not, and is itself wrong now and then. Of a rate λ and T hours
 * between looks a look finds a failure with chance f + (1 − f − p)(1 − e^−λT), f the chance of a false failure and p of a false pass; the
 * gamma of the rates is summed over a grid of λ. Rules WRONG-1..3 in SPEC.md.
 */
import { type GammaRate, MEAN_SD, meanRate, SHAPE_SD } from './gamma-poisson.js';
import { minimise } from './minimise.js';
import { gammaP, lnGamma } from './special-functions.js';
import type { LookedRecord, WrongVerdicts } from './wrong-verdicts.js';

// A trapezoid in ln λ settles fast for so smooth a sum: with steps of a third it is right to six figures.
const STEP = 0.35;
const BELOW = 12;
const ABOVE = 7;
const POINTS = Math.round((BELOW + ABOVE) / STEP) + 1;
// Hours between looks within a twentieth of each other are taken as their mean: what that changes is of the second order.
const CELLS_PER_E = 20;

/** Components alike in failures, looks and hours between them. */
interface Cell {
  readonly failed: number;
  readonly looks: number;
  readonly hours: number;
  readonly count: number;
}

/** The records of one class, equal ones put together, so that a fit of a large fleet goes over hundreds of cells and not over each component. */
export interface LookedClass {
  readonly start: GammaRate;
  readonly cells: readonly Cell[];
}

export function lookedClass(start: GammaRate, records: readonly LookedRecord[]): LookedClass {
  const cells = new Map<number, { failed: number; looks: number; hours: number; count: number }>();
  for (const record of records) {
    const { failures, failedLooks, looks } = record;
    const hours = looks === 0 ? record.hours : (record.lookedH ?? record.hours);
    const failed = failedLooks ?? failures;
    const key = (failed * 4096 + looks) * 4096 + Math.round(Math.log1p(hours) * CELLS_PER_E);
    const cell = cells.get(key);
    if (cell === undefined) cells.set(key, { failed, looks: Math.max(looks, looks === 0 ? 0 : failed), hours, count: 1 });
    else {
      cell.hours += hours;
      cell.count += 1;
    }
  }
  return { start, cells: [...cells.values()].map((cell) => ({ ...cell, hours: cell.hours / cell.count })) };
}

interface Likelihoods {
  readonly rates: Float64Array;
  /** One row of POINTS per cell, over its greatest. */
  readonly rows: Float64Array;
  /** Logarithm of the greatest, times the cell's count. */
  readonly tops: number;
}

function likelihoods({ start, cells }: LookedClass, { falseFail, falsePass }: WrongVerdicts): Likelihoods {
  const lnLeast = Math.log(meanRate(start)) - BELOW;
  const rates = Float64Array.from({ length: POINTS }, (_, g) => Math.exp(lnLeast + g * STEP));
  const rows = new Float64Array(cells.length * POINTS);
  const telling = 1 - falseFail - falsePass;
  let tops = 0;
  cells.forEach(({ failed, looks, hours, count }, at) => {
    const between = looks > 0 ? hours / looks : 0;
    let top = -Infinity;
    for (let g = 0; g < POINTS; g++) {
      const rate = rates[g] as number;
      let log: number;
      if (looks === 0) log = failed * Math.log(rate) - rate * hours;
      else {
        const bad = falseFail - telling * Math.expm1(-rate * between);
        log = (failed === 0 ? 0 : failed * Math.log(bad)) + (looks === failed ? 0 : (looks - failed) * Math.log1p(-bad));
      }
      rows[at * POINTS + g] = log;
      if (log > top) top = log;
    }
    for (let g = at * POINTS; g < (at + 1) * POINTS; g++) rows[g] = Math.exp((rows[g] as number) - top);
    tops += count * top;
  });
  return { rates, rows, tops };
}

export interface LookedFit {
  readonly prior: GammaRate;
  /** Minus the logarithm of what is maximised. */
  readonly cost: number;
}

/** Prior of one class by maximum marginal likelihood of its looks at given wrong verdicts, held near its start; `from` is where to look first. */
export function fitLooks(cls: LookedClass, wrong: WrongVerdicts, within: number, from: GammaRate = cls.start): LookedFit {
  const { rates, rows, tops } = likelihoods(cls, wrong);
  const weights = new Float64Array(POINTS);
  const prior = (at: readonly number[]): GammaRate => {
    const shape = Math.exp(at[1] as number);
    return { shape, hours: shape / Math.exp(at[0] as number) };
  };
  const lnMean = Math.log(meanRate(cls.start));
  const lnShape = Math.log(cls.start.shape);
  const cost = (at: readonly number[]): number => {
    const m = ((at[0] as number) - lnMean) / MEAN_SD;
    const s = ((at[1] as number) - lnShape) / SHAPE_SD;
    if (Math.abs(s) > 6 || Math.abs(m) > 6) return Infinity;
    weigh(prior(at), rates, weights);
    let sum = 0.5 * (m * m + s * s) - tops;
    for (let c = 0; c < cls.cells.length; c++) {
      let chance = 0;
      for (let g = 0, r = c * POINTS; g < POINTS; g++, r++) chance += (weights[g] as number) * (rows[r] as number);
      sum -= (cls.cells[c] as Cell).count * Math.log(chance);
    }
    return sum;
  };
  const at = minimise(cost, [Math.log(meanRate(from)), Math.log(from.shape)], 0.25, within);
  return { prior: prior(at), cost: cost(at) };
}

// Chance of each grid rate under the gamma; what lies below the grid is at its lowest rate.
function weigh({ shape, hours }: GammaRate, rates: Float64Array, into: Float64Array): void {
  const front = shape * Math.log(hours) - lnGamma(shape);
  for (let g = 0; g < POINTS; g++) {
    const rate = rates[g] as number;
    into[g] = STEP * Math.exp(front + shape * Math.log(rate) - hours * rate);
  }
  // The trapezoid's first half step is part of what lies below.
  const least = rates[0] as number;
  into[0] = gammaP(shape, hours * least * Math.exp(STEP / 2));
}
