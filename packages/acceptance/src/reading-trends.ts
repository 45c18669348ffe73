import type { CheckDefinition, Limit, LocalDate, Readings } from './definition.js';
import type { CheckFacts } from './facts.js';
import { effectiveLimits, limitWords } from './judges/limits.js';
import { addMonths } from './local-date.js';
import { num } from './outcome.js';
import { type DatedValue, type Trend, trendToLimit } from './statistics/trend.js';

export type ReadingTrend = {
  readonly reading: string;
  readonly label: string;
  readonly unit: string;
  /** The limit that it moves towards; null when the reading has none in numbers. */
  readonly limit: Limit | null;
  readonly values: readonly DatedValue[];
  readonly trend: Trend;
  /** It moves towards its limit, surely (the whole interval of the slope does), and has not broken it yet. */
  readonly crosses: boolean;
  /** It may break it within two years, so that something is to be done at one of the next visits. */
  readonly isNear: boolean;
  readonly words: string;
};

const nearMonths = 24;

/**
 * [ACC-30] The trend of every number of a check over visits: robust slope with its interval and, where the reading has a limit in
 * numbers, the dates between which it would meet it. Needs three dates; `readings` are today's and count as the last.
 */
export function readingTrends(definition: CheckDefinition, facts: CheckFacts, readings: Readings, now: LocalDate): ReadingTrend[] {
  const limits = effectiveLimits({ definition, facts, readings, now });
  return definition.readings.filter((reading) => reading.kind === 'number').flatMap((reading) => {
    const today = readings[reading.key];
    const before = (facts.series?.[`${definition.key}/${reading.key}`] ?? []).filter((point) => point.on < now);
    const values = [...before, ...(typeof today === 'number' ? [{ on: now, value: today }] : [])].toSorted((a, b) => (a.on < b.on ? -1 : 1));
    const found = trendOf(values, limits.filter((limit) => limit.reading === reading.key && typeof limit.value === 'number'));
    if (found === null) return [];
    const { limit, trend } = found;
    const last = values.at(-1)!.value;
    const crosses = limit !== null && trend.crossesOn !== null && isInside(last, limit) && isSure(trend, limit);
    const isNear = crosses && trend.crossesEarliest !== null && trend.crossesEarliest <= addMonths(now, nearMonths);
    return [{ reading: reading.key, label: reading.label, unit: reading.unit, limit, values, trend, crosses, isNear, words: wordsOf(reading.label, reading.unit, limit, trend, crosses) }];
  });
}

/** Of several limits the one that is met first; a reading without any still has its slope. */
function trendOf(values: readonly DatedValue[], limits: readonly Limit[]): { limit: Limit | null; trend: Trend } | null {
  const sides = limits.flatMap((limit) => limitSides(limit).map(({ value, good }) => ({ limit, trend: trendToLimit(values, value, good) })));
  const moving = sides.flatMap(({ limit, trend }) => (trend?.crossesOn == null ? [] : [{ limit, trend }])).toSorted((a, b) => (a.trend.crossesOn! < b.trend.crossesOn! ? -1 : 1));
  if (moving[0] !== undefined) return moving[0];
  const flat = sides[0];
  if (flat?.trend != null) return { limit: flat.limit, trend: flat.trend };
  const bare = trendToLimit(values, -Infinity, 'above');
  return bare === null ? null : { limit: null, trend: bare };
}

/** The numbers of a limit, each with the side on which a reading is good; none where it is not in numbers. */
export function limitSides(limit: Limit): { value: number; good: 'above' | 'below' }[] {
  if (typeof limit.value !== 'number') return [];
  switch (limit.comparator) {
    case '>=': case '>': return [{ value: limit.value, good: 'above' }];
    case '<=': case '<': return [{ value: limit.value, good: 'below' }];
    case 'between': return [{ value: limit.value, good: 'above' }, ...(limit.upper === undefined ? [] : [{ value: limit.upper, good: 'below' as const }])];
    case '=': return [];
  }
}

function isInside(value: number, limit: Limit): boolean {
  return limitSides(limit).every(({ value: at, good }) => (good === 'above' ? value > at : value < at));
}

/** Both ends of the slope's interval move towards the limit; a slope that may be none is no warning. */
function isSure(trend: Trend, limit: Limit): boolean {
  const falls = trend.slopeHighPerYear < 0 && limitSides(limit).some((side) => side.good === 'above');
  const rises = trend.slopeLowPerYear > 0 && limitSides(limit).some((side) => side.good === 'below');
  return falls || rises;
}

function wordsOf(label: string, unit: string, limit: Limit | null, trend: Trend, crosses: boolean): string {
  const per = `${unit === '' ? '' : ` ${unit}`} a year`;
  const slope = `${label}: ${trend.slopePerYear === 0 ? 'steady' : `${trend.slopePerYear < 0 ? 'falls' : 'rises'} by ${num(Math.abs(trend.slopePerYear), 2)}${per}`} over ${trend.points} dates`;
  const between = ` (95 % between ${num(trend.slopeLowPerYear, 2)} and ${num(trend.slopeHighPerYear, 2)}${per})`;
  if (!crosses || limit === null) return `${slope}${between}; no date for its limit.`;
  return `${slope}${between}; meets its limit, ${limitWords(limit)}, about ${trend.crossesOn} (between ${trend.crossesEarliest} and ${trend.crossesLatest ?? 'later'}).`;
}
