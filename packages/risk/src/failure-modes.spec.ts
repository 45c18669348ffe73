import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { aComponent, aSite, certainModel, TODAY, withComponent } from '../bench/builders.js';
import { checksRevealing, COMPONENT_CLASSES, type ComponentClass, coverageOf, FAILURE_MODES, fitModel, type Look, scoreSite, whatIf } from './index.js';

const model = fitModel([]);
const when = { today: TODAY, nextProofDay: TODAY + 90 };
const exposureWith = (cls: ComponentClass, looks: readonly Look[], more: object = {}) => scoreSite(model, withComponent(aSite(), cls, { looks, coverage: 0.95, selfReported: false, ...more }), when, { gaps: false, curveDays: [] }).exposureH;

describe('[MODE-1] failure modes', () => {
  it.each(COMPONENT_CLASSES)('%s: shares sum to 1, none is empty, every mode has words', (cls) => {
    const modes = FAILURE_MODES[cls];
    expect(modes.reduce((sum, one) => sum + one.share, 0)).toBeCloseTo(1, 12);
    for (const one of modes) expect(one.share > 0 && one.words !== '').toBe(true);
    expect(coverageOf(cls, checksRevealing(cls))).toBeLessThanOrEqual(1);
    expect(coverageOf(cls, [])).toBe(0);
  });

  it('[MODE-3] checks together reveal the union, never more', () => {
    expect(coverageOf('detector-wireless', ['wireless-margin'])).toBeCloseTo(0.25, 12);
    expect(coverageOf('detector-wireless', ['detector-actuation'])).toBeCloseTo(0.85, 12);
    expect(coverageOf('detector-wireless', ['detector-actuation', 'wireless-margin'])).toBeCloseTo(0.85, 12);
    expect(coverageOf('detector-wireless', ['detector-actuation', 'device-cell'])).toBeCloseTo(0.95, 12);
  });
});

describe('[MODE-4] each mode counts from the look that would have found it', () => {
  it('by hand: a wired detector, deaf and wiring looked for 100 days ago, the rest standing since installation', () => {
    // Certain rate of 1e-6/h; 95 % of silent faults since 100 days, 5 % since 730; exposure over 90 days of one component, the rest perfect.
    const rate = 1e-6;
    const sure = certainModel({ 'detector-wired': rate });
    const site = withComponent(aSite(), 'detector-wired', { looks: [{ check: 'detector-actuation', day: TODAY - 100 }], selfReported: false, hoursInService: 0 });
    const { exposureH } = scoreSite(sure, site, when, { gaps: false, curveDays: [] });
    const [c, since, full, T] = [0.95, 2400, 17_520, 2160];
    const start = rate * (c * since + (1 - c) * full);
    const exact = T - (Math.exp(-start) * -Math.expm1(-rate * T)) / rate;
    expect(exposureH / exact).toBeCloseTo(1, 6);
  });

  it('looks of one day at all modes are as one proof of that day', () => {
    for (const cls of ['control-unit', 'detector-wired', 'battery'] as const) {
      const looks = checksRevealing(cls).map((check) => ({ check, day: TODAY - 100 }));
      const coverage = coverageOf(cls, checksRevealing(cls));
      const plain = scoreSite(model, withComponent(aSite(), cls, { coverage, lastProofDay: TODAY - 100, selfReported: false }), when, { gaps: false, curveDays: [] }).exposureH;
      expect(exposureWith(cls, looks, { coverage, lastProofDay: TODAY - 100 }) / plain).toBeCloseTo(1, 9);
    }
  });

  it('[EXP-10] a further or fresher look never raises the exposure', () => {
    let seen = 0;
    fc.assert(fc.property(fc.constantFrom(...(['supply', 'battery', 'control-unit', 'path-cellular', 'detector-wired'] as const)), fc.array(fc.record({ at: fc.nat(9), day: fc.integer({ min: TODAY - 730, max: TODAY }) }), { maxLength: 4 }), fc.nat(9), fc.integer({ min: 0, max: 500 }), (cls, picks, extra, fresher) => {
      const checks = checksRevealing(cls);
      const looks = picks.map(({ at, day }) => ({ check: checks[at % checks.length]!, day }));
      const check = checks[extra % checks.length]!;
      const before = Math.max(TODAY - 730, ...looks.filter((look) => look.check === check).map((look) => look.day));
      seen += 1;
      const proofOf = (all: readonly Look[]) => ({ lastProofDay: all.length === 0 ? null : Math.max(...all.map((look) => look.day)) });
      const more = [...looks, { check, day: Math.min(TODAY, before + fresher) }];
      expect(exposureWith(cls, more, proofOf(more))).toBeLessThanOrEqual(exposureWith(cls, looks, proofOf(looks)) * (1 + 1e-9));
    }), { numRuns: 200 });
    expect(seen).toBeGreaterThan(100);
  });

  it('never looked at: counted from installation, and knowing would help', () => {
    const site = withComponent(aSite(), 'control-unit', { looks: [], lastProofDay: null, coverage: 0.85 });
    const scored = scoreSite(model, site, when);
    expect(scored.missing.join()).toMatch(/control unit: last proof not known, counted as never since installation; a good one would take \d+ % off/);
    expect(scored.exposureIfKnownGoodH).toBeLessThan(scored.exposureH);
  });

  it('a new one in its place was looked at on fitting', () => {
    const looks = [{ check: 'battery-on-load', day: TODAY - 400 }];
    const site = withComponent(aSite(), 'battery', { looks, ageYears: 5, coverage: 0.9 });
    expect(whatIf(model, site, { kind: 'replace-component', systemId: 'sys', componentId: 'battery' }, when).savedH).toBeGreaterThan(0);
    expect(aComponent('battery').looks).toBeUndefined();
  });
});
