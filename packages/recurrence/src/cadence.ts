import { RecurrenceInputError } from './errors.js';

/** A length in calendar months or in days, whole and not negative. Months clip to the month's end. */
export type Span = { readonly months: number } | { readonly days: number };

/** A calendar period of the site's calendar; weeks start on Monday. */
export type Period = 'week' | 'month' | 'quarter' | 'half-year' | 'year';

/**
 * Every N months by the calendar. Neither late nor early completion ever moves it.
 * With dueDay 'month-end' the whole due month is meant, and a tolerance in months is whole calendar months:
 * due March, one month early and late = 1 February to 30 April.
 */
export interface FixedMonth {
  readonly kind: 'fixed-month';
  /** 1 to 120. */
  readonly everyMonths: number;
  /** 1 to 12. */
  readonly dueMonth: number;
  /** Day of the due month, 1 to 31, clipped to its end and never ratcheted. */
  readonly dueDay: number | 'month-end';
  /** A year in which the due month counts; needed only when everyMonths is no divisor of 12. Default 2000. */
  readonly anchorYear?: number;
  readonly early: Span;
  readonly late: Span;
}

/** Due on each date of an RFC 5545 rule. Completion never moves it. */
export interface CalendarRule {
  readonly kind: 'calendar-rule';
  /** First wall time, YYYY-MM-DDTHH:MM:SS or a bare date. */
  readonly dtstart: string;
  readonly timeZone: string;
  readonly rrule: string;
  readonly rdate?: string[];
  readonly exdate?: string[];
  readonly earlyDays: number;
  readonly lateDays: number;
}

/** Rolling from the last proof: at least min, nominally nominal, at most max after it. */
export interface SinceLast {
  readonly kind: 'since-last';
  readonly min: Span;
  readonly nominal: Span;
  readonly max: Span;
  /** Whether a proof before min restarts the count ('counts') or meets nothing ('ignored', the default). */
  readonly beforeMin?: 'ignored' | 'counts';
  /** Day of month held through clipping (29 to 31): a proof on a clipped month end still counts from this day. */
  readonly holdDay?: number;
}

/** Once in each calendar period, and not sooner than minGapDays after the last proof. */
export interface OncePer {
  readonly kind: 'once-per';
  readonly period: Period;
  /** Less than the shortest period of this kind: week 7, month 28, quarter 90, half-year 181, year 365. */
  readonly minGapDays: number;
}

/** Due at an age from manufacture or installation (the history's basisOn). A replacement starts the next age. */
export interface Age {
  readonly kind: 'age';
  readonly years: number;
  /** How long before the age a replacement is planned. */
  readonly early: Span;
  /** How long after the age it still counts as in time; mostly { days: 0 }. */
  readonly late: Span;
}

/** Within a span of each event (repair, alteration, false alarm). Nothing is owed before an event or once it is met. */
export interface AfterEvent {
  readonly kind: 'after-event';
  readonly within: Span;
  /** Further span until it lapses; mostly { days: 0 }. */
  readonly late: Span;
}

/**
 * An interval that lengthens after clean results and falls back after one that is not clean.
 * Only clean results in a row that met a window of the base interval count towards the longer one.
 */
export interface Extending {
  readonly kind: 'extending';
  /** The first interval, after the basis (installation). */
  readonly first: Span;
  readonly base: Span;
  readonly extended: Span;
  /** 1 or more. */
  readonly afterClean: number;
  readonly early: Span;
  readonly late: Span;
}

/**
 * A share of a population in each calendar period, every unit within the cycle of ceil(denominator / numerator) periods.
 * A unit added late in a cycle is spread over what is left of it.
 */
export interface Share {
  readonly kind: 'share';
  readonly period: Period;
  readonly numerator: number;
  readonly denominator: number;
  /** At least this many different units a period, as far as that many exist. Default 0. */
  readonly atLeast?: number;
}

/** When a duty is owed again. Plain data: may be stored and sent as JSON. */
export type Cadence = FixedMonth | CalendarRule | SinceLast | OncePer | Age | AfterEvent | Extending | Share;
export type CadenceKind = Cadence['kind'];

/** Shortest length of each period in days. */
export const SHORTEST_PERIOD_DAYS: Record<Period, number> = { week: 7, month: 28, quarter: 90, 'half-year': 181, year: 365 };

const need = (part: string, value: unknown, good: boolean, accepted: string): void => {
  if (!good) throw new RecurrenceInputError(`cadence ${part}`, JSON.stringify(value) ?? 'nothing', accepted);
};
const isWhole = (value: unknown, low: number, high: number): boolean => Number.isInteger(value) && (value as number) >= low && (value as number) <= high;

function needSpan(part: string, span: Span): void {
  const months = (span as { months?: unknown } | undefined)?.months;
  const days = (span as { days?: unknown } | undefined)?.days;
  need(part, span, (days === undefined && isWhole(months, 0, 1200)) || (months === undefined && isWhole(days, 0, 36_600)),
    '{ months: 0 to 1200 } or { days: 0 to 36600 }');
}

/** Least and most days a span can have. */
export const spanDays = (span: Span): { least: number; most: number } =>
  'days' in span ? { least: span.days, most: span.days } : span.months === 0 ? { least: 0, most: 0 } : { least: Math.floor(span.months * 30.43) - 3, most: Math.ceil(span.months * 30.44) + 3 };

/** Refuses spans that are surely out of order on every basis date. */
const inOrder = (a: Span, b: Span): boolean => {
  if ('months' in a && 'months' in b) return a.months <= b.months;
  return spanDays(a).least <= spanDays(b).most;
};

/** @throws RecurrenceInputError naming the part of the cadence and what is accepted */
export function checkCadence(cadence: Cadence): void {
  switch (cadence.kind) {
    case 'fixed-month':
      need('everyMonths', cadence.everyMonths, isWhole(cadence.everyMonths, 1, 120), 'a whole number from 1 to 120');
      need('dueMonth', cadence.dueMonth, isWhole(cadence.dueMonth, 1, 12), 'a whole number from 1 to 12');
      need('dueDay', cadence.dueDay, cadence.dueDay === 'month-end' || isWhole(cadence.dueDay, 1, 31), "a whole number from 1 to 31, or 'month-end'");
      need('anchorYear', cadence.anchorYear, cadence.anchorYear === undefined || isWhole(cadence.anchorYear, 1900, 2200), 'a year from 1900 to 2200');
      needSpan('early', cadence.early);
      return needSpan('late', cadence.late);
    case 'calendar-rule':
      need('earlyDays', cadence.earlyDays, isWhole(cadence.earlyDays, 0, 3660), 'a whole number of days from 0 to 3660');
      return need('lateDays', cadence.lateDays, isWhole(cadence.lateDays, 0, 3660), 'a whole number of days from 0 to 3660');
    case 'since-last':
      for (const part of ['min', 'nominal', 'max'] as const) needSpan(part, cadence[part]);
      need('holdDay', cadence.holdDay, cadence.holdDay === undefined || isWhole(cadence.holdDay, 29, 31), '29, 30 or 31');
      need('max', cadence.max, spanDays(cadence.max).most > 0, 'more than nothing');
      return need('min', cadence.min, inOrder(cadence.min, cadence.nominal) && inOrder(cadence.nominal, cadence.max), 'min no longer than nominal, nominal no longer than max');
    case 'once-per':
      return need('minGapDays', cadence.minGapDays, isWhole(cadence.minGapDays, 0, SHORTEST_PERIOD_DAYS[cadence.period] - 1),
        `a whole number of days from 0 to ${SHORTEST_PERIOD_DAYS[cadence.period] - 1} for one ${cadence.period}`);
    case 'age':
      need('years', cadence.years, isWhole(cadence.years, 1, 100), 'a whole number of years from 1 to 100');
      needSpan('early', cadence.early);
      return needSpan('late', cadence.late);
    case 'after-event':
      needSpan('within', cadence.within);
      return needSpan('late', cadence.late);
    case 'extending':
      for (const part of ['first', 'base', 'extended', 'early', 'late'] as const) needSpan(part, cadence[part]);
      return need('afterClean', cadence.afterClean, isWhole(cadence.afterClean, 1, 20), 'a whole number from 1 to 20');
    case 'share':
      need('numerator', cadence.numerator, isWhole(cadence.numerator, 1, 1000), 'a whole number from 1 to 1000');
      need('denominator', cadence.denominator, isWhole(cadence.denominator, cadence.numerator, 1000), 'a whole number from the numerator to 1000');
      return need('atLeast', cadence.atLeast, cadence.atLeast === undefined || isWhole(cadence.atLeast, 0, 100_000), 'a whole number from 0 to 100000');
    default:
      need('kind', (cadence as { kind?: unknown }).kind, false, 'fixed-month, calendar-rule, since-last, once-per, age, after-event, extending or share');
  }
}
