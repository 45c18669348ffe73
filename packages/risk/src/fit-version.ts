/**
 * A night's version of the model: fitted to all history, judged by its twin, which is the same fit to what was known before an interval that
 * is held back. The version in use is judged by its own twin on the same cases, so that neither has seen what it predicts. Rules BACK-2..7.
 */
import { backTest, type BackTest, brier, areaUnderCurve, mayPromote, type Outcome } from './back-test.js';
import type { ComponentClass } from './component-classes.js';
import { type ClassHistory, type DataWindow, fitModel, type FitOptions, type RiskModel } from './fit-model.js';
import { failureChance } from './predict.js';
import { type Comparison, comparePredictions } from './resample.js';
import type { ComponentInput } from './site-input.js';
import { NO_WRONG_VERDICTS } from './wrong-verdicts.js';

/** One component as it was known on a day, and what its checks then showed. */
export interface BackTestCase {
  /** As known on `fromDay`: nothing recorded later. */
  readonly component: ComponentInput;
  /** Day from which a failure would have gone unseen: its last proof before the interval, or the interval's first day. */
  readonly fromDay: number;
  /** Day of the last look in the interval. */
  readonly untilDay: number;
  /** Whether a check of the interval found it failed. */
  readonly happened: boolean;
  /** Whether checks found it failed in an interval of the same length before; null when it was never looked at. */
  readonly lastWasBad: boolean | null;
}

/** The interval that is held back, and what was known when it began. */
export interface HeldBack {
  readonly window: DataWindow;
  /** History known on the day it began. */
  readonly history: readonly ClassHistory[];
  readonly cases: readonly BackTestCase[];
  /** The same one interval earlier: what the simple rules learn their frequencies from. */
  readonly learn: readonly BackTestCase[];
}

/** The version in use, as far as judging needs it; null twin: it was never judged. */
export interface PresentVersion {
  readonly version: string;
  readonly twin: RiskModel | null;
}

/** A simple rule beside ours: what it reaches, and by how much ours is better, with intervals. */
export interface RuleReport {
  readonly rule: 'age-only' | 'last-result-only';
  readonly areaUnderCurve: number;
  readonly brier: number;
  readonly ours: Comparison;
}

/** Kept with every version, promoted or refused. Null parts: there was too little to judge by. */
export interface VersionReport {
  readonly heldBack: DataWindow | null;
  readonly cases: number;
  readonly happened: number;
  readonly ours: BackTest | null;
  readonly byClass: readonly { readonly class: ComponentClass; readonly cases: number; readonly predicted: number; readonly observed: number }[];
  readonly rules: readonly RuleReport[];
  readonly present: { readonly version: string; readonly areaUnderCurve: number; readonly brier: number; readonly against: Comparison } | null;
  readonly promote: boolean;
  readonly why: string;
}

export interface FittedVersion {
  readonly model: RiskModel;
  readonly twin: RiskModel | null;
  readonly report: VersionReport;
}

/** Fewer failures or non-failures than this say nothing of which model is better. */
export const LEAST_OF_EACH = 10;
const RESAMPLES = 200;
// Resampling sorts nothing but counts every case each time; beyond this many cases fewer resamples give the same interval.
const MANY_CASES = 200_000;

/**
 * Fits and judges a version. Without a held-back interval, or with fewer than ten failures in it, the version is promoted and says that
 * nothing could be judged; otherwise it must be no worse than the version in use (or, without one, than the starting rules).
 */
export function fitVersion(history: readonly ClassHistory[], held: HeldBack | null, present: PresentVersion | null, options: FitOptions & { readonly seed: number }): FittedVersion {
  const { seed, ...fit } = options;
  const model = fitModel(history, fit);
  if (held === null) return { model, twin: null, report: unjudged(null, 0, 0, 'history is too short to hold a part of it back: promoted without a back-test') };
  const twin = fitModel(held.history, { ...fit, window: { from: fit.window?.from ?? held.window.from, to: held.window.from } });
  const happened = held.cases.filter((one) => one.happened).length;
  const fewest = Math.min(happened, held.cases.length - happened);
  if (fewest < LEAST_OF_EACH) return { model, twin, report: unjudged(held.window, held.cases.length, happened, `${happened} failures in ${held.cases.length} components held back: at least ${LEAST_OF_EACH} of each are needed to judge; promoted without a back-test`) };
  return { model, twin, report: judged(twin, held, present, seed) };
}

function unjudged(heldBack: DataWindow | null, cases: number, happened: number, why: string): VersionReport {
  return { heldBack, cases, happened, ours: null, byClass: [], rules: [], present: null, promote: true, why };
}

function judged(twin: RiskModel, held: HeldBack, present: PresentVersion | null, seed: number): VersionReport {
  const resampling = { resamples: held.cases.length > MANY_CASES ? RESAMPLES / 4 : RESAMPLES, seed };
  const ours = chancesOf(twin, held.cases);
  const report = backTest(ours);
  const rule = (name: RuleReport['rule'], fact: (one: BackTestCase) => string): RuleReport => {
    const theirs = frequencyRule(fact, held.learn, held.cases);
    return { rule: name, areaUnderCurve: areaUnderCurve(theirs), brier: brier(theirs), ours: comparePredictions(ours, theirs, resampling) };
  };
  // A version that was never judged has no twin: the starting rules stand in for it, as they do when there is none at all.
  const rival = present?.twin ?? fitModel([]);
  const theirs = chancesOf(rival, held.cases);
  const verdict = mayPromote(backTest(theirs), report);
  return {
    heldBack: held.window,
    cases: report.cases,
    happened: report.happened,
    ours: report,
    byClass: byClass(held.cases, ours),
    rules: [rule('age-only', ageFact), rule('last-result-only', (one) => String(one.lastWasBad))],
    present: { version: present?.twin ? present.version : 'starting rules', areaUnderCurve: areaUnderCurve(theirs), brier: brier(theirs), against: comparePredictions(ours, theirs, resampling) },
    promote: verdict.promote,
    why: verdict.why,
  };
}

/** What a model says of each case: that it is found failed, which wrong verdicts also do to good parts. */
export function chancesOf(model: RiskModel, cases: readonly BackTestCase[]): Outcome[] {
  const { falseFail, falsePass } = model.verdicts ?? NO_WRONG_VERDICTS;
  return cases.map((one) => {
    const failed = failureChance(model, one.component, one.fromDay, one.untilDay);
    return { chance: failed * (1 - falsePass) + (1 - failed) * falseFail, happened: one.happened };
  });
}

function byClass(cases: readonly BackTestCase[], outcomes: readonly Outcome[]): VersionReport['byClass'] {
  const sums = new Map<ComponentClass, { cases: number; predicted: number; observed: number }>();
  cases.forEach(({ component }, at) => {
    const sum = sums.get(component.class) ?? { cases: 0, predicted: 0, observed: 0 };
    const { chance, happened } = outcomes[at] as Outcome;
    sums.set(component.class, { cases: sum.cases + 1, predicted: sum.predicted + chance, observed: sum.observed + (happened ? 1 : 0) });
  });
  return [...sums].map(([cls, sum]) => ({ class: cls, ...sum }));
}

const DAYS_PER_YEAR = 365.25;

function ageFact({ component, fromDay }: BackTestCase): string {
  const years = component.ageYears ?? (component.installedDay === null ? null : (fromDay - component.installedDay) / DAYS_PER_YEAR);
  return years === null ? 'unknown' : String(Math.floor(years));
}

/** Frequency of failure in the interval before, by class and one fact: what a person with a list would say. */
export function frequencyRule(fact: (one: BackTestCase) => string, learn: readonly BackTestCase[], cases: readonly BackTestCase[]): Outcome[] {
  const key = (one: BackTestCase) => `${one.component.class} ${fact(one)}`;
  const seen = new Map<string, { n: number; k: number }>();
  for (const one of learn) {
    const at = seen.get(key(one)) ?? { n: 0, k: 0 };
    seen.set(key(one), { n: at.n + 1, k: at.k + (one.happened ? 1 : 0) });
  }
  const all = learn.length === 0 ? 0 : learn.filter((one) => one.happened).length / learn.length;
  return cases.map((one) => {
    const at = seen.get(key(one)) ?? { n: 0, k: 0 };
    // Ten cases' worth of the overall frequency: a cell of one case says little.
    return { chance: (at.k + 10 * all) / (at.n + 10), happened: one.happened };
  });
}
