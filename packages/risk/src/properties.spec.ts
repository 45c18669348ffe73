import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { aComponent, TODAY } from '../bench/builders.js';
import { CAUSES, componentState, logSurvival, logSurvivalByCause } from './component-state.js';
import { checksRevealing } from './failure-modes.js';
import { COMPONENT_CLASSES, type ComponentInput, fitModel, rateFactor, scoreSite, type SiteInput } from './index.js';

const model = fitModel([]);
const { settings } = model;
const when = { today: TODAY, nextProofDay: TODAY + 90 };
const maybe = <T>(value: fc.Arbitrary<T>) => fc.option(value, { nil: null, freq: 3 });

const component = fc
  .record({
    cls: fc.constantFrom(...COMPONENT_CLASSES),
    installedDay: maybe(fc.integer({ min: TODAY - 4000, max: TODAY })),
    lastProofDay: maybe(fc.integer({ min: TODAY - 1200, max: TODAY })),
    failures: fc.nat(4),
    hoursInService: fc.double({ min: 0, max: 90_000, noNaN: true }),
    ageYears: maybe(fc.double({ min: 0, max: 9, noNaN: true })),
    temperatureC: maybe(fc.double({ min: -10, max: 45, noNaN: true })),
    marginDb: maybe(fc.double({ min: -5, max: 45, noNaN: true })),
    marginalCount: fc.nat(8),
    selfReported: fc.boolean(),
    supervisionH: maybe(fc.double({ min: 0, max: 60, noNaN: true })),
    coverage: maybe(fc.double({ min: 0, max: 1, noNaN: true })),
    protects: maybe(fc.constantFrom('hall', 'store')),
    down: fc.integer({ min: 0, max: 19 }).map((n) => n === 0),
    harsh: maybe(fc.boolean()),
  })
  .map(({ cls, ...change }) => aComponent(cls, change));

const site: fc.Arbitrary<SiteInput> = fc
  .record({ systems: fc.array(fc.array(component, { maxLength: 9 }), { maxLength: 3 }), lifeSafety: fc.boolean(), weight: fc.double({ min: 0.1, max: 10, noNaN: true }) })
  .map(({ systems, ...rest }) => ({
    siteId: 'random',
    ...rest,
    systems: systems.map((components, s) => ({ systemId: `s${s}`, kind: 'any', components: components.map((c, i) => ({ ...c, id: `c${i}` })) })),
  }));

const score = (s: SiteInput, w = when) => scoreSite(model, s, w, { gaps: false, curveDays: [] });

/** Runs `changed` on one component of random sites, and counts how often there was one. */
function onOneComponent(changed: (c: ComponentInput, k: number) => ComponentInput, check: (before: number, after: number) => void): number {
  let seen = 0;
  fc.assert(
    fc.property(site, fc.nat(), fc.nat({ max: 1000 }), (s, which, k) => {
      const places = s.systems.flatMap((system, at) => system.components.map((_, i) => [at, i] as const));
      const place = places[which % Math.max(1, places.length)];
      if (place === undefined) return;
      seen += 1;
      const systems = s.systems.map((system, at) => (at === place[0] ? { ...system, components: system.components.map((c, i) => (i === place[1] ? changed(c, k) : c)) } : system));
      check(score(s).exposureH, score({ ...s, systems }).exposureH);
    }),
    { numRuns: 400 },
  );
  return seen;
}
const notLess = (before: number, after: number) => expect(after).toBeGreaterThanOrEqual(before * (1 - 1e-9));
const notMore = (before: number, after: number) => expect(after).toBeLessThanOrEqual(before * (1 + 1e-9));

describe('properties of a score', () => {
  it('[EXP-8] asked quickly or by cause, before and after a planned proof, with looks and without: the same, and the causes sum to all of it', () => {
    fc.assert(
      fc.property(component, fc.option(fc.nat({ max: 900 }), { nil: null }), fc.double({ min: 0, max: 9000, noNaN: true }), fc.option(fc.double({ min: 0, max: 4000, noNaN: true }), { nil: -1 }), (c, lookedDaysAgo, afterH, proofAtH) => {
        const looks = lookedDaysAgo === null ? {} : { looks: checksRevealing(c.class).map((check) => ({ check, day: TODAY - lookedDaysAgo })) };
        const state = componentState(model, { ...c, ...looks }, when);
        const parts = new Float64Array(CAUSES.length);
        const hour = Math.max(0, proofAtH) + afterH;
        const [quick, byCause] = [logSurvival(state, hour, proofAtH), logSurvivalByCause(state, hour, proofAtH, parts, 0)];
        expect(Math.abs(quick - byCause)).toBeLessThanOrEqual(1e-12 * Math.max(1, byCause));
        if (byCause > 1e-12) expect(parts.reduce((sum, part) => sum + part, 0)).toBeCloseTo(1, 9);
      }),
      { numRuns: 1000 },
    );
  });

  it('[EXP-8] shares sum to 1, are positive, and every number is one', () => {
    let causes = 0;
    fc.assert(
      fc.property(site, (s) => {
        const scored = score(s);
        causes += scored.shares.length;
        expect(Math.abs(scored.shares.reduce((sum, one) => sum + one.share, 0) - 1)).toBeLessThan(1e-9);
        for (const one of scored.shares) expect(one.share).toBeGreaterThan(0);
        expect(scored.exposureH).toBeGreaterThan(0);
        expect(scored.exposureH).toBeLessThanOrEqual(90 * 24 * Math.max(1, s.systems.length) + 1e-6);
        expect(scored.score).toBeGreaterThanOrEqual(0);
        expect(scored.score).toBeLessThanOrEqual(100);
        for (const { link, soundness, share } of scored.links) {
          if (link !== 'station') expect(soundness).toBeGreaterThanOrEqual(0);
          expect(share).toBeGreaterThanOrEqual(0);
        }
        for (const { systemId } of s.systems) {
          const of = scored.links.filter((one) => one.systemId === systemId);
          expect(of.filter((one) => one.weakest)).toHaveLength(1);
          expect(of.reduce((sum, one) => sum + one.share, 0)).toBeCloseTo(1, 9);
        }
      }),
      { numRuns: 400 },
    );
    expect(causes).toBeGreaterThan(2000);
  });

  it('[EXP-9] one more failure never lowers it', () => expect(onOneComponent((c) => ({ ...c, failures: c.failures + 1 }), notLess)).toBeGreaterThan(200));
  it('[EXP-9] one more marginal reading never lowers it', () => expect(onOneComponent((c) => ({ ...c, marginalCount: c.marginalCount + 1 }), notLess)).toBeGreaterThan(200));
  it('[EXP-9] a lost margin never lowers it', () => expect(onOneComponent((c, k) => ({ ...c, marginDb: c.marginDb === null ? null : c.marginDb - k / 50 }), notLess)).toBeGreaterThan(200));
  it('[EXP-10] a fresher proof never raises it', () => {
    expect(onOneComponent((c, k) => ({ ...c, lastProofDay: c.lastProofDay === null ? TODAY : Math.min(TODAY, c.lastProofDay + k) }), notMore)).toBeGreaterThan(200);
  });
  it('[EXP-11] forgetting the last proof never lowers it', () => {
    // A proof older than what is assumed of an unknown one is out of the rule, and so is one older than the installation.
    const worst = settings.unknownProofYears * 365;
    const forget = (c: ComponentInput) => ((c.lastProofDay ?? 0) > TODAY - worst && (c.installedDay === null || c.installedDay <= (c.lastProofDay ?? 0)) ? { ...c, lastProofDay: null } : c);
    expect(onOneComponent(forget, notLess)).toBeGreaterThan(200);
  });
  it('[EXP-11] forgetting age, temperature, margin, supervision, environment or coverage never lowers it', () => {
    const forget = (c: ComponentInput, k: number): ComponentInput => {
      switch (k % 6) {
        case 4:
          return { ...c, harsh: null };
        case 0:
          return c.installedDay === null && (c.ageYears ?? 99) <= settings.unknownBatteryAgeYears ? { ...c, ageYears: null } : c;
        case 1:
          return (c.temperatureC ?? 99) <= settings.unknownTemperatureC ? { ...c, temperatureC: null } : c;
        case 2:
          return (c.marginDb ?? -99) >= settings.unknownMarginDb ? { ...c, marginDb: null } : c;
        case 3:
          return (c.supervisionH ?? 99) <= settings.unknownSupervisionH ? { ...c, supervisionH: null } : c;
        default:
          return (c.coverage ?? 0) >= settings.unknownCoverage ? { ...c, coverage: null } : c;
      }
    };
    expect(onOneComponent(forget, notLess)).toBeGreaterThan(200);
  });

  it('[FAC-2] a factor never falls when facts get worse', () => {
    const facts = fc.record({ marginDb: fc.double({ min: -30, max: 60, noNaN: true }), marginTrendDbPerYear: fc.double({ min: -9, max: 30, noNaN: true }), marginalCount: fc.nat(20), harsh: fc.boolean() });
    fc.assert(
      fc.property(fc.constantFrom(...COMPONENT_CLASSES), facts, fc.double({ min: 0, max: 30, noNaN: true }), (cls, f, by) => {
        const base = rateFactor(model.weights, cls, f, settings);
        for (const worse of [{ marginDb: f.marginDb - by }, { marginTrendDbPerYear: f.marginTrendDbPerYear + by }, { marginalCount: f.marginalCount + 1 }, { harsh: true }]) {
          expect(rateFactor(model.weights, cls, { ...f, ...worse }, settings)).toBeGreaterThanOrEqual(base * (1 - 1e-12));
        }
      }),
    );
  });

  it('[SCO-6] hours until a proof never fall with its day, and at the horizon are the whole', () => {
    fc.assert(
      fc.property(site, (s) => {
        const { curve, horizonDay } = scoreSite(model, s, when, { gaps: false });
        for (let i = 1; i < curve.length; i++) {
          expect(curve[i]?.exposureH).toBeGreaterThanOrEqual(curve[i - 1]?.exposureH ?? 0);
          // Whatever the day, proving once is never worse than not before the horizon.
          expect(curve[i]?.totalToHorizonH).toBeLessThanOrEqual((curve.at(-1)?.totalToHorizonH ?? 0) * (1 + 1e-6));
        }
        expect(curve.at(-1)?.day).toBe(horizonDay);
        expect(curve.at(-1)?.exposureH).toBeCloseTo(curve.at(-1)?.totalToHorizonH ?? 0, 9);
      }),
      { numRuns: 100 },
    );
  });
});
