import { type LocalDate, dayNumber, fromDayNumber, partsOf, weekdayOfDay } from './local-date.js';

/** A run of days, both ends inclusive, with its reason in words ('exams', 'holiday', 'roadworks'). */
export interface NamedDays {
  readonly from: LocalDate;
  readonly to: LocalDate;
  readonly reason: string;
}

/** A yearly closed stretch, 'MM-DD' to 'MM-DD' inclusive; may run over the year's end (11-01 to 03-31). */
export interface ClosedSeason {
  readonly from: string;
  readonly to: string;
  readonly reason: string;
}

/** On which days a site can be entered, and on which it may be loud. Noise is apart from access. */
export interface AccessCalendar {
  /** ISO weekdays the site is open (1 Monday to 7 Sunday). Default: all. */
  readonly openWeekdays?: readonly number[];
  readonly closed?: readonly NamedDays[];
  /** A due date that a closed day pulls lands on one of these weekdays; by itself such a weekday pulls nothing. Default: all. */
  readonly landOn?: readonly number[];
  /** Public holidays and the like that many sites share: closed as well. Hand the same array to every site, it is read once. */
  readonly holidays?: readonly NamedDays[];
  readonly closedSeasons?: readonly ClosedSeason[];
  /** Days of access without sounders. */
  readonly quiet?: readonly NamedDays[];
  /** ISO weekdays without sounders. */
  readonly quietWeekdays?: readonly number[];
}

const WEEKDAY_WORDS = ['Mondays', 'Tuesdays', 'Wednesdays', 'Thursdays', 'Fridays', 'Saturdays', 'Sundays'];

/** Named days in day numbers: single days by number, runs in order. */
interface DayTable {
  readonly single: ReadonlyMap<number, string>;
  readonly runs: readonly { readonly from: number; readonly to: number; readonly reason: string }[];
}

// A fleet asks the same few lists for millions of days: each list is read once.
const tables = new WeakMap<readonly NamedDays[], DayTable>();

function tableOf(list: readonly NamedDays[]): DayTable {
  const held = tables.get(list);
  if (held) return held;
  const single = new Map<number, string>();
  const runs: { from: number; to: number; reason: string }[] = [];
  for (const days of list) {
    const from = dayNumber(days.from);
    const to = dayNumber(days.to);
    if (from !== to) runs.push({ from, to, reason: days.reason });
    else if (!single.has(from)) single.set(from, days.reason);
  }
  const table = { single, runs };
  tables.set(list, table);
  return table;
}

/** The reason a list names for a day, or null. */
function namedOn(list: readonly NamedDays[] | undefined, day: number): string | null {
  if (list === undefined || list.length === 0) return null;
  const { single, runs } = tableOf(list);
  return runs.find((run) => day >= run.from && day <= run.to)?.reason ?? single.get(day) ?? null;
}

function inSeason(day: number, season: ClosedSeason): boolean {
  const parts = partsOf(day);
  const at = parts.month * 100 + parts.day;
  const from = Number(season.from.slice(0, 2)) * 100 + Number(season.from.slice(3));
  const to = Number(season.to.slice(0, 2)) * 100 + Number(season.to.slice(3));
  return from <= to ? at >= from && at <= to : at >= from || at <= to;
}

/** Why nobody can enter on this day, or null when somebody can. `weekly` tells the closed weekdays from the rest. */
export function closedBecause(calendar: AccessCalendar, day: number): { reason: string; weekly: boolean } | null {
  const closed = namedOn(calendar.closed, day) ?? namedOn(calendar.holidays, day);
  if (closed !== null) return { reason: closed, weekly: false };
  const season = calendar.closedSeasons?.find((each) => inSeason(day, each));
  if (season) return { reason: season.reason, weekly: false };
  const weekday = weekdayOfDay(day);
  if (calendar.openWeekdays && !calendar.openWeekdays.includes(weekday)) return { reason: `closed on ${WEEKDAY_WORDS[weekday - 1]}`, weekly: true };
  return null;
}

/** Why sounders may not be worked on this day, or null. Access is another question. */
export function quietBecause(calendar: AccessCalendar, day: number): { reason: string; weekly: boolean } | null {
  const quiet = namedOn(calendar.quiet, day);
  if (quiet !== null) return { reason: quiet, weekly: false };
  const weekday = weekdayOfDay(day);
  if (calendar.quietWeekdays?.includes(weekday)) return { reason: `no sounders on ${WEEKDAY_WORDS[weekday - 1]}`, weekly: true };
  return null;
}

/** The days of a window on which the site can be entered (and be loud, when noisy), in order. */
export function usableDates(opens: LocalDate, lapses: LocalDate, calendar: AccessCalendar, noisy = false): LocalDate[] {
  const days: LocalDate[] = [];
  for (let day = dayNumber(opens); day <= dayNumber(lapses); day += 1) {
    if (closedBecause(calendar, day) === null && (!noisy || quietBecause(calendar, day) === null)) days.push(fromDayNumber(day));
  }
  return days;
}
