import Holidays from 'date-holidays';
import { addDays, localDate, type LocalDate, type NamedDays } from '@bellround/recurrence';

// Public holidays by region out of the date-holidays library (ISC; its data CC BY 3.0). The engine gets plain days.

/** Years whose holidays are known to us; fixed, so that a window never moves because time has passed. */
const FIRST_YEAR = 2000;
const LAST_YEAR = 2060;

const CODE = /^([A-Z]{2})(?:-([A-Z0-9]{1,4}))?$/;
const world = new Holidays();
const known = new Map<string, readonly NamedDays[]>();

/** A country, or one of its regions, whose holidays are known; null when there is none by this code. */
export function holidayRegion(code: string): { country: string; state: string | null; words: string } | null {
  const found = CODE.exec(code);
  if (!found) return null;
  const [, country = '', state = null] = found;
  const name = world.getCountries('en')[country];
  if (name === undefined) return null;
  if (state === null) return { country, state, words: name };
  const region = world.getStates(country, 'en')?.[state];
  return region === undefined ? null : { country, state, words: `${name}, ${region}` };
}

/** Every code a company may choose, with its words, by country and then region. */
export function holidayRegions(): { code: string; words: string }[] {
  return Object.entries(world.getCountries('en')).sort(([, a], [, b]) => a.localeCompare(b, 'en')).flatMap(([country, name]) => [
    { code: country, words: name },
    ...Object.entries(world.getStates(country, 'en') ?? {}).sort(([, a], [, b]) => a.localeCompare(b, 'en')).map(([state, region]) => ({ code: `${country}-${state}`, words: `${name}, ${region}` })),
  ]);
}

const NONE: readonly NamedDays[] = [];

/** Days on which nobody works by law, 2000 to 2060, as plain days. The same array for the same region. Unknown codes give none. */
export function publicHolidays(code: string | null): readonly NamedDays[] {
  if (code === null) return NONE;
  const held = known.get(code);
  if (held) return held;
  const region = holidayRegion(code);
  const days: NamedDays[] = [];
  if (region) {
    const calendar = region.state === null ? new Holidays(region.country) : new Holidays(region.country, region.state);
    calendar.setLanguages('en');
    const taken = new Set<string>();
    for (let year = FIRST_YEAR; year <= LAST_YEAR; year += 1) for (const one of calendar.getHolidays(year)) {
      const found = daysOf(one);
      if (one.type !== 'public' || taken.has(found.from)) continue;
      taken.add(found.from);
      days.push(found);
    }
  }
  known.set(code, days);
  return days;
}

/** The local days a holiday covers: it may last several, and one that begins in the evening belongs to the days after. */
function daysOf(one: { date: string; start: Date; end: Date; name: string }): NamedDays {
  const inEvening = one.date.slice(11, 13) >= '12';
  const length = Math.max(1, Math.round((one.end.getTime() - one.start.getTime()) / 86_400_000));
  const from: LocalDate = inEvening ? addDays(localDate(one.date.slice(0, 10)), 1) : localDate(one.date.slice(0, 10));
  return { from, to: addDays(from, length - 1), reason: one.name };
}
