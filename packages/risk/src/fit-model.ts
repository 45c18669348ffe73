/** The company's risk model: what its history says about rates, batteries and factors. Rules MOD-1..5 in SPEC.md. */
import { BATTERY_DEFAULTS, CLASS_DEFAULTS, COMPONENT_CLASSES, type ComponentClass, DEFAULT_SETTINGS, type RiskSettings } from './component-classes.js';
import { fitGammaMean, fitGammaPrior, type GammaRate, meanRate, rateInterval } from './gamma-poisson.js';
import { DEFAULT_WEIGHTS, type FactorRecord, type FactorWeights, fitCohorts, fitWeights, rateFactor, WEIGHTS_SOURCE } from './rate-factors.js';
import { RiskInputError } from './site-input.js';
import { type BatteryLife, fitWeibull, type WeibullLife } from './weibull.js';

/** One component's share of its class's history. */
export type ComponentHistory = Omit<FactorRecord, 'class'>;

/** History of one class. Totals are enough for its mean; `perComponent` also gives its spread and factors; `lives` are for batteries. */
export interface ClassHistory {
  readonly class: ComponentClass;
  readonly failures: number;
  readonly hoursInService: number;
  readonly perComponent?: readonly ComponentHistory[];
  readonly lives?: readonly BatteryLife[];
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
  /** Eight ages, calendar years, that stand for the batteries seen not to have failed: what an undated one may be. Empty: too few. */
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
  const within = fitWeights(records, settings);
  const cohorts = fitCohorts(records, within, settings);
  const weights: FactorWeights = Object.keys(cohorts).length === 0 ? within : { ...within, cohorts };
  const byClass = new Map(history.map((one) => [one.class, one]));
  const rates = Object.fromEntries(COMPONENT_CLASSES.map((cls) => [cls, classRate(cls, byClass.get(cls), weights, settings)])) as Record<ComponentClass, ClassRate>;
  const model = {
    window: options.window ?? null,
    rates,
    battery: batteryModel(byClass.get('battery')?.lives ?? [], settings),
    weights,
    weightsSource: weights === DEFAULT_WEIGHTS || records.length === 0 ? WEIGHTS_SOURCE : `own history of ${records.length} components, starting from: ${WEIGHTS_SOURCE}`,
    settings,
  };
  return { version: options.version ?? digest(JSON.stringify(model)), ...model };
}

function classRate(cls: ComponentClass, history: ClassHistory | undefined, weights: FactorWeights, settings: RiskSettings): ClassRate {
  const rule = CLASS_DEFAULTS[cls];
  // A battery's number is about its age; here it only spreads one battery from another, so its unit is expected failures, not hours.
  const start: GammaRate = cls === 'battery' ? { shape: rule.shape, hours: rule.shape } : { shape: rule.shape, hours: rule.shape / rule.ratePerHour };
  const per = history?.perComponent ?? [];
  const seen = cls !== 'battery' && history !== undefined && history.hoursInService > 0;
  const own = seen && per.length > 0;
  let fitted = start;
  if (own) {
    const used = per.filter((record) => record.hoursInService > 0);
    fitted = fitGammaPrior(used.map((record) => ({ failures: record.failures, hours: record.hoursInService * rateFactor(weights, cls, record, settings) })), start);
  } else if (seen) fitted = fitGammaMean(history.failures, history.hoursInService, start);
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

function batteryModel(lives: readonly BatteryLife[], settings: RiskSettings): BatteryModel {
  const frailty = CLASS_DEFAULTS.battery.shape;
  const start = { shape: BATTERY_DEFAULTS.shape, scaleYears: BATTERY_DEFAULTS.scaleYears };
  const fitted = fitWeibull(lives, start, frailty, settings);
  const source = lives.length > 0 ? 'own history' : 'company rule';
  return { ...fitted, frailty, source, rule: BATTERY_DEFAULTS.source, lives: lives.length, failed: lives.filter((life) => life.failed).length, agesYears: agesOf(lives) };
}

const AGES = 8;
// Of fewer batteries the eighths are chance.
const LEAST_FOR_AGES = 40;

function agesOf(lives: readonly BatteryLife[]): number[] {
  const ages = lives.filter((life) => !life.failed).map((life) => life.toAgeYears).sort((a, b) => a - b);
  return ages.length < LEAST_FOR_AGES ? [] : Array.from({ length: AGES }, (_, n) => ages[Math.floor(((n + 0.5) / AGES) * ages.length)] as number);
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
