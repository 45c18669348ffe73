/** Weights of the factors and the years of installation, fitted with shrinkage towards the starting rule. Rules FAC-3 and FAC-7 in SPEC.md. */
import type { RiskSettings } from './component-classes.js';
import { factorsOf, type FitTable, fitTable } from './fit-table.js';
import { COVARIATES, DEFAULT_WEIGHTS, type FactorRecord, type FactorWeights } from './rate-factors.js';

// One standard deviation of each log weight about its start.
const WEIGHT_SD = 0.4;
const MOST_STEPS = 50;

/** What weights cost by their distance from the starting rule, as in their fit. */
export function weightsCost(weights: FactorWeights): number {
  const off = (['per10DbMissing', 'per5DbLostAYear', 'perMarginalReading', 'harsh'] as const).map((name) => (weights[name] - DEFAULT_WEIGHTS[name]) / WEIGHT_SD);
  return 0.5 * off.reduce((sum, one) => sum + one * one, 0);
}

/** Weights and lots of the table's records, of which `failures` are taken as true. */
export function weightsOf(table: FitTable, failures: Float64Array): FactorWeights {
  const within = fitTableWeights(table, failures, DEFAULT_WEIGHTS);
  const cohorts = fitLots(table, failures, within);
  return Object.keys(cohorts).length === 0 ? within : { ...within, cohorts };
}

/**
 * Weights fitted by Poisson likelihood with a free rate per class (so that only differences within a class count), held near the start by
 * normal priors. Records of radio classes without a margin are left out; those of an unknown place are compared among themselves. No weight falls below zero: worse never counts as better.
 */
export function fitWeights(records: readonly FactorRecord[], settings: RiskSettings, start: FactorWeights = DEFAULT_WEIGHTS): FactorWeights {
  const table = fitTable(records, settings);
  return fitTableWeights(table, table.failures, start);
}

// A lot begins as its class with the weight of a dozen expected failures: about 30 % at one standard deviation (company rule).
const LOT_FAILURES = 12;

// Log factors of the years of installation within each class: failures seen over those expected at the class's rate, shrunk towards 1.
function fitLots(table: FitTable, failures: Float64Array, weights: FactorWeights): Record<string, number> {
  const factors = factorsOf(table, weights);
  const seen = new Float64Array(table.lots.length);
  const hours = new Float64Array(table.lots.length);
  const lots: { at: number; classRate: number }[] = [];
  for (const members of table.rated.values()) {
    let [classSeen, classHours] = [0, 0];
    const own = new Set<number>();
    for (const at of members) {
      const served = (table.hours[at] as number) * (factors[at] as number);
      classSeen += failures[at] as number;
      classHours += served;
      const lot = table.lotOf[at] as number;
      if (lot < 0) continue;
      own.add(lot);
      seen[lot] = (seen[lot] as number) + (failures[at] as number);
      hours[lot] = (hours[lot] as number) + served;
    }
    for (const lot of own) lots.push({ at: lot, classRate: classSeen / classHours });
  }
  const name = ({ at }: { at: number }) => table.lots[at] as string;
  // In order of their names, so that equal records give models that read alike.
  lots.sort((a, b) => name(a).localeCompare(name(b)));
  return Object.fromEntries(lots.map((lot) => [name(lot), Math.log((LOT_FAILURES + (seen[lot.at] as number)) / (LOT_FAILURES + lot.classRate * (hours[lot.at] as number)))]));
}

function fitTableWeights(table: FitTable, failures: Float64Array, start: FactorWeights): FactorWeights {
  const centre = [start.per10DbMissing, start.per5DbLostAYear, start.perMarginalReading, start.harsh];
  const at = [...centre];
  for (let n = 0; n < MOST_STEPS; n++) {
    const gradient = at.map((w, i) => -(w - (centre[i] as number)) / WEIGHT_SD ** 2);
    const curvature = at.map((_, i) => at.map((__, j) => (i === j ? 1 / WEIGHT_SD ** 2 : 0)));
    addStrata(table, failures, at, gradient, curvature);
    const step = solve(curvature, gradient);
    step.forEach((s, i) => (at[i] = (at[i] as number) + Math.max(-1, Math.min(1, s))));
    if (step.every((s) => Math.abs(s) < 1e-10)) break;
  }
  const [missing, trend, marginal, harsh] = at.map((w) => Math.max(0, w)) as [number, number, number, number];
  return { per10DbMissing: missing, per5DbLostAYear: trend, perMarginalReading: marginal, harsh };
}

/** Of one stratum: failures, expected failures, and sums over the covariates (weighted means, squares, and those of the failures). */
const SUMS = 2 + 2 * COVARIATES + COVARIATES * COVARIATES;

// Profile likelihood of each stratum: its rate is eliminated, leaving K × (mean and covariance of the covariates, weighted by expected failures).
function addStrata(table: FitTable, failures: Float64Array, at: readonly number[], gradient: number[], curvature: number[][]): void {
  const { rows, hours, stratumOf } = table;
  const [w0, w1, w2, w3] = at as [number, number, number, number];
  const sums = new Float64Array(table.strata * SUMS);
  const add = (place: number, value: number): void => {
    sums[place] = (sums[place] as number) + value;
  };
  for (let record = 0, r = 0; record < table.count; record++, r += COVARIATES) {
    const stratum = stratumOf[record] as number;
    if (stratum < 0) continue;
    const k = failures[record] as number;
    const weight = (hours[record] as number) * Math.exp(w0 * (rows[r] as number) + w1 * (rows[r + 1] as number) + w2 * (rows[r + 2] as number) + w3 * (rows[r + 3] as number));
    const own = stratum * SUMS;
    add(own, k);
    add(own + 1, weight);
    for (let i = 0; i < COVARIATES; i++) {
      const x = rows[r + i] as number;
      if (x === 0) continue;
      add(own + 2 + i, k * x);
      add(own + 2 + COVARIATES + i, weight * x);
      // The covariance is symmetric: half of it is enough.
      for (let j = 0; j <= i; j++) add(own + 2 + 2 * COVARIATES + i * COVARIATES + j, weight * x * (rows[r + j] as number));
    }
  }
  for (let own = 0; own < sums.length; own += SUMS) {
    const [seen, total] = [sums[own] as number, sums[own + 1] as number];
    if (seen === 0) continue;
    const mean = (i: number): number => (sums[own + 2 + COVARIATES + i] as number) / total;
    for (let i = 0; i < COVARIATES; i++) {
      gradient[i] = (gradient[i] as number) + (sums[own + 2 + i] as number) - seen * mean(i);
      for (let j = 0; j < COVARIATES; j++) {
        const square = sums[own + 2 + 2 * COVARIATES + Math.max(i, j) * COVARIATES + Math.min(i, j)] as number;
        (curvature[i] as number[])[j] = ((curvature[i] as number[])[j] as number) + seen * (square / total - mean(i) * mean(j));
      }
    }
  }
}

// Gaussian elimination without pivoting: the matrix is a covariance plus a positive diagonal.
function solve(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const m = matrix.map((row, i) => [...row, right[i] as number]);
  for (let i = 0; i < m.length; i++) {
    const pivot = m[i] as number[];
    for (let r = i + 1; r < m.length; r++) {
      const row = m[r] as number[];
      const by = (row[i] as number) / (pivot[i] as number);
      for (let c = i; c < row.length; c++) row[c] = (row[c] as number) - by * (pivot[c] as number);
    }
  }
  const x = right.map(() => 0);
  for (let i = m.length - 1; i >= 0; i--) {
    const row = m[i] as number[];
    let sum = row[m.length] as number;
    for (let c = i + 1; c < m.length; c++) sum -= (row[c] as number) * (x[c] as number);
    x[i] = sum / (row[i] as number);
  }
  return x;
}
