import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { aComponent } from '../bench/builders.js';
import { fitModel, fitWrongVerdicts, rateInterval, posteriorRate, type RiskModel, scoreSite, trueFailures } from './index.js';
import { fitLooks, lookedClass } from './look-grid.js';
import { fitGammaPrior } from './gamma-poisson.js';
import { recordRateInterval } from './wrong-verdicts.js';

const START = { shape: 1, hours: 2e5 };
const NONE = { falseFail: 0, falsePass: 0 };

describe('looks instead of hours', () => {
  it('[WRONG-1] short looks that are never wrong give the prior that hours give', () => {
    const records = Array.from({ length: 3000 }, (_, n) => ({ failures: n % 11 === 0 ? 1 + (n % 3) : 0, hours: 40_000 + (n % 7) * 1000, looks: 1000 }));
    const [byLooks, byHours] = [fitLooks(lookedClass(START, records), NONE, 1e-7).prior, fitGammaPrior(records, START)];
    expect(byLooks.shape / byHours.shape).toBeCloseTo(1, 2);
    expect(byLooks.hours / byHours.hours).toBeCloseTo(1, 2);
  });

  it('[WRONG-6] second looks tell the share without any rate: 475 of 10 000 looks that failed and were good again', () => {
    const again = fitWrongVerdicts(() => 0, { failed: 500, confirmed: 500, unconfirmed: 475, verdicts: 10_000 });
    expect(again.single * (1 - again.single)).toBeCloseTo(0.0475, 3);
    // A false failure stays only when wrong twice; a true one is lost by either look.
    expect(again.falseFail).toBeCloseTo(0.05 ** 2, 3);
    expect(again.falsePass).toBeCloseTo(0.05 + 0.95 * 0.05, 2);
  });

  it('[WRONG-3] without verdicts on record nothing is said to be wrong', () => {
    expect(fitWrongVerdicts(() => 0, { failed: 0, confirmed: 0, unconfirmed: 0, verdicts: 0 }).single).toBe(0);
    expect(fitModel([{ class: 'supply', failures: 3, hoursInService: 1e6, perComponent: [{ failures: 3, hoursInService: 1e6 }] }]).verdicts).toBeUndefined();
  });
});

describe('[WRONG-4] a failure counts by how likely it is true', () => {
  it('taken at its word, all of it; of a part that should hardly fail, little', () => {
    const record = { failures: 1, hours: 40_000, looks: 5 };
    expect(trueFailures(START, record, NONE)).toBe(1);
    // By hand: true 1·h/(b+h) = 1/6 against false 5 × 0.05 × 0.95⁴: 0.1667 × 0.95⁴ beside 5 × 0.05 × 0.95⁴ (one look is the failure's own).
    expect(trueFailures(START, record, { falseFail: 0.05, falsePass: 0 })).toBeCloseTo(1 / 6 / (1 / 6 + 0.25), 9);
    expect(trueFailures({ shape: 1, hours: 2e7 }, record, { falseFail: 0.05, falsePass: 0 })).toBeLessThan(0.01);
  });

  it('more failures never count as fewer, and never as more than there are', () => {
    fc.assert(fc.property(
      fc.record({ shape: fc.double({ min: 0.05, max: 20, noNaN: true }), hours: fc.double({ min: 1e2, max: 1e8, noNaN: true }) }),
      fc.record({ failures: fc.nat(8), hours: fc.double({ min: 1, max: 1e6, noNaN: true }), looks: fc.integer({ min: 1, max: 40 }) }),
      fc.record({ falseFail: fc.double({ min: 1e-4, max: 0.2, noNaN: true }), falsePass: fc.double({ min: 0, max: 0.2, noNaN: true }) }),
      (prior, record, wrong) => {
        const [less, more] = [trueFailures(prior, record, wrong), trueFailures(prior, { ...record, failures: record.failures + 1 }, wrong)];
        expect(more).toBeGreaterThanOrEqual(less - 1e-9);
        expect(less).toBeLessThanOrEqual(record.failures + 1e-9);
      }));
  });

  it('the interval is the posterior\'s where nothing is wrong, and reaches lower where a failure may be false', () => {
    const record = { failures: 2, hours: 40_000, looks: 5 };
    const plain = rateInterval(posteriorRate(START, 2, 40_000), 0.95);
    const same = recordRateInterval(START, record, NONE, 0.95);
    expect(same.low / plain.low).toBeCloseTo(1, 7);
    expect(same.high / plain.high).toBeCloseTo(1, 7);
    expect(recordRateInterval(START, record, { falseFail: 0.05, falsePass: 0 }, 0.95).low).toBeLessThan(plain.low);
  });
});

describe('scores of a company whose verdicts are wrong now and then', () => {
  const plain = fitModel([]);
  const wrong: RiskModel = { ...plain, verdicts: { falseFail: 0.05, falsePass: 0.05, single: 0.05, secondLooks: 0 } };
  const part = (failures: number) => aComponent('detector-wired', { id: 'd', failures, verdicts: 6, hoursInService: 50_000, lastProofDay: 0, installedDay: -2000 });
  const exposure = (model: RiskModel, failures: number) => scoreSite(model, { siteId: 's', lifeSafety: false, weight: 1, systems: [{ systemId: 'y', kind: 'intrusion', components: [part(failures)] }] }, { today: 0, nextProofDay: 365 }, { gaps: false, curveDays: [] }).exposureH;

  it('[WRONG-5] a part without failures is less surely good, since failed ones are passed too', () => {
    expect(exposure(wrong, 0)).toBeGreaterThan(exposure(plain, 0));
  });

  it('[EXP-9] more failures still never lower it', () => {
    const all = [0, 1, 2, 3, 4, 5, 6].map((failures) => exposure(wrong, failures));
    expect(all).toEqual([...all].sort((a, b) => a - b));
  });
});
