/**
 * [BACK-3] A fleet with known truth. RISK_FLEET_SITES=20000 runs it at the size of the report in docs/benchmarks/risk.md; the report is
 * printed when RISK_REPORT is set.
 */
import { describe, expect, it } from 'vitest';
import { type Case, syntheticFleet, TRUTH } from '../bench/synthetic-fleet.js';
import { bootstrapDifference, seeded } from './back-test.js';
import { areaUnderCurve, backTest, brier, componentRateInterval, failureChance, fitModel, type Outcome, rateFactor, type RiskModel } from './index.js';

const SITES = Number(process.env.RISK_FLEET_SITES ?? 5000);
const SEED = 20_270_301;
const say = (line: string) => {
  if (process.env.RISK_REPORT !== undefined) console.log(line);
};

const started = performance.now();
const fleet = syntheticFleet(SITES, seeded(SEED));
const model = fitModel(fleet.history);
say(`${SITES} sites, ${fleet.cases.length} components, seed ${SEED}; made and fitted in ${((performance.now() - started) / 1000).toFixed(1)} s`);

const ours = (by: RiskModel, cases: readonly Case[]): Outcome[] => cases.map((one) => ({ chance: failureChance(by, one.input, one.today, one.untilDay), happened: one.failed }));

/** Frequency of failure in the interval before, by class and one fact: what a simple rule would say. */
function rule(fact: (one: Case) => string, cases: readonly Case[], learn: readonly Case[]): Outcome[] {
  const key = (one: Case) => `${one.input.class} ${fact(one)}`;
  const seen = new Map<string, { n: number; k: number }>();
  for (const one of learn) {
    const at = seen.get(key(one)) ?? { n: 0, k: 0 };
    seen.set(key(one), { n: at.n + 1, k: at.k + (one.failed ? 1 : 0) });
  }
  return cases.map((one) => {
    const at = seen.get(key(one)) ?? { n: 0, k: 0 };
    return { chance: (at.k + 0.5) / (at.n + 10), happened: one.failed };
  });
}
const byAge = rule((one) => String(Math.floor(one.ageYears)), fleet.cases, fleet.earlier);
const byLast = rule((one) => String(one.failedBefore), fleet.cases, fleet.earlier);

/** A site fails when any of its components does: what a dispatcher ranks. */
function bySite(cases: readonly Case[], outcomes: readonly Outcome[]): Outcome[] {
  const sites = new Map<number, { none: number; happened: boolean }>();
  cases.forEach(({ site }, at) => {
    const { chance, happened } = outcomes[at] as Outcome;
    const before = sites.get(site) ?? { none: 1, happened: false };
    sites.set(site, { none: before.none * (1 - chance), happened: before.happened || happened });
  });
  return [...sites.values()].map(({ none, happened }) => ({ chance: 1 - none, happened }));
}

/** How many true rates lie in their 95 % intervals; of every five cases one: a quantile is a bisection, and thousands settle the share. */
function coverage(by: RiskModel, cases: readonly Case[]): { held: number; all: number } {
  let [held, all] = [0, 0];
  cases.forEach(({ input, trueRate }, at) => {
    if (input.class === 'battery' || at % 10 > 1) return;
    const factor = rateFactor(by.weights, input.class, input, by.settings);
    const { low, high } = componentRateInterval(by, input, 0.95);
    all += 1;
    if (trueRate >= low * factor && trueRate <= high * factor) held += 1;
  });
  return { held, all };
}

describe('[BACK-3] a fleet with known truth', () => {
  const outcomes = ours(model, fleet.cases);

  it('[RATE-2] [BAT-3] [FAC-3] fitted numbers come near the truth', () => {
    for (const [cls, truth] of Object.entries(TRUTH.rates)) {
      const fitted = model.rates[cls as keyof typeof TRUTH.rates];
      say(`${cls}: mean ${fitted.meanPerHour.toExponential(2)} (true ${truth.perHour.toExponential(2)}), shape ${fitted.shape.toFixed(2)} (true ${truth.shape})`);
      expect(Math.abs(fitted.meanPerHour / truth.perHour - 1)).toBeLessThan(0.15);
    }
    say(`battery: shape ${model.battery.shape.toFixed(2)} (true ${TRUTH.battery.shape}), scale ${model.battery.scaleYears.toFixed(2)} years (true ${TRUTH.battery.scaleYears})`);
    expect(Math.abs(model.battery.scaleYears / TRUTH.battery.scaleYears - 1)).toBeLessThan(0.05);
    say(`weights: ${JSON.stringify(model.weights)} (true ${JSON.stringify(TRUTH.weights)})`);
    expect(Math.abs(model.weights.per10DbMissing - TRUTH.weights.per10DbMissing)).toBeLessThan(0.15);
    expect(Math.abs(model.weights.harsh - TRUTH.weights.harsh)).toBeLessThan(0.2);
  });

  it('[RATE-6] 95 % intervals of rates hold 93 to 97 % of the true rates', () => {
    const { held, all } = coverage(model, fleet.cases);
    say(`interval coverage: ${((100 * held) / all).toFixed(2)} % of ${all}`);
    expect(all).toBeGreaterThan(1000);
    expect(held / all).toBeGreaterThan(0.93);
    expect(held / all).toBeLessThan(0.97);
  });

  it('chances are calibrated on the held-out interval', () => {
    const report = backTest(outcomes);
    say(`components: calibration slope ${report.slope.toFixed(3)}, intercept ${report.intercept.toFixed(3)}, ${report.happened} failures of ${report.cases}`);
    for (const row of report.calibration) say(`  ${row.count} components: predicted ${(100 * row.predicted).toFixed(2)} %, observed ${(100 * row.observed).toFixed(2)} %`);
    expect(report.happened).toBeGreaterThan(500);
    expect(report.slope).toBeGreaterThan(0.95);
    expect(report.slope).toBeLessThan(1.05);
  });

  it.each([4, 5])('and on another held-out interval, after %i checks', (checks) => {
    const shorter = syntheticFleet(SITES, seeded(SEED + checks), { datesMissing: 0, verdictsFlipped: 0 }, checks);
    const by = fitModel(shorter.history);
    const report = backTest(ours(by, shorter.cases));
    const { held, all } = coverage(by, shorter.cases);
    say(`held-out interval ${checks}: calibration slope ${report.slope.toFixed(3)}, intercept ${report.intercept.toFixed(3)}, ${report.happened} failures of ${report.cases}; AUC ${report.areaUnderCurve.toFixed(4)}, Brier ${report.brier.toFixed(5)}; interval coverage ${((100 * held) / all).toFixed(2)} % of ${all}`);
    expect(report.slope).toBeGreaterThan(0.95);
    expect(report.slope).toBeLessThan(1.05);
    expect(held / all).toBeGreaterThan(0.93);
    expect(held / all).toBeLessThan(0.97);
  });

  it.each([
    ['components', outcomes, byAge, byLast],
    ['sites', bySite(fleet.cases, outcomes), bySite(fleet.cases, byAge), bySite(fleet.cases, byLast)],
  ] as const)('%s: ranking and chances beat both simple rules, with a bootstrap interval', (name, us, age, last) => {
    say(`${name}: AUC ${areaUnderCurve(us).toFixed(4)} (age only ${areaUnderCurve(age).toFixed(4)}, last result only ${areaUnderCurve(last).toFixed(4)}); Brier ${brier(us).toFixed(5)} (${brier(age).toFixed(5)}, ${brier(last).toFixed(5)})`);
    // Fewer resamples of the larger set: each sorts all cases.
    const options = { resamples: name === 'sites' ? 200 : SITES > 5000 ? 40 : 20, seed: 7 };
    for (const [rival, theirs] of [['age only', age], ['last result only', last]] as const) {
      const auc = bootstrapDifference(us, theirs, areaUnderCurve, options);
      const off = bootstrapDifference(us, theirs, brier, options);
      say(`  against ${rival}: AUC +${auc.difference.toFixed(4)} (${auc.low.toFixed(4)} to ${auc.high.toFixed(4)}), Brier ${off.difference.toFixed(5)} (${off.low.toFixed(5)} to ${off.high.toFixed(5)})`);
      expect(auc.low).toBeGreaterThan(0);
      expect(off.high).toBeLessThan(0);
    }
  }, 300_000);

  it('[WRONG-3] verdicts that are all right are taken at their word', () => {
    expect(model.verdicts).toBeUndefined();
  });

  const flaws = [
    ['30 % of dates missing', { datesMissing: 0.3, verdictsFlipped: 0 }],
    ['5 % of verdicts flipped', { datesMissing: 0, verdictsFlipped: 0.05 }],
    ['5 % flipped, failures looked at again', { datesMissing: 0, verdictsFlipped: 0.05, looksAgain: true }],
    ['both', { datesMissing: 0.3, verdictsFlipped: 0.05 }],
  ] as const;
  it.each(flaws)('[WRONG-2] [PRE-1] %s: intervals hold, chances stay calibrated, ranking still beats the last result on the same records', (name, flaw) => {
    const flawed = syntheticFleet(SITES, seeded(SEED), flaw);
    const by = fitModel(flawed.history);
    const found = ours(by, flawed.cases);
    const report = backTest(found);
    const { held, all } = coverage(by, flawed.cases);
    const laid = rule((one) => String(one.failedBefore), flawed.cases, flawed.earlier);
    say(`${name}: AUC ${report.areaUnderCurve.toFixed(4)}, Brier ${report.brier.toFixed(5)}, calibration slope ${report.slope.toFixed(3)}, intercept ${report.intercept.toFixed(3)}, interval coverage ${((100 * held) / all).toFixed(2)} %, wrong verdicts ${(100 * (by.verdicts?.single ?? 0)).toFixed(2)} %; last result only: AUC ${areaUnderCurve(laid).toFixed(4)}, Brier ${brier(laid).toFixed(5)}`);
    expect(Math.abs((by.verdicts?.single ?? 0) - flaw.verdictsFlipped)).toBeLessThan(0.01);
    expect(held / all).toBeGreaterThan(0.93);
    expect(held / all).toBeLessThan(0.97);
    expect(Math.abs(report.slope - 1)).toBeLessThan(0.1);
    expect(report.areaUnderCurve).toBeGreaterThan(areaUnderCurve(laid));
    expect(report.brier).toBeLessThan(brier(laid));
  }, 300_000);
});
