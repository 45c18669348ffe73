import { describe, expect, it } from 'vitest';
import { aComponent, aSite, aSystem, certainModel, TODAY } from '../bench/builders.js';
import { buildChain, unprotectedAt } from './chain.js';
import { exposureOver } from './exposure.js';
import { averagePfd, type ComponentInput, exactAverage, fitModel, scoreSite, type SiteInput } from './index.js';

const perfect: Partial<ComponentInput> = { installedDay: TODAY, lastProofDay: TODAY, hoursInService: 0, coverage: 1 };
const never: Partial<ComponentInput> = { lastProofDay: null, coverage: null, hoursInService: 0, ageYears: null, temperatureC: null, selfReported: true };
const only = (...components: ComponentInput[]): SiteInput => {
  const rest = (['supply', 'battery', 'control-unit', 'path-line', 'detector-wired'] as const).filter((cls) => !components.some((c) => c.role === aComponent(cls).role && (c.class === 'battery') === (cls === 'battery')));
  return aSite({ systems: [aSystem({ components: [...components, ...rest.map((cls) => aComponent(cls, { ...perfect, id: `rest-${cls}` }))] })] });
};
const exposure = (model: Parameters<typeof scoreSite>[0], site: SiteInput, days: number) => scoreSite(model, site, { today: TODAY, nextProofDay: TODAY + days }).exposureH;
const relative = (value: number, expected: number) => Math.abs(value / expected - 1);

describe('exposure against closed forms', () => {
  it.each([
    [1e-6, 365],
    [1e-5, 365],
    [1e-4, 900],
    [1e-3, 30],
  ])('[EXP-1] one silent component at %f/h over %i days: T × (1 − (1 − e^−λT)/(λT))', (rate, days) => {
    const model = certainModel({ 'path-cellular': rate });
    expect(relative(exposure(model, only(aComponent('path-cellular', perfect)), days), exactAverage(rate, days * 24) * days * 24)).toBeLessThan(1e-7);
  });

  it('[EXP-2] an uncertain rate: ∫ 1 − (b/(b+t))^a', () => {
    const base = fitModel([]);
    const [a, b, days] = [2.5, 40_000, 700];
    const certain = certainModel({});
    const model = { ...certain, rates: { ...certain.rates, 'path-line': { ...base.rates['path-line'], shape: a, hours: b } } };
    const t = days * 24;
    const survived = (b / (a - 1)) * (1 - (b / (b + t)) ** (a - 1));
    expect(relative(exposure(model, only(aComponent('path-line', perfect)), days), t - survived)).toBeLessThan(1e-7);
  });

  it('[STR-3] two paths without common cause: ∫ (1 − e^−λt)²', () => {
    const [rate, days] = [5e-5, 400];
    const model = certainModel({ 'path-cellular': rate }, { commonCause: 0 });
    const t = days * 24;
    const pair = t - (2 * -Math.expm1(-rate * t)) / rate + -Math.expm1(-2 * rate * t) / (2 * rate);
    const site = only(aComponent('path-cellular', { ...perfect, id: 'p1' }), aComponent('path-cellular', { ...perfect, id: 'p2' }));
    expect(relative(exposure(model, site, days), pair)).toBeLessThan(1e-7);
  });

  it('[STR-3] two paths with common cause agree with IEC 61508-6 1oo2 for a small rate', () => {
    const [rate, days] = [2e-7, 365];
    const model = certainModel({ 'path-cellular': rate }, { commonCause: 0.1 });
    const site = only(aComponent('path-cellular', { ...perfect, id: 'p1' }), aComponent('path-cellular', { ...perfect, id: 'p2' }));
    const iec = averagePfd({ architecture: '1oo2', undetectedPerHour: rate, detectedPerHour: 0, proofIntervalH: days * 24, repairH: 0, proofRepairH: 0, beta: 0.1 });
    expect(relative(exposure(model, site, days) / (days * 24), iec)).toBeLessThan(0.002);
  });

  it('[EXP-4] reported and silent faults agree with IEC 61508-6 1oo1 for a small rate', () => {
    const [rate, days] = [1e-7, 3650];
    const model = certainModel({ 'path-cellular': rate }, { repairH: 7 });
    // The class reports 95 %: known within an hour, repaired in seven.
    const site = only(aComponent('path-cellular', { ...perfect, selfReported: true, supervisionH: 1 }));
    const iec = averagePfd({ architecture: '1oo1', undetectedPerHour: rate * 0.05, detectedPerHour: rate * 0.95, proofIntervalH: days * 24, repairH: 8, proofRepairH: 0 });
    expect(relative(exposure(model, site, days) / (days * 24), iec)).toBeLessThan(0.003);
  });

  it('[EXP-5] a check that reveals nine tenths, over ten yearly proofs, agrees with IEC 61508-6 with proof coverage', () => {
    const rate = 2e-8;
    const model = certainModel({ 'path-cellular': rate });
    let hours = 0;
    for (let year = 0; year < 10; year++) {
      hours += exposure(model, only(aComponent('path-cellular', { ...perfect, installedDay: TODAY - year * 365, coverage: 0.9 })), 365);
    }
    const iec = averagePfd({ architecture: '1oo1', undetectedPerHour: rate, detectedPerHour: 0, proofIntervalH: 8760, repairH: 0, proofRepairH: 0, coverage: 0.9, fullIntervalH: 87_600 });
    expect(relative(hours / 87_600, iec)).toBeLessThan(0.002);
  });

  it('[EXP-6] a battery: the hazard of its age, in years at its temperature, since its last proof (Simpson)', () => {
    const model = { ...certainModel({}), battery: { ...fitModel([]).battery, shape: 3, scaleYears: 6 } };
    // 33 °C ages twice as fast as 25 °C; 4 calendar years are 8 effective ones, proven half a year ago.
    const battery = aComponent('battery', { ageYears: 4, temperatureC: 33, lastProofDay: TODAY - 183, coverage: 1, hoursInService: 0 });
    const hazard = (years: number) => (years / 6) ** 3;
    const u = (hour: number) => 8 + (2 * hour) / 8766;
    const down = (hour: number) => {
      const proven = hazard(u(-183 * 24));
      const x = hazard(u(hour)) - proven;
      return 0.1 * -Math.expm1(-1e8 * Math.log1p(x / (1e8 + proven)));
    };
    const n = 2000;
    const h = (365 * 24) / n;
    let simpson = 0;
    for (let i = 0; i <= n; i++) simpson += (i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2) * down(i * h);
    expect(relative(exposure(model, only(battery), 365), (simpson * h) / 3)).toBeLessThan(1e-6);
  });

  it('[STR-5] detectors are averaged over areas: one of four equal areas is a quarter', () => {
    const model = certainModel({ 'detector-wireless': 1e-4 });
    const one = exposure(model, only(aComponent('detector-wireless', perfect)), 200);
    const quiet = ['a', 'b', 'c'].map((area) => aComponent('detector-wired', { ...perfect, id: area, protects: area }));
    const quarter = exposure(model, only(aComponent('detector-wireless', { ...perfect, protects: 'd' }), ...quiet), 200);
    expect(relative(quarter, one / 4)).toBeLessThan(1e-7);
  });

  it('[STR-6] a sounder counts where people depend on the system, and only there', () => {
    const model = certainModel({ sounder: 1e-4 });
    const site = only(aComponent('sounder', perfect));
    expect(exposure(model, site, 100)).toBeLessThan(1e-6);
    expect(exposure(model, { ...site, lifeSafety: true }, 100)).toBeGreaterThan(100);
  });

  it('[EXP-7] what is known to be down stays down until the proof', () => {
    const model = certainModel({});
    const site = only(aComponent('path-cellular', { ...perfect, down: true }));
    expect(exposure(model, site, 10)).toBeCloseTo(240, 6);
    const scored = scoreSite(model, site, { today: TODAY, nextProofDay: TODAY + 10 });
    expect(scored.shares[0]).toMatchObject({ cause: 'known-fault', componentId: 'path-cellular' });
    expect(scored.shares[0]?.share).toBeCloseTo(1, 12);
    expect(scored.curve.find((point) => point.day === TODAY)).toMatchObject({ exposureH: 0 });
    expect(scored.score).toBeCloseTo(100, 6);
  });

  it.each([
    ['reported faults that stop growing at six different hours', [1, 9, 17, 33, 60, 95].map((supervisionH, i) => aComponent('path-cellular', { ...perfect, id: `p${i}`, selfReported: true, supervisionH, failures: 3 }))],
    ['another path becoming the best one', [
      aComponent('path-cellular', { ...never, id: 'a', installedDay: TODAY - 1643, failures: 2, marginDb: 0, marginalCount: 3, supervisionH: 0, harsh: true }),
      aComponent('path-line', { ...never, id: 'b', installedDay: TODAY - 4000, marginDb: null, marginalCount: 6, supervisionH: null }),
    ]],
  ])('[EXP-13] corners do not blur the integral: %s (midpoints, 200 000 of them)', (_, components) => {
    const model = fitModel([]);
    const site = only(...components);
    const chain = buildChain(model, site, site.systems[0]!, { today: TODAY, nextProofDay: TODAY + 90 });
    const [toH, n] = [90 * 24, 200_000];
    let sum = 0;
    for (let i = 0; i < n; i++) sum += unprotectedAt(chain, ((i + 0.5) * toH) / n, -1, false) * (toH / n);
    expect(relative(exposureOver(chain, 0, toH, -1, null), sum)).toBeLessThan(2e-10);
  });
});
