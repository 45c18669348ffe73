import { describe, expect, it } from 'vitest';
import { aComponent, aSite, aSystem, TODAY, withComponent } from '../bench/builders.js';
import { random as draws, site as fleetSite } from '../bench/fleet.mjs';
import { fitModel, GAIN_DAYS, gainOf, visitGain, whatIf, type SiteInput } from './index.js';

const model = fitModel([]);
const inSixWeeks = { today: TODAY, nextProofDay: TODAY + GAIN_DAYS };
const gains = (site: SiteInput, today = TODAY) => visitGain(model, site, { today, nextProofDay: today + 1 });
/** The engine's own answer: this day instead of in six weeks. */
const compared = (site: SiteInput, day: number) => whatIf(model, site, { kind: 'visit-on', day: TODAY + day }, inSixWeeks);

const next = draws(11);
const fleet = Array.from({ length: 60 }, (_, at): SiteInput => fleetSite(at, next) as SiteInput);

describe('[GAIN-1] [GAIN-2] what a visit takes off, against the what-if of the engine', () => {
  it('is that of visiting on the day instead of in six weeks, for every day of the coming fortnight', () => {
    let seen = 0;
    for (const one of fleet) {
      const site = { ...one, lifeSafety: false };
      const kept = gains(site);
      for (let day = 1; day <= 14; day++) {
        const { savedH, ofH } = compared(site, day);
        // A next proof that looks for less than the last ones did would add hours: a visit then gains nothing.
        expect(Math.abs(gainOf(kept, day, GAIN_DAYS) - Math.max(0, savedH))).toBeLessThan(1e-3 * ofH);
        if (savedH > 1) seen += 1;
      }
    }
    expect(seen).toBeGreaterThan(400);
  });

  it('counts life safety as the score does', () => {
    const plain = aSite();
    const sounder = aComponent('sounder', { coverage: 1 });
    const life = aSite({ lifeSafety: true, systems: [aSystem({ components: [...aSystem().components, sounder] })] });
    expect(gainOf(gains(life), 2, GAIN_DAYS) / compared(life, 2).savedH).toBeCloseTo(model.settings.lifeSafetyWeight, 2);
    expect(gainOf(gains(plain), 2, GAIN_DAYS)).toBeCloseTo(compared(plain, 2).savedH, 2);
  });

  it('a site without any record has a gain too', () => expect(gainOf(gains(aSite({ systems: [] })), 3, GAIN_DAYS)).toBeGreaterThan(0));
});

const OLD = 40;
/** The same site as it was known so many days before: nothing was looked at in between. */
const known = (site: SiteInput, daysBefore: number): SiteInput => ({
  ...site,
  systems: site.systems.map((system) => ({
    ...system,
    components: system.components.map((c) => ({
      ...c,
      lastProofDay: c.lastProofDay === null ? null : c.lastProofDay - OLD,
      looks: (c.looks ?? []).map((look) => ({ ...look, day: look.day - OLD })),
      ageYears: c.ageYears === null ? null : c.ageYears + (OLD - daysBefore) / 365.25,
    })),
  })),
});

describe('[GAIN-3] numbers of an earlier scoring', () => {
  it.each([1, 5, 12, 30])('%i days old say what numbers of today say', (old) => {
    for (const one of fleet.slice(0, 25)) {
      const [fresh, stale] = [gains(known(one, 0)), gains(known(one, old), TODAY - old)];
      for (const day of [0, 2, 6]) {
        const whole = fresh.untilH[9] as number;
        // What is not dated is taken as so many years before the day of scoring, whichever that is: old numbers differ by that.
        expect(Math.abs(gainOf(stale, day + old, GAIN_DAYS + old) - gainOf(fresh, day, GAIN_DAYS))).toBeLessThan(5e-3 * whole);
      }
    }
  });
});

describe('[GAIN-4] [GAIN-5] who gains', () => {
  const all = (change: object) => aSite({ systems: [aSystem({ components: aSystem().components.map((c) => ({ ...c, ...change })) })] });
  it('a proof of today takes the gain of a visit tomorrow away', () => {
    const [old, fresh] = [gainOf(gains(all({ lastProofDay: TODAY - 400 })), 1, GAIN_DAYS), gainOf(gains(all({ lastProofDay: TODAY })), 1, GAIN_DAYS)];
    expect(fresh).toBeLessThan(old / 20);
    expect(fresh).toBeGreaterThanOrEqual(0);
  });

  it('a known fault costs a day of protection for every day of waiting', () => {
    const down = gains(withComponent(aSite(), 'control-unit', { down: true }));
    expect(gainOf(down, 2, GAIN_DAYS) - gainOf(down, 3, GAIN_DAYS)).toBeCloseTo(24, 0);
  });

  it('is nothing at the horizon and after it, and never below zero', () => {
    for (const one of fleet) {
      const kept = gains(one);
      for (const day of [0, 1, 20, 41, 60, 100]) expect(gainOf(kept, day, 60)).toBeGreaterThanOrEqual(0);
      expect(gainOf(kept, 42, 42)).toBe(0);
      expect(gainOf(kept, 10, 120)).toBeGreaterThanOrEqual(gainOf(kept, 10, 84));
    }
  });
});
