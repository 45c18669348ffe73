import { distanceWords } from './locale.js';
import { format, joined } from './days.js';
import { phrase } from './language/index.js';
import { said } from './language/said.js';
import { fixedWords } from './numbers.js';

export { dayShort } from './days.js';
export { listWords, numberWords } from './numbers.js';

/** Dates, times and counts as people read them: local, unambiguous, with their unit. */

const DAY = { weekday: 'short', day: 'numeric', month: 'short', year: 'numeric' } as const;
/** '2026-03-03' -> 'Tue 3 Mar 2026'. A local day has no zone: it is the same day everywhere. */
export function dayWords(day: string): string {
  return joined({ ...DAY, timeZone: 'UTC' }, new Date(`${day}T00:00:00Z`));
}

/** Words of a server or an engine in the language of this device, with their days written as people read them: '2027-03-09' -> 'Tue 9 Mar 2027'; its moments too, where a zone is given. */
export function plainWords(words: string, timeZone?: string): string {
  const days = timeZone === undefined ? words : words.replace(/\b\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(?::\d{2}(?:\.\d+)?)?Z/g, (instant) => momentWords(instant, timeZone));
  return said(days).replace(/\b\d{4}-\d{2}-\d{2}\b/g, (day) => dayWords(day));
}

/** An instant at a site or company: 'Tue 3 Mar 2026 09:05'. */
export function momentWords(instant: string, timeZone: string): string {
  return joined({ ...DAY, hour: '2-digit', minute: '2-digit', hourCycle: 'h23', timeZone }, new Date(instant));
}

/** '09:05' at the given zone. */
export function timeWords(instant: string, timeZone: string): string {
  return joined({ hour: '2-digit', minute: '2-digit', hourCycle: 'h23', timeZone }, new Date(instant));
}

/** The local day of an instant, `YYYY-MM-DD`. */
export function localDayAt(instant: Date, timeZone: string): string {
  const parts = Object.fromEntries(format({ year: 'numeric', month: '2-digit', day: '2-digit', timeZone }).formatToParts(instant).map((part) => [part.type, part.value]));
  return `${parts['year']}-${parts['month']}-${parts['day']}`;
}

/** Today at the given zone. */
export function todayIn(timeZone: string): string {
  return localDayAt(new Date(), timeZone);
}

/** Whole days from one local day to another; negative when `to` is earlier. */
export function daysFrom(from: string, to: string): number {
  return Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / 86_400_000);
}

/** A local day so many days later. */
export function plusDays(day: string, days: number): string {
  return new Date(Date.parse(`${day}T00:00:00Z`) + days * 86_400_000).toISOString().slice(0, 10);
}

/** '90 s' up to two minutes, then as minutes: '3 h'. */
export function secondsWords(seconds: number): string {
  return seconds <= 120 ? `${Math.round(seconds)} s` : minutesWords(Math.round(seconds / 60));
}

/** '1 h 25 min', '40 min'. */
export function minutesWords(minutes: number): string {
  const whole = Math.round(Math.abs(minutes));
  const hours = Math.floor(whole / 60);
  const rest = whole % 60;
  const sign = minutes < 0 ? '−' : '';
  if (hours === 0) return `${sign}${rest} min`;
  return rest === 0 ? `${sign}${hours} h` : `${sign}${hours} h ${rest} min`;
}

/** Minutes after midnight -> '08:15'; beyond midnight it goes on: 1470 -> '00:30 next day'. */
export function clockWords(minute: number): string {
  const day = Math.floor(minute / 1440);
  const left = ((minute % 1440) + 1440) % 1440;
  const text = `${String(Math.floor(left / 60)).padStart(2, '0')}:${String(Math.floor(left % 60)).padStart(2, '0')}`;
  return day > 0 ? phrase('app.text-next-day', { text }) : text;
}

/** 384 of 412 -> '93.2 %'; of nothing -> 'can't tell'. */
export function shareWords(part: number, whole: number): string {
  return whole === 0 ? phrase('app.cant-tell') : `${fixedWords((100 * part) / whole, 1)} %`;
}

/** A distance in metres, in the units of this device. */
export const kmWords = (metres: number): string => distanceWords(metres);
