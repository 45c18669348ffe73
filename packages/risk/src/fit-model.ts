/** The company's risk model: what its history says about rates, batteries and factors. Rules MOD-1..5 in SPEC.md. */
import { BATTERY_DEFAULTS, CLASS_DEFAULTS, COMPONENT_CLASSES, type ComponentClass, DEFAULT_SETTINGS, type RiskSettings } from './component-classes.js';
import { fitGammaMean, fitGammaPrior, type GammaRate, meanRate, rateInterval } from './gamma-poisson.js';
import { factorsOf, type FitTable, fitTable, lookedRecord } from './fit-table.js';
import { weightsCost, weightsOf } from './fit-weights.js';
import { DEFAULT_WEIGHTS, type FactorRecord, type FactorWeights, WEIGHTS_SOURCE } from './rate-factors.js';
import { RiskInputError } from './site-input.js';
import { type BatteryLife, fitWeibull, type WeibullLife } from './weibull.js';
import { fitLooks, lookedClass } from './look-grid.js';
import { fitWrongVerdicts, type FoundVerdicts, type SecondLooks, trueFailures, type WrongVerdicts } from './wrong-verdicts.js';

/** One component's share of its class's history. */
export type ComponentHistory = Omit<FactorRecord, 'class'>;

/** History of one class. Totals are enough for its mean; `perComponent` also gives its spread and factors; `lives` are for batteries. */
export interface ClassHistory {
  readonly class: ComponentClass;
  readonly failures: number;
  readonly hoursInService: number;
  readonly perComponent?: readonly ComponentHistory[];
  readonly lives?: readonly BatteryLife[];
  /** Ages of dated batteries in service at the end of the window, calendar years: what an undated one may be. */
  readonly agesYears?: readonly number[];
}

/** First and last local date of the history a model has seen. */
export interface DataWindow {
  readonly from: string;
  readonly to: string;
}

export interface FitOptions {
  /** Name of this version; by default a digest of the fitted numbers, so that equal models have equal names. */
  readonly version?: string;
  readonly window?: DataWindow;
  readonly settings?: Partial<RiskSettings>;
}

export type RateSource = 'company rule' | 'own totals' | 'own history';

/** What is believed of one class; `low` and `high` hold a component's rate (per hour, factor 1) with 95 %. */
export interface ClassRate extends GammaRate {
  readonly meanPerHour: number;
  readonly lowPerHour: number;
  readonly highPerHour: number;
  readonly source: RateSource;
  /** Words on where the starting rule came from. */
  readonly rule: string;
  readonly failures: number;
  readonly hoursInService: number;
  readonly components: number;
}

export interface BatteryModel extends WeibullLife {
  readonly frailty: number;
  readonly source: 'company rule' | 'own history';
  readonly rule: string;
  readonly lives: number;
  readonly failed: number;
  /** Eight ages, calendar years, that stand for the dated batteries in service (or, not told, those seen not to have failed): what an undated one may be. Empty: too few. */
  readonly agesYears?: readonly number[];
}

/** A fitted model. Plain data: may be stored and sent as JSON. */
export interface RiskModel {
  readonly version: string;
  readonly window: DataWindow | null;
  readonly rates: Readonly<Record<ComponentClass, ClassRate>>;
  readonly battery: BatteryModel;
  readonly weights: FactorWeights;
  readonly weightsSource: string;
  /** How often this company's verdicts are wrong, of single ones and of what stays on record; left out: taken at their word. */
  readonly verdicts?: FoundVerdicts;
  readonly settings: RiskSettings;
}

/**
 * Fits a model. With no history it is the company rules alone, and says so class by class.
 * @throws RiskInputError naming class, field, value and what is accepted.
 */
export function fitModel(history: readonly ClassHistory[], options: FitOptions = {}): RiskModel {
  const settings = { ...DEFAULT_SETTINGS, ...options.settings };
  for (const one of history) requireHistory(one);
  const records = history.flatMap((one) => (one.perComponent ?? []).map((record): FactorRecord => ({ ...record, class: one.class })));
  const byClass = new Map(history.map((one) => [one.class, one]));
  const { weights, wrong, priors } = fitTogether(records, settings);
  const rates = Object.fromEntries(COMPONENT_CLASSES.map((cls) => [cls, classRate(cls, byClass.get(cls), priors.get(cls))])) as Record<ComponentClass, ClassRate>;
  const model = {
    window: options.window ?? null,
    rates,
    battery: batteryModel(byClass.get('battery'), settings, wrong),
    weights,
    weightsSource: weights === DEFAULT_WEIGHTS || records.length === 0 ? WEIGHTS_SOURCE : `own history of ${records.length} components, starting from: ${WEIGHTS_SOURCE}`,
    ...(wrong.falseFail > 0 ? { verdicts: wrong } : {}),
    settings,
  };
  return { version: options.version ?? digest(JSON.stringify(model)), ...model };
}

interface Together {
  readonly weights: FactorWeights;
  readonly wrong: FoundVerdicts;
  readonly priors: Map<ComponentClass, GammaRate>;
}

/** Records looked at for the share of wrong verdicts; of more, evenly so many: they settle it to a tenth of itself. */
const MOST_SOUGHT = 60_000;

/**
 * Weights, lots and priors. The share of wrong verdicts is sought on what the records say of it when weights and priors are fitted under each
 * share; where they are not far likelier with wrong verdicts, all is taken at its word.
 */
function fitTogether(records: readonly FactorRecord[], settings: RiskSettings): Together {
  const every = Math.max(1, Math.ceil(records.length / MOST_SOUGHT));
  const all = fitTable(records, settings);
  const sought = every === 1 ? all : fitTable(records.filter((_, at) => at % every === 0), settings);
  const plain = weightsOf(sought, sought.failures);
  let near = plain;
  const wrong = fitWrongVerdicts((verdicts) => {
    const fit = underVerdicts(sought, verdicts, verdicts.falseFail === 0 ? plain : near, ROUGHLY);
    near = fit.weights;
    return fit.cost;
  }, secondLooksOf(records));
  if (wrong.falseFail > 0) return { wrong, ...underVerdicts(all, wrong, near, 1e-6) };
  const weights = every === 1 ? plain : weightsOf(all, all.failures);
  const factors = factorsOf(all, weights);
  return { weights, wrong, priors: new Map([...all.rated].map(([cls, members]) => [cls, fitGammaPrior(Array.from(members, (at) => lookedRecord(all, factors, at)), startOf(cls))])) };
}

/** Rounds of expectation and maximisation at one share: failures count by how likely each is true, which weights and priors tell. */
const ROUNDS = 3;
const ROUGHLY = 1e-3;

function underVerdicts(table: FitTable, wrong: WrongVerdicts, from: FactorWeights, within: number): { weights: FactorWeights; priors: Map<ComponentClass, GammaRate>; cost: number } {
  let weights = from;
  const priors = new Map<ComponentClass, GammaRate>();
  for (let round = 1; ; round++) {
    const factors = factorsOf(table, weights);
    let cost = weightsCost(weights);
    for (const [cls, members] of table.rated) {
      const fit = fitLooks(lookedClass(startOf(cls), Array.from(members, (at) => lookedRecord(table, factors, at))), wrong, within, priors.get(cls));
      priors.set(cls, fit.prior);
      cost += fit.cost;
    }
    if (wrong.falseFail === 0 || round > ROUNDS) return { weights, priors, cost };
    weights = weightsOf(table, likelyTrue(table, factors, priors, wrong));
  }
}

// Of a class without hours nothing was fitted: its failures are taken at their word.
function likelyTrue(table: FitTable, factors: Float64Array, priors: ReadonlyMap<ComponentClass, GammaRate>, wrong: WrongVerdicts): Float64Array {
  const believed = table.failures.slice();
  for (const [cls, members] of table.rated) {
    const prior = priors.get(cls) as GammaRate;
    for (const at of members) if (believed[at] !== 0) believed[at] = trueFailures(prior, lookedRecord(table, factors, at), wrong);
  }
  return believed;
}

function secondLooksOf(records: readonly FactorRecord[]): SecondLooks {
  const sums = { failed: 0, confirmed: 0, unconfirmed: 0, verdicts: 0 };
  for (const one of records) {
    if (one.verdicts === undefined) continue;
    sums.verdicts += one.verdicts;
    // Of failures found at one look one can be looked at again.
    sums.failed += one.failedLooks ?? Math.min(one.failures, one.verdicts);
    sums.confirmed += one.confirmed ?? 0;
    sums.unconfirmed += one.unconfirmed ?? 0;
  }
  return sums;
}

function startOf(cls: ComponentClass): GammaRate {
  const rule = CLASS_DEFAULTS[cls];
  // A battery's number is about its age; here it only spreads one battery from another, so its unit is expected failures, not hours.
  return cls === 'battery' ? { shape: rule.shape, hours: rule.shape } : { shape: rule.shape, hours: rule.shape / rule.ratePerHour };
}

function classRate(cls: ComponentClass, history: ClassHistory | undefined, prior: GammaRate | undefined): ClassRate {
  const rule = CLASS_DEFAULTS[cls];
  const per = history?.perComponent ?? [];
  const seen = cls !== 'battery' && history !== undefined && history.hoursInService > 0;
  const own = seen && per.length > 0;
  let fitted = startOf(cls);
  if (own) fitted = prior ?? fitted;
  else if (seen) fitted = fitGammaMean(history.failures, history.hoursInService, fitted);
  const { low, high } = rateInterval(fitted, 0.95);
  return {
    ...fitted,
    meanPerHour: meanRate(fitted),
    lowPerHour: low,
    highPerHour: high,
    source: own ? 'own history' : seen ? 'own totals' : 'company rule',
    rule: rule.source,
    failures: history?.failures ?? 0,
    hoursInService: history?.hoursInService ?? 0,
    components: per.length,
  };
}

function batteryModel(history: ClassHistory | undefined, settings: RiskSettings, wrong: WrongVerdicts): BatteryModel {
  const lives = history?.lives ?? [];
  const frailty = CLASS_DEFAULTS.battery.shape;
  const start = { shape: BATTERY_DEFAULTS.shape, scaleYears: BATTERY_DEFAULTS.scaleYears };
  const fitted = fitWeibull(lives, start, frailty, settings, wrong);
  const source = lives.length > 0 ? 'own history' : 'company rule';
  return { ...fitted, frailty, source, rule: BATTERY_DEFAULTS.source, lives: lives.length, failed: lives.filter((life) => life.failed).length, agesYears: agesOf(history?.agesYears ?? lives.filter((life) => !life.failed).map((life) => life.toAgeYears)) };
}

const AGES = 8;
// Of fewer batteries the eighths are chance.
const LEAST_FOR_AGES = 40;

function agesOf(ages: readonly number[]): number[] {
  const sorted = [...ages].sort((a, b) => a - b);
  return sorted.length < LEAST_FOR_AGES ? [] : Array.from({ length: AGES }, (_, n) => sorted[Math.floor(((n + 0.5) / AGES) * sorted.length)] as number);
}

function requireHistory(one: ClassHistory): void {
  const check = (field: string, value: number) => {
    if (!Number.isFinite(value) || value < 0) throw new RiskInputError(`history of ${one.class}: ${field} is ${value}; accepted: a number from 0`);
  };
  if (!COMPONENT_CLASSES.includes(one.class)) throw new RiskInputError(`history: class is ${String(one.class)}; accepted: ${COMPONENT_CLASSES.join(', ')}`);
  check('failures', one.failures);
  check('hoursInService', one.hoursInService);
  if (one.failures > 0 && one.hoursInService === 0) throw new RiskInputError(`history of ${one.class}: ${one.failures} failures in 0 hours; accepted: hours above 0`);
  one.perComponent?.forEach((record, at) => {
    if (!Number.isInteger(record.failures)) check(`perComponent[${at}].failures`, Number.NaN);
    check(`perComponent[${at}].failures`, record.failures);
    check(`perComponent[${at}].hoursInService`, record.hoursInService);
  });
  one.lives?.forEach((life, at) => {
    check(`lives[${at}].fromAgeYears`, life.fromAgeYears);
    check(`lives[${at}].toAgeYears`, life.toAgeYears);
  });
}

// 53 bits of FNV-like mixing: a name for equal models, no guard against malice.
function digest(text: string): string {
  let [high, low] = [0x811c9dc5, 0x01000193];
  for (let at = 0; at < text.length; at++) {
    high = Math.imul(high ^ text.charCodeAt(at), 0x01000193) >>> 0;
    low = Math.imul(low ^ text.charCodeAt(at), 0x85ebca6b) >>> 0;
  }
  return `m-${high.toString(16).padStart(8, '0')}${low.toString(16).padStart(8, '0')}`;
}
