/**
 * A fleet whose truth is known: rates drawn from gammas, batteries from a Weibull, faults simulated hour by hour, yearly checks. What the
 * company would have recorded up to one check is the history; what happens until the next check is the outcome.
 */
import { type BatteryLife, type ClassHistory, type ComponentClass, type ComponentHistory, type ComponentInput, type FactorWeights, ageingFactor, CLASS_DEFAULTS, DEFAULT_SETTINGS, rateFactor } from '../src/index.js';
import { aComponent } from './builders.js';

export const YEAR_H = 8766;

/** The truth, chosen away from the starting rules so that the fit has something to learn. */
export const TRUTH = {
  rates: {
    supply: { shape: 1.6, perHour: 1.1e-6 },
    'control-unit': { shape: 2.2, perHour: 3.5e-6 },
    'path-cellular': { shape: 0.8, perHour: 1.4e-5 },
    'detector-wireless': { shape: 1.2, perHour: 3.5e-6 },
    'detector-wired': { shape: 0.7, perHour: 2.6e-6 },
  } as const,
  weights: { per10DbMissing: 1.0, per5DbLostAYear: 0.2, perMarginalReading: 0.35, harsh: 0.6 } satisfies FactorWeights,
  battery: { shape: 3.6, scaleYears: 5.4 },
} as const;

type RatedClass = keyof typeof TRUTH.rates;
const PLAN: readonly (RatedClass | 'battery')[] = ['supply', 'battery', 'control-unit', 'path-cellular', 'detector-wireless', 'detector-wireless', 'detector-wired', 'detector-wired'];

export type Random = () => number;

/** One component at the moment of prediction, with what then happened and what only the simulation knows. */
export interface Case {
  readonly site: number;
  readonly input: ComponentInput;
  readonly today: number;
  readonly untilDay: number;
  readonly failed: boolean;
  /** Failed between the two checks before, and age in years at prediction: what the simple rules may see. */
  readonly failedBefore: boolean;
  readonly ageYears: number;
  /** True current rate per hour; NaN for batteries. */
  readonly trueRate: number;
}

export interface SyntheticFleet {
  readonly history: readonly ClassHistory[];
  readonly cases: readonly Case[];
  /** The same one interval earlier: what the simple rules learn their frequencies from. */
  readonly earlier: readonly Case[];
}

export interface FleetFlaws {
  /** Share of components whose date of installation is lost. */
  readonly datesMissing: number;
  /** Share of recorded verdicts that are wrong, either way. */
  readonly verdictsFlipped: number;
  /** Whether what is found failed is looked at once more before anything is done; that verdict may be wrong too. */
  readonly looksAgain?: boolean;
}

const CHECKS = 6;

/** Makes the fleet: each site is checked so often (six times), a year apart; all intervals but the last are history, the last is the outcome. */
export function syntheticFleet(sites: number, random: Random, flaws: FleetFlaws = { datesMissing: 0, verdictsFlipped: 0 }, checks = CHECKS): SyntheticFleet {
  const rows = new Map<ComponentClass, ComponentHistory[]>();
  const lives: BatteryLife[] = [];
  const ages: number[] = [];
  const cases: Case[] = [];
  const earlier: Case[] = [];
  for (let site = 0; site < sites; site++) {
    const place = { temperatureC: 18 + 16 * random(), harsh: random() < 0.15, replacesAtYears: random() < 0.3 ? 4 : Infinity };
    for (const cls of PLAN) {
      const made = cls === 'battery' ? batteryCase(site, place, random, flaws, lives, ages, checks) : ratedCase(site, cls, place, random, flaws, checks);
      cases.push(made.now);
      earlier.push(made.before);
      const list = rows.get(cls) ?? [];
      if (made.row !== null) list.push(made.row);
      if (cls !== 'battery') rows.set(cls, list);
    }
  }
  const history: ClassHistory[] = [...rows].map(([cls, perComponent]) => ({
    class: cls,
    failures: perComponent.reduce((sum, one) => sum + one.failures, 0),
    hoursInService: perComponent.reduce((sum, one) => sum + one.hoursInService, 0),
    perComponent,
  }));
  history.push({ class: 'battery', failures: lives.filter((life) => life.failed).length, hoursInService: lives.reduce((sum, life) => sum + (life.toAgeYears - life.fromAgeYears) * YEAR_H, 0), lives, agesYears: ages });
  return { history, cases, earlier };
}

interface Place {
  readonly temperatureC: number;
  readonly harsh: boolean;
  readonly replacesAtYears: number;
}

interface Made {
  readonly now: Case;
  readonly before: Case;
  readonly row: ComponentHistory | null;
}

const FIRST_DAY = 10_000;

function ratedCase(site: number, cls: RatedClass, place: Place, random: Random, flaws: FleetFlaws, checks: number): Made {
  const truth = TRUTH.rates[cls];
  const radio = CLASS_DEFAULTS[cls].radio;
  const facts = { marginDb: radio ? 2 + 28 * random() : null, marginalCount: random() < 0.15 ? 1 + Math.floor(2 * random()) : 0, harsh: place.harsh };
  const rate = (gamma(random, truth.shape) * truth.perHour) / truth.shape;
  const trueRate = rate * rateFactor(TRUTH.weights, cls, facts, DEFAULT_SETTINGS);
  const reportedShare = CLASS_DEFAULTS[cls].reportedShare;
  const failedIn: number[] = [];
  const secondLooks = { confirmed: 0, unconfirmed: 0 };
  let hours = 0;
  let hoursBefore = 0;
  for (let interval = 0; interval < checks; interval++) {
    if (interval === checks - 1) hoursBefore = hours;
    // Faults of one interval: a reported one is repaired in two days, a silent one waits for the check.
    let [t, failures, silent] = [0, 0, false];
    for (;;) {
      t += -Math.log(1 - random()) / trueRate;
      if (t >= YEAR_H) break;
      failures += 1;
      if (random() >= reportedShare) {
        silent = true;
        break;
      }
      t += 48;
    }
    // Up hours as the company can know them: half the interval before a silent fault counts as down.
    hours += YEAR_H - (silent ? YEAR_H / 2 : 0) - 48 * (failures - (silent ? 1 : 0));
    const told = random() < flaws.verdictsFlipped ? (failures > 0 ? 0 : 1) : failures;
    const again = told > 0 && flaws.looksAgain === true;
    const stays = !again || (random() < flaws.verdictsFlipped) !== failures > 0;
    if (interval < checks - 1 && again) secondLooks[stays ? 'confirmed' : 'unconfirmed'] += 1;
    failedIn.push(interval < checks - 1 ? (stays ? told : 0) : failures);
  }
  const ageYears = 5 + 3 * random();
  const dated = random() >= flaws.datesMissing;
  const caseAt = (interval: number): Case => {
    const today = FIRST_DAY + Math.round(interval * 365.25);
    const known = failedIn.slice(0, interval);
    return {
      site,
      input: aComponent(cls, {
        id: `${site}-${cls}`,
        installedDay: dated ? Math.round(today - (ageYears - checks + interval) * 365.25) : null,
        lastProofDay: today,
        failures: known.reduce((sum, k) => sum + k, 0),
        verdicts: interval,
        hoursInService: interval === checks - 1 ? hoursBefore : interval * YEAR_H,
        ...facts,
        selfReported: true,
        coverage: 1,
      }),
      today,
      untilDay: today + 365,
      failed: (failedIn[interval] as number) > 0,
      failedBefore: (failedIn[interval - 1] as number) > 0,
      ageYears: ageYears - checks + interval,
      trueRate,
    };
  };
  const now = caseAt(checks - 1);
  return { now, before: caseAt(checks - 2), row: { failures: now.input.failures, verdicts: checks - 1, lookedH: (checks - 1) * YEAR_H, failedLooks: failedIn.slice(0, checks - 1).filter((k) => k > 0).length, ...secondLooks, hoursInService: now.input.hoursInService, ...facts } };
}

function batteryCase(site: number, place: Place, random: Random, flaws: FleetFlaws, lives: BatteryLife[], ages: number[], checks: number): Made {
  const { shape, scaleYears } = TRUTH.battery;
  const pace = ageingFactor(place.temperatureC, DEFAULT_SETTINGS);
  const lifeFrom = (effective: number) => scaleYears * ((effective / scaleYears) ** shape - Math.log(1 - random())) ** (1 / shape);
  let age = 3 * random();
  let from = age;
  let end = lifeFrom(age * pace) / pace;
  let dated = random() >= flaws.datesMissing;
  const results: { ageAtStart: number; failed: boolean; dated: boolean }[] = [];
  for (let interval = 0; interval < checks; interval++) {
    const failed = end < age + 1;
    results.push({ ageAtStart: age, failed, dated });
    // What is told is what is done: a good one that was failed is replaced, a failed one that was passed stays.
    const told = random() < flaws.verdictsFlipped ? !failed : failed;
    const recorded = told && (flaws.looksAgain !== true || (random() < flaws.verdictsFlipped) !== failed);
    const replaced = recorded || age + 1 >= place.replacesAtYears;
    if (interval < checks - 1 && dated && (replaced || interval === checks - 2)) {
      lives.push({ fromAgeYears: from, toAgeYears: age + 1, temperatureC: place.temperatureC, failed: recorded, lastGoodAgeYears: age });
    }
    age += 1;
    if (replaced) {
      [age, from, dated] = [0, 0, random() >= flaws.datesMissing];
      end = lifeFrom(0) / pace;
    }
    if (interval === checks - 2 && dated) ages.push(age);
  }
  const caseAt = (interval: number): Case => {
    const today = FIRST_DAY + Math.round(interval * 365.25);
    const { ageAtStart, failed, dated: known } = results[interval] as (typeof results)[number];
    const input = aComponent('battery', { id: `${site}-battery`, installedDay: null, lastProofDay: today, hoursInService: 0, ageYears: known ? ageAtStart : null, temperatureC: place.temperatureC, coverage: 1 });
    return { site, input, today, untilDay: today + 365, failed, failedBefore: results[interval - 1]?.failed === true, ageYears: ageAtStart, trueRate: Number.NaN };
  };
  return { now: caseAt(checks - 1), before: caseAt(checks - 2), row: null };
}

/** Gamma variate, rate 1 (Marsaglia and Tsang 2000). */
export function gamma(random: Random, shape: number): number {
  if (shape < 1) return gamma(random, shape + 1) * random() ** (1 / shape);
  const d = shape - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const x = Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
    const v = (1 + c * x) ** 3;
    if (v > 0 && Math.log(1 - random()) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v;
  }
}
