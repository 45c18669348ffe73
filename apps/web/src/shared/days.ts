import { manners } from './locale.js';
import { language } from './language/index.js';

const formats = new Map<string, Intl.DateTimeFormat>();
const LOCALES = { 'day-first': 'en-GB', 'month-first': 'en-US' } as const;

/** One formatter of each kind, kept. */
export function format(options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  const locale = language() === 'en' ? LOCALES[manners().dates] : language();
  const key = locale + JSON.stringify(options);
  const known = formats.get(key) ?? new Intl.DateTimeFormat(locale, options);
  formats.set(key, known);
  return known;
}

/** A date by the language and the manners of this device, without commas. */
export function joined(options: Intl.DateTimeFormatOptions, date: Date): string {
  // Without the commas some locales' data puts in: 'Tue 3 Mar 2026'.
  if (language() === 'en') return format(options).format(date).replaceAll(',', '');
  // Names of days and months by the language, their order by the manner of this device.
  const parts = Object.fromEntries(format(options).formatToParts(date).map((part) => [part.type, part.value]));
  const day = manners().dates === 'month-first' ? [parts['month'], parts['day']] : [parts['day'], parts['month']];
  return [parts['weekday'], ...day, parts['year'], parts['hour'] === undefined ? undefined : `${parts['hour']}:${parts['minute']}`].filter((part) => part !== undefined).join(' ');
}

/** '2026-03-03' -> '3 Mar 2026', for dense tables. */
export function dayShort(day: string): string {
  return joined({ day: 'numeric', month: 'short', year: 'numeric', timeZone: 'UTC' }, new Date(`${day}T00:00:00Z`));
}
