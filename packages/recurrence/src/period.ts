import type { Period, Span } from './cadence.js';
import { addMonthsToDay, dayNumberOf, partsOf } from './local-date.js';

const MONTHS_OF: Record<Exclude<Period, 'week'>, number> = { month: 1, quarter: 3, 'half-year': 6, year: 12 };

/** Index of the calendar period that holds a day; the next period has the next index. */
export function periodIndex(period: Period, day: number): number {
  if (period === 'week') return Math.floor((day + 3) / 7); // 1970-01-01 was a Thursday, weeks start on Monday
  const { year, month } = partsOf(day);
  return Math.floor((year * 12 + month - 1) / MONTHS_OF[period]);
}

/** First day of a period by its index. */
export function periodStart(period: Period, index: number): number {
  if (period === 'week') return index * 7 - 3;
  const months = index * MONTHS_OF[period];
  const year = Math.floor(months / 12);
  return dayNumberOf(year, months - year * 12 + 1, 1);
}

/** A day plus a span; months clip to the month's end, or to `holdDay` where given. */
export const plus = (day: number, span: Span, holdDay?: number): number =>
  'days' in span ? day + span.days : addMonthsToDay(day, span.months, holdDay);

/** A day minus a span. */
export const minus = (day: number, span: Span): number => ('days' in span ? day - span.days : addMonthsToDay(day, -span.months));

/** The length of a period as a span. */
export const periodSpan = (period: Period): Span => (period === 'week' ? { days: 7 } : { months: MONTHS_OF[period] });
