/**
 * Verdicts that were wrong: a good part failed, a failed one passed. How often a company's are is told by its records as a whole (true failures
 * follow the rates and factors of their parts, false ones fall alike on all) and by second looks; every failure on record then counts as the
 * share of it that is likely true. Rules WRONG-1..6 in SPEC.md.
 */
import type { GammaRate } from './gamma-poisson.js';
import { gammaP, gammaQuantile } from './special-functions.js';

/** What wrong verdicts do to a record in which failures that a second look did not confirm are left out. */
export interface WrongVerdicts {
  /** Chance that a look at a good part leaves a failure on record. */
  readonly falseFail: number;
  /** Chance that a look at a failed part leaves none. */
  readonly falsePass: number;
}

export const NO_WRONG_VERDICTS: WrongVerdicts = { falseFail: 0, falsePass: 0 };

/** What one component's record says; hours already multiplied by its factor. */
export interface LookedRecord {
  readonly failures: number;
  readonly hours: number;
  /** Verdicts on record, good and bad. */
  readonly looks: number;
  /** Hours that the looks cover, down or not; as `hours` when left out. */
  readonly lookedH?: number;
  /** Looks that found it failed, when at some of them more than one failure was found. */
  readonly failedLooks?: number;
}

/**
 * Chances that so many of the failures on record are false, from none to all of them, times a number that no prior changes; the true ones are
 * gamma-Poisson, the false ones binomial among the looks that found no true one.
 */
function splits(prior: GammaRate, { failures, hours, looks }: LookedRecord, { falseFail, falsePass }: WrongVerdicts): Float64Array {
  const chances = new Float64Array(failures + 1);
  const seenH = hours * (1 - falsePass);
  const grow = seenH / (prior.hours + seenH);
  const most = Math.max(looks, failures);
  // k true failures: Γ(a+k)/(k! Γ(a)) · grow^k; the factor (b/(b+h))^a is left out here and added by the caller.
  let truly = 1;
  for (let k = 0; k <= failures; k++) {
    if (k > 0) truly *= ((prior.shape + k - 1) / k) * grow;
    const [free, wrong] = [most - k, failures - k];
    let ways = 1;
    for (let i = 0; i < wrong; i++) ways *= (free - i) / (i + 1);
    chances[wrong] = truly * ways * falseFail ** wrong * (1 - falseFail) ** (free - wrong);
  }
  return chances;
}

/** How many of the failures on record are likely true. */
export function trueFailures(prior: GammaRate, record: LookedRecord, wrong: WrongVerdicts): number {
  if (record.failures === 0 || record.looks === 0 || wrong.falseFail === 0) return record.failures;
  const chances = splits(prior, record, wrong);
  let [all, sum] = [0, 0];
  for (let j = 0; j < chances.length; j++) {
    all += chances[j] as number;
    sum += (chances[j] as number) * (record.failures - j);
  }
  return sum / all;
}

/**
 * Interval that holds a component's rate with probability `level`: the posterior is a mixture of gammas, one for each number of true failures.
 */
export function recordRateInterval(prior: GammaRate, record: LookedRecord, wrong: WrongVerdicts, level: number): { low: number; high: number } {
  const hours = prior.hours + record.hours * (1 - wrong.falsePass);
  const mixed = record.failures > 0 && record.looks > 0 && wrong.falseFail > 0;
  const chances = mixed ? splits(prior, record, wrong) : Float64Array.of(1);
  const all = chances.reduce((sum, one) => sum + one, 0);
  const parts = [...chances].map((chance, j) => ({ shape: prior.shape + record.failures - j, share: chance / all })).filter(({ share }) => share > 1e-12);
  const at = (p: number): number => {
    let [low, high] = [gammaQuantile(p, (parts.at(-1) as { shape: number }).shape, hours), gammaQuantile(p, (parts[0] as { shape: number }).shape, hours)];
    for (let n = 0; n < 60 && high - low > 1e-9 * high; n++) {
      const middle = (low + high) / 2;
      let below = 0;
      for (const { shape, share } of parts) below += share * gammaP(shape, middle * hours);
      if (below < p) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  };
  return { low: at((1 - level) / 2), high: at((1 + level) / 2) };
}

/** Second looks before anything was done, summed over the company; without any, the records as a whole must tell. */
export interface SecondLooks {
  /** Looks that found a failure which was left on record, and those of them that a second look confirmed. */
  readonly failed: number;
  readonly confirmed: number;
  /** Looks that found a failure which a second look did not: not counted as failures. */
  readonly unconfirmed: number;
  readonly verdicts: number;
}

/** Share of the failures found that are looked at again before anything is done. */
export function againOf({ failed, confirmed, unconfirmed }: SecondLooks): number {
  return confirmed + unconfirmed === 0 ? 0 : (confirmed + unconfirmed) / (failed + unconfirmed);
}

/** What a share `single` of wrong verdicts does to what stays on record, when so many of the failures found are looked at `again` (0..1). */
export function onRecord(single: number, again: number): WrongVerdicts {
  // A false failure stays on record when nobody looked again, or when the second look was wrong too; a true one is lost by either look.
  return { falseFail: single * (1 - again + again * single), falsePass: single + again * (1 - single) * single };
}

/** Shares tried before the best is refined; more than one verdict in five wrong is no record of anything. */
const SHARES_TRIED = [0, 0.005, 0.02, 0.05, 0.1, 0.2];
/** Company rule: about two verdicts in a hundred are expected wrong before the records speak. */
const EXPECTED_SHARE = 0.02;
/** Records must be so much likelier (e to this, about 50 times) with wrong verdicts than without, or verdicts are taken at their word. */
export const LEAST_EVIDENCE = 4;
const MOST_WRONG = 0.25;

export interface FoundVerdicts extends WrongVerdicts {
  /** Share of single verdicts that are wrong, either way alike. */
  readonly single: number;
  readonly secondLooks: number;
}

/**
 * Share of wrong verdicts under which records and second looks are likeliest; `recordsCost` is minus the logarithm of how likely the records
 * are. A look that fails and is good again has chance w(1 − w) whatever the true rate: (1 − q)·w·(1 − w) of a good part, q·(1 − w)·w of a
 * failed one. So second looks tell w without rates.
 */
export function fitWrongVerdicts(recordsCost: (wrong: WrongVerdicts) => number, second: SecondLooks): FoundVerdicts {
  const { confirmed, unconfirmed, verdicts } = second;
  const secondLooks = confirmed + unconfirmed;
  const again = againOf(second);
  const none = { ...NO_WRONG_VERDICTS, single: 0, secondLooks };
  if (verdicts === 0) return none;
  const costAt = (single: number): number => {
    const unlike = single * (1 - single) * again;
    const seconds = secondLooks === 0 ? 0 : (unconfirmed > 0 ? unconfirmed * Math.log(unlike) : 0) + (verdicts - unconfirmed) * Math.log1p(-unlike);
    return single / EXPECTED_SHARE - seconds + recordsCost(onRecord(single, again));
  };
  const costs = SHARES_TRIED.map(costAt);
  const best = costs.indexOf(Math.min(...costs));
  if (best === 0) return none;
  const single = least(costAt, SHARES_TRIED[best - 1] as number, SHARES_TRIED[best + 1] ?? MOST_WRONG);
  return (costs[0] as number) - costAt(single) < LEAST_EVIDENCE ? none : { ...onRecord(single, again), single, secondLooks };
}

const GOLDEN = (Math.sqrt(5) - 1) / 2;
const SHARE_WITHIN = 1e-3;

// Golden section.
function least(costAt: (x: number) => number, from: number, to: number): number {
  let [a, b] = [from, to];
  let [x, y] = [b - GOLDEN * (b - a), a + GOLDEN * (b - a)];
  let [fx, fy] = [costAt(x), costAt(y)];
  while (b - a > SHARE_WITHIN) {
    if (fx < fy) {
      [b, y, fy] = [y, x, fx];
      x = b - GOLDEN * (b - a);
      fx = costAt(x);
    } else {
      [a, x, fx] = [x, y, fy];
      y = a + GOLDEN * (b - a);
      fy = costAt(y);
    }
  }
  return (a + b) / 2;
}
