import { RecurrenceInputError } from './errors.js';

/** A calendar date of the site's own wall calendar, 'YYYY-MM-DD', years 0001 to 9999. No time, no zone. */
export type LocalDate = string & { readonly __brand: 'LocalDate' };

/** Last day that can be written; also 'never', where a window has no end of its own. */
export const LAST_DAY = 2932896; // 9999-12-31
const FIRST_DAY = -719162; // 0001-01-01
const DAYS_BEFORE_MONTH = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];
const MONTH_LENGTH = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
const MONTH_WORDS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** A date cut in parts; month 1 to 12, day 1 to 31. */
export interface DateParts {
  readonly year: number;
  readonly month: number;
  readonly day: number;
}

const isLeap = (year: number): boolean => (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;

/** Days of a month (month 1 to 12). */
export const daysInMonth = (year: number, month: number): number =>
  month === 2 && isLeap(year) ? 29 : (MONTH_LENGTH[month - 1] as number);

/** Day number of a date in parts: days since 1970-01-01, which is 0. Parts must be a true date. */
export function dayNumberOf(year: number, month: number, day: number): number {
  const y = year - 1;
  const leapDay = month > 2 && isLeap(year) ? 1 : 0;
  return y * 365 + Math.floor(y / 4) - Math.floor(y / 100) + Math.floor(y / 400) + (DAYS_BEFORE_MONTH[month - 1] as number) + leapDay + day - 1 - 719162;
}

/** The parts of a day number. */
export function partsOf(dayNumber: number): DateParts {
  // Counted from 1 March of year 0, so that the leap day is the last of its year (Gregorian cycle of 146,097 days).
  const z = dayNumber + 719468;
  const era = Math.floor(z / 146097);
  const ofEra = z - era * 146097;
  const yearOfEra = Math.floor((ofEra - Math.floor(ofEra / 1460) + Math.floor(ofEra / 36524) - Math.floor(ofEra / 146096)) / 365);
  const ofYear = ofEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const shifted = Math.floor((5 * ofYear + 2) / 153);
  const day = ofYear - Math.floor((153 * shifted + 2) / 5) + 1;
  const month = shifted < 10 ? shifted + 3 : shifted - 9;
  return { year: yearOfEra + era * 400 + (month <= 2 ? 1 : 0), month, day };
}

/** Two digits, for hours, days and months. */
export const two = (n: number): string => (n < 10 ? `0${n}` : `${n}`);
const digit = (text: string, at: number): number => {
  const code = text.charCodeAt(at) - 48;
  return code >= 0 && code <= 9 ? code : Number.NaN;
};

/** Day number, or NaN when the text is no true date written YYYY-MM-DD. */
function parseDay(text: string): number {
  if (text.length !== 10 || text.charCodeAt(4) !== 45 || text.charCodeAt(7) !== 45) return Number.NaN;
  const year = digit(text, 0) * 1000 + digit(text, 1) * 100 + digit(text, 2) * 10 + digit(text, 3);
  const month = digit(text, 5) * 10 + digit(text, 6);
  const day = digit(text, 8) * 10 + digit(text, 9);
  if (!(year >= 1 && month >= 1 && month <= 12 && day >= 1 && day <= daysInMonth(year, month))) return Number.NaN;
  return dayNumberOf(year, month, day);
}

/**
 * Reads a local date.
 * @param part what the date is, for the error; default 'date'
 * @throws RecurrenceInputError naming the value and the accepted form
 */
export function localDate(text: string, part = 'date'): LocalDate {
  if (Number.isNaN(parseDay(text))) {
    throw new RecurrenceInputError(part, text, 'a true calendar date written YYYY-MM-DD, for example 2027-03-01');
  }
  return text as LocalDate;
}

// Windows of a fleet name the same few thousand days over and over; writing them once makes a sweep several times faster.
const written: (LocalDate | undefined)[] = [];
const words: (string | undefined)[] = [];

/** The date of a day number (days since 1970-01-01). @throws RecurrenceInputError outside years 0001 to 9999 */
export function fromDayNumber(dayNumber: number): LocalDate {
  const held = written[dayNumber];
  if (held !== undefined) return held;
  if (!Number.isInteger(dayNumber) || dayNumber < FIRST_DAY || dayNumber > LAST_DAY) {
    throw new RecurrenceInputError('day number', String(dayNumber), `a whole number from ${FIRST_DAY} (0001-01-01) to ${LAST_DAY} (9999-12-31)`);
  }
  const { year, month, day } = partsOf(dayNumber);
  const text = `${String(year).padStart(4, '0')}-${two(month)}-${two(day)}` as LocalDate;
  if (dayNumber >= 0 && dayNumber < 60000) written[dayNumber] = text;
  return text;
}

/** Days since 1970-01-01. @throws RecurrenceInputError when the value is no true date */
export function dayNumber(date: LocalDate): number {
  const day = parseDay(date);
  if (Number.isNaN(day)) localDate(date);
  return day;
}

/** '4 Mar 2025': unambiguous in every country that reads English. */
export function dayInWords(day: number): string {
  const held = words[day];
  if (held !== undefined) return held;
  const parts = partsOf(day);
  const text = `${parts.day} ${MONTH_WORDS[parts.month - 1]} ${parts.year}`;
  if (day >= 0 && day < 60000) words[day] = text;
  return text;
}

/** Adds whole days, negative to go back. */
export const addDays = (date: LocalDate, days: number): LocalDate => fromDayNumber(dayNumber(date) + days);

/** As addMonths, on day numbers. */
export function addMonthsToDay(day: number, months: number, basisDay?: number): number {
  const parts = partsOf(day);
  const index = parts.year * 12 + (parts.month - 1) + months;
  const year = Math.floor(index / 12);
  const month = index - year * 12 + 1;
  return dayNumberOf(year, month, Math.min(basisDay ?? parts.day, daysInMonth(year, month)));
}

/**
 * Adds calendar months and clips to the end of the month: 31 Aug + 6 months = 28 Feb.
 * @param basisDay day of month that is held through clipping (1 to 31), so that a chain does not ratchet:
 *   28 Feb + 6 months with basis day 31 = 31 Aug. Default: the day of `date`.
 */
export const addMonths = (date: LocalDate, months: number, basisDay?: number): LocalDate =>
  fromDayNumber(addMonthsToDay(dayNumber(date), months, basisDay));

/** Days from `from` to `to`; negative when `to` is earlier. */
export const daysBetween = (from: LocalDate, to: LocalDate): number => dayNumber(to) - dayNumber(from);

/** ISO weekday of a day number: Monday 1 to Sunday 7. 1970-01-01 was a Thursday. */
export const weekdayOfDay = (day: number): number => ((((day + 3) % 7) + 7) % 7) + 1;

/** ISO weekday: Monday 1 to Sunday 7. */
export const weekdayOf = (date: LocalDate): number => weekdayOfDay(dayNumber(date));
