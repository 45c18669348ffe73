import { daysFrom } from '../format.js';

/** What a trend's picture draws: values over days, the limit's numbers, the robust line with its interval, the day it meets the limit. */
export interface DrawnTrend {
  readonly values: readonly { readonly on: string; readonly value: number }[];
  readonly edges: readonly number[];
  readonly atLast: number; readonly slopePerYear: number; readonly slopeLowPerYear: number; readonly slopeHighPerYear: number;
  readonly crosses: { readonly on: string; readonly earliest: string; readonly latest: string | null } | null;
}

export interface TrendDrawing {
  readonly pegs: readonly { readonly x: number; readonly y: number }[];
  readonly edges: readonly number[];
  /** the line over what was read, and beyond it */
  readonly line: { readonly x1: number; readonly y1: number; readonly x2: number; readonly y2: number; readonly x3: number; readonly y3: number };
  /** where the line may lie beyond the last reading */
  readonly wedge: string;
  /** the day it meets its limit and the days between which it may; null: none, or further off than is drawn */
  readonly cross: { readonly x: number; readonly y: number; readonly from: number; readonly to: number } | null;
}

export const [TREND_WIDTH, TREND_HEIGHT, PAD] = [300, 84, 8];
const DAYS_A_YEAR = 365.25;
/** Ahead is drawn for as long as was read, and two years more; what is further off is told in words only. */
const MORE_DAYS = 2 * DAYS_A_YEAR;

export function drawTrend(trend: DrawnTrend): TrendDrawing {
  const { values, atLast, crosses } = trend;
  const first = values[0]!.on;
  const read = Math.max(1, daysFrom(first, values.at(-1)!.on));
  const most = 2 * read + MORE_DAYS;
  const crossAt = crosses === null ? null : daysFrom(first, crosses.on);
  const latestAt = crosses === null || crosses.latest === null ? most : daysFrom(first, crosses.latest);
  const end = crossAt === null || crossAt > most ? 1.25 * read : Math.max(1.25 * read, Math.min(most, Math.max(1.05 * crossAt, latestAt)));
  const ahead = (slope: number) => atLast + (slope / DAYS_A_YEAR) * (end - read);
  const atFirst = atLast - (trend.slopePerYear / DAYS_A_YEAR) * read;
  const numbers = [...values.map((one) => one.value), ...trend.edges];
  const [low, high] = [Math.min(...numbers, atLast), Math.max(...numbers, atLast)];
  const room = high === low ? 1 : 0.1 * (high - low);
  const [bottom, top] = [low - room, high + room];
  const x = (days: number) => PAD + (Math.min(days, end) / end) * (TREND_WIDTH - 2 * PAD);
  const y = (value: number) => Math.min(TREND_HEIGHT, Math.max(0, TREND_HEIGHT - ((value - bottom) / (top - bottom)) * TREND_HEIGHT));
  const nearest = trend.edges.toSorted((a, b) => Math.abs(ahead(trend.slopePerYear) - a) - Math.abs(ahead(trend.slopePerYear) - b))[0];
  return {
    pegs: values.map((one) => ({ x: x(daysFrom(first, one.on)), y: y(one.value) })),
    edges: trend.edges.map(y),
    line: { x1: x(0), y1: y(atFirst), x2: x(read), y2: y(atLast), x3: x(end), y3: y(ahead(trend.slopePerYear)) },
    wedge: `${x(read)},${y(atLast)} ${x(end)},${y(ahead(trend.slopeLowPerYear))} ${x(end)},${y(ahead(trend.slopeHighPerYear))}`,
    cross: crosses === null || crossAt === null || crossAt > end || nearest === undefined ? null : { x: x(crossAt), y: y(nearest), from: x(daysFrom(first, crosses.earliest)), to: x(latestAt) },
  };
}
