import type { LocalDate } from './definition.js';

const pattern = /^(\d{4})-(\d{2})-(\d{2})$/;
const dayMs = 86_400_000;

/** Days since 1970-01-01 of a valid calendar date 'YYYY-MM-DD', or null when the text is no such date (2027-02-30, 'soon'). */
export function dayNumber(date: LocalDate): number | null {
  const match = pattern.exec(date);
  if (!match) return null;
  const [year, month, day] = [Number(match[1]), Number(match[2]), Number(match[3])];
  const ms = Date.UTC(year, month - 1, day);
  // Date.UTC reads years 0..99 as 1900..1999 and rolls 30 February over: the round trip refuses both.
  return dateOfMs(ms) === date ? ms / dayMs : null;
}

/** As dayNumber, but throws RangeError naming the value: for dates that the caller has already checked. */
export function requireDay(date: LocalDate): number {
  const day = dayNumber(date);
  if (day === null) throw new RangeError(`'${date}' is not a calendar date; expected YYYY-MM-DD.`);
  return day;
}

/** The calendar date of a day number (fractions are rounded to the nearest day). */
export function dateOfDay(day: number): LocalDate {
  return dateOfMs(Math.round(day) * dayMs);
}

/** The date `months` later; the day is clipped to the month's last (31 August + 6 months = 28 February). */
export function addMonths(date: LocalDate, months: number): LocalDate {
  requireDay(date);
  const [year, month, day] = date.split('-').map(Number) as [number, number, number];
  const index = year * 12 + (month - 1) + months;
  const [y, m] = [Math.floor(index / 12), ((index % 12) + 12) % 12];
  const last = new Date(Date.UTC(y, m + 1, 0)).getUTCDate();
  return dateOfMs(Date.UTC(y, m, Math.min(day, last)));
}

/** Whole months from one date to a later one: 2024-05-02 to 2027-03-01 is 33. Negative when `to` is earlier. */
export function monthsBetween(from: LocalDate, to: LocalDate): number {
  if (requireDay(to) < requireDay(from)) return -monthsBetween(to, from);
  const [fy, fm] = from.split('-').map(Number) as [number, number];
  const [ty, tm] = to.split('-').map(Number) as [number, number];
  const months = (ty - fy) * 12 + (tm - fm);
  return addMonths(from, months) <= to ? months : months - 1;
}

/** '2 y 9 m' from whole months; '9 m' under a year. */
export function ageWords(months: number): string {
  const [years, rest] = [Math.floor(months / 12), months % 12];
  if (years === 0) return `${rest} m`;
  return rest === 0 ? `${years} y` : `${years} y ${rest} m`;
}

function dateOfMs(ms: number): LocalDate {
  return new Date(ms).toISOString().slice(0, 10);
}
