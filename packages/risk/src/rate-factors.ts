/**
 * What moves a component's rate besides its own failures: radio margin, its trend, marginal readings, environment. Log-linear, so that
 * factors multiply; fitted with shrinkage towards the starting rule. Rules FAC-1..6 in SPEC.md.
 */
import { CLASS_DEFAULTS, type ComponentClass, type RiskSettings } from './component-classes.js';

/** Log of the factor per unit: 10 dB of margin missing below 20 dB, 5 dB lost per year, one marginal reading, a harsh place. */
export interface FactorWeights {
  readonly per10DbMissing: number;
  readonly per5DbLostAYear: number;
  readonly perMarginalReading: number;
  readonly harsh: number;
  /** Log of the factor per class and year of installation ('detector-wireless 2021'); a year left out is as its class. */
  readonly cohorts?: Readonly<Record<string, number>>;
}

export const DEFAULT_WEIGHTS: FactorWeights = {
  per10DbMissing: Math.log(2),
  per5DbLostAYear: Math.log(1.5),
  perMarginalReading: Math.log(1.25),
  harsh: Math.log(1.5),
};

/** Where the starting weights come from. */
export const WEIGHTS_SOURCE = 'company rule: 20 dB of margin preferred and 10 dB the minimum of common practice (from memory); rate doubled per 10 dB missing';

/** What the factor of one component depends on. */
export interface FactorFacts {
  readonly marginDb?: number | null;
  readonly marginTrendDbPerYear?: number | null;
  readonly marginalCount?: number;
  /** Null: not known, counted as harsh. */
  readonly harsh?: boolean | null;
  /** Year of installation. */
  readonly cohort?: number | null;
}

// Beyond these ends a further dB or reading says nothing new; unbounded, one wild value would own the score.
const GOOD_MARGIN_DB = 20;
const MOST_MISSING = 3;
const MOST_SPARE = 1;
const MOST_TREND = 2;
const MOST_MARGINAL = 6;

type Row = readonly [missing: number, trend: number, marginal: number, harsh: number];

/** Multiplier of the class's rate. Never falls when margin shrinks, its loss grows, a marginal reading is added or the place is harsh. */
export function rateFactor(weights: FactorWeights, cls: ComponentClass, facts: FactorFacts, settings: RiskSettings): number {
  const [missing, trend, marginal, harsh] = covariates(cls, facts, settings.unknownMarginDb);
  const lot = weights.cohorts === undefined || facts.cohort === undefined || facts.cohort === null ? 0 : (weights.cohorts[cohortKey(cls, facts.cohort)] ?? 0);
  return Math.exp(weights.per10DbMissing * missing + weights.per5DbLostAYear * trend + weights.perMarginalReading * marginal + weights.harsh * harsh + lot);
}

function cohortKey(cls: ComponentClass, year: number): string {
  return `${cls} ${year}`;
}

// A lot begins as its class with the weight of a dozen expected failures: about 30 % at one standard deviation (company rule).
const LOT_FAILURES = 12;

/**
 * Log factors of the years of installation within each class: failures seen over those expected at the class's rate, shrunk towards 1. The
 * battery has none: its age already says when it was fitted.
 */
export function fitCohorts(records: readonly FactorRecord[], weights: FactorWeights, settings: RiskSettings): Record<string, number> {
  const classes = new Map<ComponentClass, { failures: number; hours: number; years: Map<number, { failures: number; hours: number }> }>();
  for (const record of records) {
    if (record.class === 'battery' || record.hoursInService <= 0) continue;
    const of = classes.get(record.class) ?? { failures: 0, hours: 0, years: new Map() };
    const hours = record.hoursInService * rateFactor(weights, record.class, record, settings);
    of.failures += record.failures;
    of.hours += hours;
    classes.set(record.class, of);
    if (record.cohort === undefined || record.cohort === null) continue;
    const year = of.years.get(record.cohort) ?? { failures: 0, hours: 0 };
    of.years.set(record.cohort, { failures: year.failures + record.failures, hours: year.hours + hours });
  }
  const found: Record<string, number> = {};
  for (const [cls, { failures, hours, years }] of [...classes].sort(([a], [b]) => a.localeCompare(b))) {
    for (const [year, seen] of [...years].sort(([a], [b]) => a - b)) found[cohortKey(cls, year)] = Math.log((LOT_FAILURES + seen.failures) / (LOT_FAILURES + (failures / hours) * seen.hours));
  }
  return found;
}

function covariates(cls: ComponentClass, facts: FactorFacts, unknownMarginDb: number): Row {
  const radio = CLASS_DEFAULTS[cls].radio;
  const missing = radio ? (GOOD_MARGIN_DB - (facts.marginDb ?? unknownMarginDb)) / 10 : 0;
  const trend = radio ? (facts.marginTrendDbPerYear ?? 0) / 5 : 0;
  return [
    Math.max(-MOST_SPARE, Math.min(MOST_MISSING, missing)),
    Math.max(0, Math.min(MOST_TREND, trend)),
    Math.min(MOST_MARGINAL, facts.marginalCount ?? 0),
    facts.harsh === true || facts.harsh === null ? 1 : 0,
  ];
}

/** One component's record for the fit. */
export interface FactorRecord extends FactorFacts {
  readonly class: ComponentClass;
  readonly failures: number;
  readonly hoursInService: number;
  /** Verdicts on record, good and bad; without them failures are taken at their word. */
  readonly verdicts?: number;
  /** Hours that the verdicts cover, down or not; as `hoursInService` when left out. */
  readonly lookedH?: number;
  /** Looks that found it failed, when at some of them more than one failure was found. */
  readonly failedLooks?: number;
  /** Failures that a second look confirmed before anything was done; and those it found good, which are not among `failures`. */
  readonly confirmed?: number;
  readonly unconfirmed?: number;
}

// One standard deviation of each log weight about its start.
const WEIGHT_SD = 0.4;
const MOST_STEPS = 50;

/** What weights cost by their distance from the starting rule, as in their fit. */
export function weightsCost(weights: FactorWeights): number {
  const off = (['per10DbMissing', 'per5DbLostAYear', 'perMarginalReading', 'harsh'] as const).map((name) => (weights[name] - DEFAULT_WEIGHTS[name]) / WEIGHT_SD);
  return 0.5 * off.reduce((sum, one) => sum + one * one, 0);
}

/**
 * Weights fitted by Poisson likelihood with a free rate per class (so that only differences within a class count), held near the start by
 * normal priors. Records of radio classes without a margin are left out; those of an unknown place are compared among themselves. No weight falls below zero: worse never counts as better.
 */
export function fitWeights(records: readonly FactorRecord[], settings: RiskSettings, start: FactorWeights = DEFAULT_WEIGHTS): FactorWeights {
  const strata = new Map<string, { row: Row; failures: number; hours: number }[]>();
  for (const record of records) {
    if (record.hoursInService <= 0 || (CLASS_DEFAULTS[record.class].radio && (record.marginDb ?? null) === null)) continue;
    const within = record.harsh === null ? `${record.class}, place not known` : record.class;
    const stratum = strata.get(within) ?? [];
    stratum.push({ row: covariates(record.class, record, settings.unknownMarginDb), failures: record.failures, hours: record.hoursInService });
    strata.set(within, stratum);
  }
  const centre = [start.per10DbMissing, start.per5DbLostAYear, start.perMarginalReading, start.harsh];
  const at = [...centre];
  for (let n = 0; n < MOST_STEPS; n++) {
    const gradient = at.map((w, i) => -(w - (centre[i] as number)) / WEIGHT_SD ** 2);
    const curvature = at.map((_, i) => at.map((__, j) => (i === j ? 1 / WEIGHT_SD ** 2 : 0)));
    for (const stratum of strata.values()) addStratum(stratum, at, gradient, curvature);
    const step = solve(curvature, gradient);
    step.forEach((s, i) => (at[i] = (at[i] as number) + Math.max(-1, Math.min(1, s))));
    if (step.every((s) => Math.abs(s) < 1e-10)) break;
  }
  const [missing, trend, marginal, harsh] = at.map((w) => Math.max(0, w)) as [number, number, number, number];
  return { per10DbMissing: missing, per5DbLostAYear: trend, perMarginalReading: marginal, harsh };
}

// Profile likelihood of one class: its rate is eliminated, leaving K × (mean and covariance of the covariates, weighted by expected failures).
function addStratum(rows: readonly { row: Row; failures: number; hours: number }[], at: readonly number[], gradient: number[], curvature: number[][]): void {
  let total = 0;
  let failures = 0;
  const mean = [0, 0, 0, 0];
  const square = [0, 1, 2, 3].map(() => [0, 0, 0, 0]);
  for (const { row, failures: k, hours } of rows) {
    const weight = hours * Math.exp(row[0] * (at[0] as number) + row[1] * (at[1] as number) + row[2] * (at[2] as number) + row[3] * (at[3] as number));
    total += weight;
    failures += k;
    for (let i = 0; i < 4; i++) {
      const x = row[i] as number;
      if (x === 0) continue;
      mean[i] = (mean[i] as number) + weight * x;
      gradient[i] = (gradient[i] as number) + k * x;
      for (let j = 0; j < 4; j++) (square[i] as number[])[j] = ((square[i] as number[])[j] as number) + weight * x * (row[j] as number);
    }
  }
  if (failures === 0) return;
  for (let i = 0; i < 4; i++) {
    const mi = (mean[i] as number) / total;
    gradient[i] = (gradient[i] as number) - failures * mi;
    for (let j = 0; j < 4; j++) {
      const covariance = ((square[i] as number[])[j] as number) / total - mi * ((mean[j] as number) / total);
      (curvature[i] as number[])[j] = ((curvature[i] as number[])[j] as number) + failures * covariance;
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
