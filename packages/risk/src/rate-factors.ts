/**
 * What moves a component's rate besides its own failures: radio margin, its trend, marginal readings, environment. Log-linear, so that
 * factors multiply. Rules FAC-1..8 in SPEC.md; their fit is in fit-weights.ts.
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

/** Numbers in a row of covariates. */
export const COVARIATES = 4;

type Row = readonly [missing: number, trend: number, marginal: number, harsh: number];

/** Multiplier of the class's rate. Never falls when margin shrinks, its loss grows, a marginal reading is added or the place is harsh. */
export function rateFactor(weights: FactorWeights, cls: ComponentClass, facts: FactorFacts, settings: RiskSettings): number {
  const [missing, trend, marginal, harsh] = covariates(cls, facts, settings.unknownMarginDb);
  const lot = weights.cohorts === undefined || facts.cohort === undefined || facts.cohort === null ? 0 : (weights.cohorts[lotKey(cls, facts.cohort)] ?? 0);
  return Math.exp(weights.per10DbMissing * missing + weights.per5DbLostAYear * trend + weights.perMarginalReading * marginal + weights.harsh * harsh + lot);
}

/** How `cohorts` names a year of installation. */
export function lotKey(cls: ComponentClass, year: number): string {
  return `${cls} ${year}`;
}

/** What a factor is made of; beyond the stated ends a value says no more. */
export function covariates(cls: ComponentClass, facts: FactorFacts, unknownMarginDb: number): Row {
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
