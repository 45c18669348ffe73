/**
 * Component records by column. A fit goes over a company's records some hundred times with other weights each time; what does not change
 * with the weights is worked out once.
 */
import { COMPONENT_CLASSES, type ComponentClass, CLASS_DEFAULTS, type RiskSettings } from './component-classes.js';
import { COVARIATES, covariates, type FactorRecord, type FactorWeights, lotKey } from './rate-factors.js';
import type { LookedRecord } from './wrong-verdicts.js';

/** One place per record in every column; -1 in an Int32Array is none. */
export interface FitTable {
  readonly count: number;
  readonly failures: Float64Array;
  /** Hours in service, without a factor. */
  readonly hours: Float64Array;
  readonly looks: Float64Array;
  /** Hours that the looks cover, without a factor. */
  readonly lookedH: Float64Array;
  readonly failedLooks: Float64Array;
  /** What the factor depends on, `COVARIATES` values per record. */
  readonly rows: Float64Array;
  /** Place of its class in COMPONENT_CLASSES. */
  readonly classOf: Int32Array;
  /** Its year of installation within its class, as a place in `lots`. */
  readonly lotOf: Int32Array;
  readonly lots: readonly string[];
  /** Which records it is compared with when weights are fitted; none: it says nothing of them. */
  readonly stratumOf: Int32Array;
  readonly strata: number;
  /** Those with hours, by class, but the batteries: their age says more. */
  readonly rated: ReadonlyMap<ComponentClass, Int32Array>;
}

/** Lays records out by column. Records of radio classes without a margin are not compared; those of an unknown place only among themselves. */
export function fitTable(records: readonly FactorRecord[], settings: RiskSettings): FitTable {
  const count = records.length;
  const [lots, strata] = [new Map<string, number>(), new Map<string, number>()];
  const placeIn = (names: Map<string, number>, name: string): number => {
    const known = names.get(name);
    if (known === undefined) names.set(name, names.size);
    return known ?? names.size - 1;
  };
  const table = {
    count,
    failures: new Float64Array(count), hours: new Float64Array(count), looks: new Float64Array(count), lookedH: new Float64Array(count), failedLooks: new Float64Array(count),
    rows: new Float64Array(count * COVARIATES), classOf: new Int32Array(count), lotOf: new Int32Array(count).fill(-1), stratumOf: new Int32Array(count).fill(-1),
  };
  const rated = new Map<ComponentClass, number[]>();
  records.forEach((record, at) => {
    const { class: cls, hoursInService: hours, failures } = record;
    table.failures[at] = failures;
    table.hours[at] = hours;
    table.looks[at] = record.verdicts ?? 0;
    table.lookedH[at] = record.lookedH ?? hours;
    table.failedLooks[at] = record.failedLooks ?? failures;
    table.rows.set(covariates(cls, record, settings.unknownMarginDb), at * COVARIATES);
    table.classOf[at] = COMPONENT_CLASSES.indexOf(cls);
    if (record.cohort !== undefined && record.cohort !== null) table.lotOf[at] = placeIn(lots, lotKey(cls, record.cohort));
    if (hours <= 0) return;
    if (!CLASS_DEFAULTS[cls].radio || (record.marginDb ?? null) !== null) table.stratumOf[at] = placeIn(strata, record.harsh === null ? `${cls}, place not known` : cls);
    if (cls === 'battery') return;
    const of = rated.get(cls);
    if (of === undefined) rated.set(cls, [at]);
    else of.push(at);
  });
  return { ...table, lots: [...lots.keys()], strata: strata.size, rated: new Map([...rated].map(([cls, of]) => [cls, Int32Array.from(of)])) };
}

/** Each record's multiplier of its class's rate, as `rateFactor` gives it. */
export function factorsOf({ count, rows, lots, lotOf }: FitTable, weights: FactorWeights): Float64Array {
  const { per10DbMissing, per5DbLostAYear, perMarginalReading, harsh, cohorts } = weights;
  const lotLogs = Float64Array.from(lots, (lot) => cohorts?.[lot] ?? 0);
  const factors = new Float64Array(count);
  for (let at = 0, r = 0; at < count; at++, r += COVARIATES) {
    const lot = lotOf[at] as number;
    const log = per10DbMissing * (rows[r] as number) + per5DbLostAYear * (rows[r + 1] as number) + perMarginalReading * (rows[r + 2] as number) + harsh * (rows[r + 3] as number);
    factors[at] = Math.exp(lot < 0 ? log : log + (lotLogs[lot] as number));
  }
  return factors;
}

/** The record as its looks say, its hours multiplied by its factor. */
export function lookedRecord(table: FitTable, factors: Float64Array, at: number): LookedRecord {
  const factor = factors[at] as number;
  return { failures: table.failures[at] as number, hours: (table.hours[at] as number) * factor, looks: table.looks[at] as number, lookedH: (table.lookedH[at] as number) * factor, failedLooks: table.failedLooks[at] as number };
}
