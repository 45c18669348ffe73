import type { LocalDate } from '../definition.js';
import { dateOfDay, requireDay } from '../local-date.js';
import { leastSquares, type Point, theilSen } from './line.js';

export type DatedValue = { readonly on: LocalDate; readonly value: number };

export type Trend = {
  readonly slopePerYear: number;
  readonly slopeLowPerYear: number;
  readonly slopeHighPerYear: number;
  readonly points: number;
  /** What the robust line says on the last date. */
  readonly atLast: number;
  /** Date at which the robust line meets the limit; null when it moves away from it. */
  readonly crossesOn: LocalDate | null;
  /** With the steepest and the flattest slope of the interval; null when that one never meets the limit. */
  readonly crossesEarliest: LocalDate | null;
  readonly crossesLatest: LocalDate | null;
};

const daysPerYear = 365.25;
// Beyond this no forecast is worth a date.
const horizonDays = 50 * daysPerYear;

/**
 * [ACC-30] Robust trend of any reading over visits and the date at which it meets `limit`. `good` says on which side of the
 * limit the reading is good. Null with fewer than three dated values: two points are a line through anything.
 * Throws RangeError for a date that is none.
 */
export function trendToLimit(values: readonly DatedValue[], limit: number, good: 'above' | 'below'): Trend | null {
  const points = dated(values);
  const line = points.length < 3 ? null : theilSen(points);
  if (line === null) return null;
  const last = points.at(-1)!;
  const pivot = { x: last.x, y: line.jointIntercept + line.slope * last.x };
  const toward = good === 'above' ? line.slopeLow : line.slopeHigh;
  const away = good === 'above' ? line.slopeHigh : line.slopeLow;
  return {
    slopePerYear: line.slope * daysPerYear,
    slopeLowPerYear: line.slopeLow * daysPerYear,
    slopeHighPerYear: line.slopeHigh * daysPerYear,
    points: points.length,
    atLast: pivot.y,
    crossesOn: crossing(pivot, line.slope, limit, good),
    crossesEarliest: crossing(pivot, toward, limit, good),
    crossesLatest: crossing(pivot, away, limit, good),
  };
}

export type CapacityForecast = {
  /** Limit in percent of rated: the tighter of the end-of-life share and what the load needs. */
  readonly limitPct: number;
  readonly byLastSlope: LocalDate | null;
  readonly byAllPoints: LocalDate | null;
  readonly byRobustLine: LocalDate | null;
  readonly earliest: LocalDate | null;
  readonly latest: LocalDate | null;
};

/**
 * [ACC-18] When a battery's capacity meets its limit: by the slope of the last two readings (ageing accelerates) and by the
 * straight line through all of them, which together are the range shown; the robust line stands beside it as a third opinion.
 * Null with fewer than two readings.
 */
export function capacityForecast(history: readonly DatedValue[], limitPct: number): CapacityForecast | null {
  const points = dated(history);
  if (points.length < 2) return null;
  const [last, before] = [points.at(-1)!, points.at(-2)!];
  const byLastSlope = crossing(last, (last.y - before.y) / (last.x - before.x), limitPct, 'above');
  const line = leastSquares(points)!;
  const byAllPoints = crossing({ x: last.x, y: line.intercept + line.slope * last.x }, line.slope, limitPct, 'above');
  const robust = theilSen(points)!;
  const dates = [byLastSlope, byAllPoints].filter((date) => date !== null).toSorted();
  return {
    limitPct,
    byLastSlope,
    byAllPoints,
    byRobustLine: crossing({ x: last.x, y: robust.jointIntercept + robust.slope * last.x }, robust.slope, limitPct, 'above'),
    earliest: dates[0] ?? null,
    latest: dates.at(-1) ?? null,
  };
}

function dated(values: readonly DatedValue[]): Point[] {
  const points = values.map(({ on, value }) => ({ x: requireDay(on), y: value })).toSorted((a, b) => a.x - b.x);
  // Of two readings on one day the later one in the list stands: a retest replaces what it repeats.
  return points.filter((point, i) => points[i + 1]?.x !== point.x);
}

function crossing(from: Point, slope: number, limit: number, good: 'above' | 'below'): LocalDate | null {
  const left = good === 'above' ? from.y - limit : limit - from.y;
  const speed = good === 'above' ? -slope : slope;
  if (left <= 0) return dateOfDay(from.x);
  if (speed <= 0 || left / speed > horizonDays) return null;
  return dateOfDay(Math.floor(from.x + left / speed));
}
