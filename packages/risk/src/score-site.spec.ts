import { describe, expect, it } from 'vitest';
import { aComponent, aSite, aSystem, TODAY, withComponent } from '../bench/builders.js';
import { fitModel, percentiles, scoreOf, scoreSite, scoreSites, whatIf } from './index.js';

const model = fitModel([]);
const when = { today: TODAY, nextProofDay: TODAY + 60 };
const old = withComponent(aSite(), 'battery', { ageYears: 5.2, temperatureC: 31 });

describe('the score', () => {
  it.each([
    [8766, 100],
    [876.6, 80],
    [87.66, 60],
    [0.08766, 0],
    [0.0001, 0],
    [90_000, 100],
  ])('[SCO-1] %f weighted hours a year is %i', (hours, score) => expect(scoreOf(hours)).toBeCloseTo(score, 9));

  it('[SCO-2] weight multiplies, life safety by its setting', () => {
    const wired = aSite({ systems: [aSystem({ components: [...aSystem().components, aComponent('sounder')] })] });
    expect(scoreSite(model, { ...wired, weight: 3 }, when).weightedPerYearH).toBeCloseTo(3 * scoreSite(model, wired, when).weightedPerYearH, 9);
    const people = scoreSite(model, { ...wired, lifeSafety: true }, when);
    expect(people.weightedPerYearH).toBeCloseTo(4 * people.exposurePerYearH, 9);
  });

  it('[SCO-3] the reason says what a person would say', () => {
    const { reasons, shares } = scoreSite(model, old, when);
    const share = shares.filter((one) => one.class === 'battery').reduce((sum, one) => sum + one.share, 0);
    expect(reasons[0]).toMatch(new RegExp(`^battery 5\\.2 years at 31 °C: ${Math.round(share * 100)} % of the exposure`));
    expect(share).toBeGreaterThan(0.5);
  });

  it('[SCO-3] components of one class are told apart by their label', () => {
    const site = aSite({ systems: [aSystem({ components: [...aSystem().components, aComponent('path-cellular', { id: 'p2', label: 'roof' })] })] });
    const named = withComponent(site, 'detector-wired', { failures: 3, label: 'Hall' });
    expect(scoreSite(model, named, when).reasons.join('\n')).toContain('wired detector: 3 failures on record, proven 100 days ago');
    expect(scoreSite(model, { ...named, systems: [...named.systems, { ...named.systems[0], systemId: 'two' } as never] }, when).reasons.join('\n')).toContain("wired detector 'Hall': 3 failures");
  });

  it('[SCO-4] [BAT-4] an undated battery is named, counted as old, and knowing it would help', () => {
    const scored = scoreSite(model, withComponent(aSite(), 'battery', { ageYears: null, installedDay: null }), when);
    expect(scored.missing).toEqual([expect.stringMatching(/^battery: age not known, counted as 7 years; a good one would take \d+ % off the exposure$/)]);
    expect(scored.exposureIfKnownGoodH).toBeLessThan(scored.exposureH / 2);
    expect(scored.reasons[0]).toMatch(/^battery of unknown age at 25 °C/);
    expect(scoreSites(model, [withComponent(aSite(), 'battery', { ageYears: null, installedDay: null })], () => when)[0]?.missing).toEqual(['battery: age not known, counted as 7 years']);
  });

  it('[FAC-8] [SCO-4] an environment that nobody recorded counts as harsh, and is named once for all parts', () => {
    const places = (harsh: boolean | null) => aSite({ systems: aSite().systems.map((system) => ({ ...system, components: system.components.map((c) => ({ ...c, harsh })) })) });
    const [mild, unknown, harsh] = [false, null, true].map((place) => scoreSite(model, places(place), when));
    expect(unknown?.exposureH).toBe(harsh?.exposureH);
    expect(unknown?.exposureH).toBeGreaterThan(mild!.exposureH);
    expect(unknown?.exposureIfKnownGoodH).toBeCloseTo(mild!.exposureH, 9);
    expect(unknown?.missing).toEqual([expect.stringMatching(/^environment of \d+ parts not known, counted as harsh; a mild one would take \d+ % off the exposure$/)]);
  });

  it('[STR-7] [STR-8] nothing recorded is nearly the worst there is, and says so', () => {
    const nothing = scoreSite(model, aSite({ systems: [] }), when);
    expect(nothing.missing).toHaveLength(5);
    expect(nothing.missing.join('\n')).toContain('no transmission path recorded: counted as one that nobody ever proved');
    expect(nothing.exposureH).toBeGreaterThan(5 * scoreSite(model, aSite(), when).exposureH);
    expect(scoreSite(model, aSite({ lifeSafety: true, systems: [] }), when).missing.join('\n')).toContain('no sounder recorded');
  });

  it('[SCO-5] links in the order of the alarm, one weakest, the station shown and not estimated', () => {
    const { links } = scoreSite(model, old, when);
    expect(links.map((one) => one.link)).toEqual(['power', 'detection', 'control-unit', 'path', 'station']);
    expect(links.filter((one) => one.weakest).map((one) => one.link)).toEqual(['power']);
    expect(links[4]).toMatchObject({ soundness: 1, share: 0, sentence: 'station: last heard this system 1 day ago' });
    const silent = scoreSite(model, aSite({ systems: [aSystem({ lastHeardDay: TODAY - 40 })] }), when).links.at(-1);
    expect(silent).toMatchObject({ soundness: null, sentence: "station: can't tell, this system was last heard 40 days ago" });
    expect(scoreSite(model, aSite({ systems: [aSystem({ lastHeardDay: null })] }), when).links.at(-1)?.soundness).toBeNull();
  });

  it('[EXP-3] a proof planned for today or earlier counts as tomorrow', () => {
    const late = scoreSite(model, aSite(), { today: TODAY, nextProofDay: TODAY - 30 });
    expect(late.exposureH).toBe(scoreSite(model, aSite(), { today: TODAY, nextProofDay: TODAY + 1 }).exposureH);
    expect(late.horizonDay).toBe(TODAY + 28);
  });

  it('[SCO-7] the year ahead falls when proofs are closer', () => {
    const every = (everyDays: number) => scoreSite(model, aSite(), { ...when, everyDays }).yearAheadH;
    expect(every(182)).toBeLessThan(every(365));
    expect(every(30)).toBeLessThan(every(182));
  });

  it('[SCO-8] [SCO-9] a fleet is its sites one by one', () => {
    const sites = [aSite(), old, aSite({ siteId: 'third', lifeSafety: true })];
    expect(scoreSites(model, sites, () => when, { gaps: true })).toEqual(sites.map((site) => scoreSite(model, site, when)));
  });

  it('[SCO-10] percentile with ties', () => {
    expect(percentiles([5, 1, 5, 9])).toEqual([50, 12.5, 50, 87.5]);
    expect(percentiles([])).toEqual([]);
  });

  it.each([
    [{ coverage: 1.2 }, 'site site, system sys, component battery: coverage is 1.2; accepted: a number from 0 to 1'],
    [{ failures: -1 }, 'site site, system sys, component battery: failures is -1; accepted: a number from 0 to Infinity'],
    [{ role: 'roof' }, 'site site, system sys, component battery: role is roof; accepted: power, detection, control-unit, path, sounder'],
    [{ ageYears: Number.NaN }, 'site site, system sys, component battery: ageYears is NaN; accepted: a number from 0 to 200'],
  ])('[CLS-4] %j is refused by name', (change, message) => expect(() => scoreSite(model, withComponent(aSite(), 'battery', change as never), when)).toThrow(message));
});

describe('what if', () => {
  it('[WHAT-1] [WHAT-2] a new battery, a second path, more proofs, an earlier visit all help, in words', () => {
    const battery = whatIf(model, old, { kind: 'replace-component', systemId: 'sys', componentId: 'battery' }, when);
    expect(battery.savedH).toBeGreaterThan(100);
    expect(battery.sentence).toMatch(/^replacing battery takes \d+ h \(\d+ %\) off the \d+ h expected without protection in the year ahead$/);
    expect(whatIf(model, old, { kind: 'add-path', systemId: 'sys', class: 'path-ethernet' }, when).savedH).toBeGreaterThan(0);
    expect(whatIf(model, old, { kind: 'prove-every', days: 182 }, when).savedH).toBeGreaterThan(0);
    const sooner = whatIf(model, old, { kind: 'visit-on', day: TODAY + 3 }, when);
    expect(sooner.sentence).toMatch(/^visiting in 3 days takes .* in the next 60 days$/);
    expect(sooner.ofH).toBeCloseTo(sooner.before.exposureH, 9);
    expect(whatIf(model, old, { kind: 'visit-on', day: TODAY + 90 }, when).sentence).toMatch(/^visiting in 90 days adds .* in the next 90 days$/);
  });

  it('[WHAT-1] the change alone differs between the worlds', () => {
    const { before, after } = whatIf(model, old, { kind: 'replace-component', systemId: 'sys', componentId: 'battery' }, when);
    const of = (score: typeof before, link: string) => score.links.find((one) => one.link === link)?.soundness;
    expect(of(after, 'path')).toBe(of(before, 'path'));
    expect(of(after, 'power')).toBeGreaterThan(of(before, 'power') as number);
  });

  it('[WHAT-3] what is not there is refused', () => {
    expect(() => whatIf(model, old, { kind: 'replace-component', systemId: 'sys', componentId: 'x' }, when)).toThrow('no component x in this system');
    expect(() => whatIf(model, old, { kind: 'add-path', systemId: 'nope', class: 'path-line' }, when)).toThrow('site site: no system nope');
  });
});
