/**
 * [EXP-12] Scores of 50 random structures against a simulation: it draws rates from their gamma, faults from a Poisson process, and asks a
 * plain yes-or-no structure whether the alarm gets through at a random hour. Shared with scoring are only the rate factor and what common
 * cause means.
 */
import { expect, it } from 'vitest';
import { aComponent, TODAY } from '../bench/builders.js';
import { seeded } from './back-test.js';
import { CLASS_DEFAULTS, type ComponentClass, type ComponentInput, fitModel, rateFactor, type RiskModel, scoreSite, type SiteInput } from './index.js';

const DRAWS = 12_000;
type Random = () => number;

function normal(random: Random): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/** Gamma variate, rate 1 (Marsaglia and Tsang 2000). */
function gamma(random: Random, shape: number): number {
  if (shape < 1) return gamma(random, shape + 1) * random() ** (1 / shape);
  const d = shape - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const x = normal(random);
    const v = (1 + c * x) ** 3;
    if (v > 0 && Math.log(1 - random()) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v;
  }
}

interface Drawn {
  readonly input: ComponentInput;
  readonly shape: number;
  readonly hours: number;
  /** Expected faults at unit rate that would make it down at hour t. */
  readonly clock: (t: number) => number;
}

function drawn(model: RiskModel, c: ComponentInput): Drawn {
  const { settings } = model;
  const r = c.selfReported ? CLASS_DEFAULTS[c.class].reportedShare : 0;
  const silent = 1 - r;
  const cover = c.coverage as number;
  const since = (TODAY - (c.lastProofDay as number)) * 24;
  const full = (TODAY - (c.installedDay as number)) * 24;
  const lasts = (c.supervisionH as number) + settings.repairH;
  const f = rateFactor(model.weights, c.class, c, settings);
  const rate = model.rates[c.class];
  if (c.class !== 'battery') {
    return {
      input: c,
      shape: rate.shape + c.failures,
      hours: rate.hours + c.hoursInService * f,
      clock: (t) => f * (r * Math.min(lasts, since + t) + silent * cover * (since + t) + silent * (1 - cover) * (full + t)),
    };
  }
  const pace = 2 ** ((Math.max(20, c.temperatureC as number) - 25) / 8);
  const hazard = (t: number) => Math.max(0, ((c.ageYears as number) * pace + (t * pace) / 8766) / model.battery.scaleYears) ** model.battery.shape;
  const proven = hazard(-since);
  return {
    input: c,
    shape: rate.shape + c.failures,
    hours: rate.hours + proven,
    clock: (t) => f * (r * (hazard(t) - hazard(t - Math.min(lasts, since + t))) + silent * cover * (hazard(t) - proven) + silent * (1 - cover) * hazard(t)),
  };
}

/** Unprotected share at one random hour: 0, 1, or the deaf areas' share. */
function simulate(model: RiskModel, parts: readonly Drawn[], areaWeights: Record<string, number>, lifeSafety: boolean, t: number, random: Random): number {
  const beta = model.settings.commonCause;
  const struck = (p: Drawn, exponent: number) => random() > Math.exp((-gamma(random, p.shape * exponent) / p.hours) * p.clock(t));
  const groupDown = (members: readonly Drawn[]): boolean => {
    if (members.length === 1) return struck(members[0] as Drawn, 1);
    const least = Math.min(...members.map((p) => p.shape * Math.log1p(p.clock(t) / p.hours)));
    const common = random() > Math.exp(-beta * least);
    return members.map((p) => struck(p, 1 - beta)).every(Boolean) || common;
  };
  const areasDown = (members: readonly Drawn[]): number => {
    const areas = new Map<string, Drawn[]>();
    for (const p of members) areas.set(p.input.protects as string, [...(areas.get(p.input.protects as string) ?? []), p]);
    let [deaf, all] = [0, 0];
    for (const [area, group] of areas) {
      const weight = areaWeights[area] ?? 1;
      all += weight;
      if (groupDown(group)) deaf += weight;
    }
    return deaf / all;
  };
  const role = (name: string) => parts.filter((p) => p.input.role === name);
  const suppliesDown = role('power').filter((p) => p.input.class !== 'battery').map((p) => struck(p, 1)).every(Boolean);
  const batteriesDown = role('power').filter((p) => p.input.class === 'battery').map((p) => struck(p, 1)).every(Boolean);
  const mainsGone = random() < model.settings.supplyLossAtAlarm;
  const broken = [(suppliesDown || mainsGone) && batteriesDown, role('control-unit').map((p) => struck(p, 1)).some(Boolean), groupDown(role('path'))].some(Boolean);
  const deaf = areasDown(role('detection'));
  const mute = lifeSafety ? areasDown(role('sounder')) : 0;
  return broken ? 1 : 1 - (1 - deaf) * (1 - mute);
}

function randomCase(seed: number): { model: RiskModel; site: SiteInput; days: number } {
  const random = seeded(seed);
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
  const between = (low: number, high: number) => low + (high - low) * random();
  const base = fitModel([]);
  const rates = Object.fromEntries(
    Object.entries(base.rates).map(([cls, rate]) => {
      if (cls === 'battery') return [cls, rate];
      const shape = between(0.5, 4);
      return [cls, { ...rate, shape, hours: shape / 10 ** between(-5.3, -3.8) }];
    }),
  ) as RiskModel['rates'];
  const model = { ...base, rates, settings: { ...base.settings, commonCause: between(0, 0.2), supplyLossAtAlarm: between(0.02, 0.5) } };
  let n = 0;
  const make = (cls: ComponentClass): ComponentInput => {
    const since = Math.floor(between(0, 500));
    return aComponent(cls, {
      id: `c${n++}`,
      installedDay: TODAY - since - Math.floor(between(0, 1500)),
      lastProofDay: TODAY - since,
      failures: pick([0, 0, 0, 1, 2]),
      hoursInService: cls === 'battery' ? 0 : between(0, 30_000),
      ageYears: between(1.5, 6),
      temperatureC: between(15, 36),
      marginDb: between(2, 30),
      marginalCount: pick([0, 0, 1, 3]),
      selfReported: random() < 0.5,
      supervisionH: between(1, 50),
      coverage: between(0.5, 1),
      protects: pick(['hall', 'store', 'office']),
    });
  };
  const some = (most: number, classes: readonly ComponentClass[]) => Array.from({ length: 1 + Math.floor(random() * most) }, () => make(pick(classes)));
  const components = [
    ...some(2, ['supply']),
    ...some(2, ['battery']),
    ...some(2, ['control-unit']),
    ...some(3, ['path-ethernet', 'path-wifi', 'path-cellular', 'path-line', 'path-radio']),
    ...some(5, ['detector-wireless', 'detector-wired', 'detector-life-safety', 'mesh-device']),
    ...some(2, ['sounder']),
  ];
  const system = { systemId: 's', kind: 'mixed', components, areaWeights: { hall: between(0.5, 3), store: 1 }, lifeSafety: random() < 0.5 };
  return { model, site: { siteId: `seed ${seed}`, lifeSafety: false, weight: 1, systems: [system] }, days: Math.floor(between(20, 500)) };
}

it('[EXP-12] 50 random structures agree with simulation within its standard error', () => {
  let squares = 0;
  const beyond: string[] = [];
  for (let seed = 1; seed <= 50; seed++) {
    const { model, site, days } = randomCase(seed);
    const system = site.systems[0] as SiteInput['systems'][number];
    const parts = system.components.map((c) => drawn(model, c));
    const random = seeded(seed * 7919);
    let [sum, square] = [0, 0];
    for (let n = 0; n < DRAWS; n++) {
      // Hours stratified over the interval: less noise, no bias.
      const t = ((n + random()) / DRAWS) * days * 24;
      const x = simulate(model, parts, system.areaWeights as Record<string, number>, system.lifeSafety === true, t, random);
      sum += x;
      square += x * x;
    }
    const mean = sum / DRAWS;
    const error = Math.sqrt((square / DRAWS - mean * mean) / DRAWS);
    const exact = scoreSite(model, site, { today: TODAY, nextProofDay: TODAY + days }, { gaps: false, curveDays: [] }).exposureH / (days * 24);
    const z = (mean - exact) / error;
    squares += z * z;
    if (Math.abs(z) > 4) beyond.push(`seed ${seed}: simulated ${mean} ± ${error}, scored ${exact}`);
  }
  expect(beyond).toEqual([]);
  // Chi-square with 50 degrees of freedom: mean 50, standard deviation 10. Stratifying makes it a little smaller.
  expect(squares).toBeLessThan(80);
  expect(squares).toBeGreaterThan(15);
});
