import * as library from 'rrule';
import { RecurrenceInputError, SearchBoundReached } from './errors.js';
import { FREQUENCIES, type Frequency, type RuleParts, readRule } from './rrule-text.js';
import { type WrittenTime, instantOfWall, offsetMsAt, readTime, writeWall } from './zone.js';

// The library is published in two shapes; bundlers give its names, Node gives one default.
const { RRule, Weekday } = ('RRule' in library ? library : (library as { default: typeof library }).default) as typeof library;

/** What expand takes. Times are wall times of `timeZone`, written YYYY-MM-DDTHH:MM:SS. */
export interface Recurrence {
  /** First wall time; also gives the time of day and what the rule leaves open. A bare date is its midnight. */
  readonly dtstart: string;
  /** IANA zone of the site. */
  readonly timeZone: string;
  /** RFC 5545 rule, for example 'FREQ=MONTHLY;BYDAY=1MO'. */
  readonly rrule: string;
  /** Further occurrences. */
  readonly rdate?: readonly string[];
  /** Occurrences that fall out. */
  readonly exdate?: readonly string[];
  /** At most this many, 1 to 100,000; needed (or `until`) when the rule has neither COUNT nor UNTIL. */
  readonly limit?: number;
  /** Last wall time wanted, inclusive; a bare date is the whole of that day. */
  readonly until?: string;
}

/** Most occurrences one call gives. */
export const MOST_OCCURRENCES = 100_000;
/** Steps of FREQ tried after the last occurrence before the search gives up; as days they span 547 years. */
export const MOST_STEPS = 200_000;
const DAY_MS = 86_400_000;

const STEP_MS: Record<Frequency, number> = {
  YEARLY: 365 * DAY_MS, MONTHLY: 28 * DAY_MS, WEEKLY: 7 * DAY_MS, DAILY: DAY_MS, HOURLY: 3_600_000, MINUTELY: 60_000, SECONDLY: 1000,
};

/** Wall time to true time and back, so that skipped wall times move as RFC 5545 section 3.3.5 says. */
class Clock {
  private readonly steady = new Map<number, boolean>();
  constructor(private readonly timeZone: string) {
    offsetMsAt(0, timeZone); // refuses an unknown zone before any work
  }
  /** Whether no change of offset lies within a day of this wall day. */
  private isSteady(wallMs: number): boolean {
    const day = Math.floor(wallMs / DAY_MS);
    let held = this.steady.get(day);
    if (held === undefined) {
      held = offsetMsAt((day - 2) * DAY_MS, this.timeZone) === offsetMsAt((day + 3) * DAY_MS, this.timeZone);
      this.steady.set(day, held);
    }
    return held;
  }
  instant(wallMs: number): number {
    return instantOfWall(wallMs, this.timeZone);
  }
  wall(instantMs: number): number {
    return instantMs + offsetMsAt(instantMs, this.timeZone);
  }
  /** The wall time people see: itself, unless the clock skips it. */
  existing(wallMs: number): number {
    return this.isSteady(wallMs) ? wallMs : this.wall(this.instant(wallMs));
  }
  written(time: WrittenTime): number {
    return time.utc ? this.wall(time.wallMs) : this.existing(time.wallMs);
  }
}

/** Whether stepping `interval` units around a day of `size` units from `start` ever meets a wanted unit. */
function reaches(start: number, interval: number, size: number, wanted: (unit: number) => boolean): boolean {
  let unit = start;
  for (let step = 0; step < size; step += 1) {
    if (wanted(unit)) return true;
    unit = (unit + interval) % size;
    if (unit === start) return false;
  }
  return false;
}

/** The library turns for ever on an hour it never steps on; this tells such rules before it is asked. */
function meetsItsTimes(rule: RuleParts, startMs: number): boolean {
  const second = Math.floor((startMs % DAY_MS) / 1000);
  const has = (list: readonly number[], value: number): boolean => list.length === 0 || list.includes(value);
  if (rule.freq === 'HOURLY') return reaches(Math.floor(second / 3600), rule.interval % 24, 24, (h) => has(rule.byHour, h));
  if (rule.freq === 'MINUTELY') {
    return reaches(Math.floor(second / 60), rule.interval % 1440, 1440, (m) => has(rule.byHour, Math.floor(m / 60)) && has(rule.byMinute, m % 60));
  }
  if (rule.freq !== 'SECONDLY') return true;
  return reaches(second, rule.interval % 86_400, 86_400,
    (s) => has(rule.byHour, Math.floor(s / 3600)) && has(rule.byMinute, Math.floor((s % 3600) / 60)) && has(rule.bySecond, s % 60));
}

const listOrNull = (list: readonly number[]): number[] | null => (list.length === 0 ? null : [...list]);

function libraryRule(rule: RuleParts, startMs: number) {
  return new RRule({
    freq: FREQUENCIES.indexOf(rule.freq),
    dtstart: new Date(startMs),
    interval: rule.interval,
    wkst: rule.weekStart,
    count: rule.count,
    bymonth: listOrNull(rule.byMonth),
    bymonthday: listOrNull(rule.byMonthDay),
    byyearday: listOrNull(rule.byYearDay),
    byweekno: listOrNull(rule.byWeekNo),
    byweekday: rule.byDay.length === 0 ? null : rule.byDay.map((day) => (day.nth === null ? day.weekday : new Weekday(day.weekday, day.nth))),
    byhour: listOrNull(rule.byHour),
    byminute: listOrNull(rule.byMinute),
    bysecond: listOrNull(rule.bySecond),
    bysetpos: listOrNull(rule.bySetPos),
  }, true);
}

interface Stop {
  /** True instant of UNTIL, or null. */
  readonly untilInstant: number | null;
  /** No wall time past this is wanted. */
  readonly lastWall: number;
  /** No more than this many are wanted. */
  readonly most: number;
}

const nothingFound = (before: number): string => `rrule: no ${before === 0 ? '' : 'further '}occurrence found`;

/** Occurrences of the rule alone, as wall milliseconds that exist; a skipped one may stand before its later neighbours. */
function ruleWalls(rule: RuleParts, startMs: number, clock: Clock, stop: Stop): number[] {
  const found = new Set<number>();
  const stepsToEnd = stop.lastWall === Number.POSITIVE_INFINITY ? Number.POSITIVE_INFINITY
    : Math.ceil((stop.lastWall - startMs) / (STEP_MS[rule.freq] * rule.interval)) + 2;
  const never = !meetsItsTimes(rule, startMs);
  if (never && stepsToEnd === Number.POSITIVE_INFINITY) {
    throw new SearchBoundReached('rrule: no occurrence found, its INTERVAL never meets its BYHOUR, BYMINUTE or BYSECOND', 'one whole day of steps');
  }
  if (never || stepsToEnd < 1) return [];
  const made = libraryRule(rule, startMs);
  const interval = rule.interval;
  let steps = 0;
  let sinceLast = 0;
  let latest = startMs;
  // The library has no bound but the year 9999, so we bound it here. It reads the interval once at the start, then twice a
  // step: first to end on 0, then to add it; only the first may be 0, since adding 0 hours would turn for ever.
  Object.defineProperty(made.options, 'interval', {
    get: () => {
      steps += 1;
      sinceLast += 1;
      if (steps % 2 === 0 && steps > 2 * stepsToEnd + 4) return 0;
      if (sinceLast > 2 * MOST_STEPS) {
        throw new SearchBoundReached(nothingFound(found.size), `${MOST_STEPS} steps of FREQ=${rule.freq} after ${writeWall(latest)}`);
      }
      return interval;
    },
  });
  let given = 0;
  let isEnough = false;
  made.all((date) => {
    sinceLast = 0;
    given += 1;
    const wall = date.getTime();
    // A skipped wall time lands behind later ones, so enough is only enough once we are past the latest.
    isEnough = (found.size >= stop.most && wall >= latest) || wall - DAY_MS > stop.lastWall;
    if (isEnough) return false;
    if (stop.untilInstant !== null && clock.instant(wall) > stop.untilInstant) return true;
    const real = clock.existing(wall);
    if (real > stop.lastWall) return true;
    found.add(real);
    latest = Math.max(latest, real);
    return true;
  });
  const isWhole = isEnough || found.size >= stop.most || stepsToEnd < Number.POSITIVE_INFINITY || given === rule.count;
  if (!isWhole) throw new SearchBoundReached(nothingFound(found.size), 'the end of the year 9999');
  return [...found];
}

function limitOf(input: Recurrence): number {
  const limit = input.limit ?? MOST_OCCURRENCES;
  if (!Number.isInteger(limit) || limit < 1 || limit > MOST_OCCURRENCES) {
    throw new RecurrenceInputError('limit', String(input.limit), `a whole number from 1 to ${MOST_OCCURRENCES}`);
  }
  return limit;
}

/**
 * Occurrences of an RFC 5545 recurrence in a zone, as local date-times in order, each once.
 *
 * Wall times stay put across daylight saving; a wall time the clock skips is the one an hour (the gap) later
 * (RFC 5545 section 3.3.5). UNTIL ending in Z is a true instant; without Z it is wall time; a bare date is that whole day.
 * DTSTART itself is an occurrence only when the rule meets it. BYSECOND=60 (leap seconds) is refused.
 *
 * @throws RecurrenceInputError naming the part and what is accepted
 * @throws SearchBoundReached when the rule does not come up within the bound, which it names
 */
export function expand(input: Recurrence): string[] {
  const clock = new Clock(input.timeZone);
  const start = readTime(input.dtstart, 'dtstart');
  if (start.utc) throw new RecurrenceInputError('dtstart', input.dtstart, 'wall time of the zone, without Z');
  const rule = readRule(input.rrule);
  const limit = limitOf(input);
  const wanted = input.until === undefined ? null : readTime(input.until, 'until');
  if (rule.count === null && rule.until === null && wanted === null && input.limit === undefined) {
    throw new RecurrenceInputError('rrule', input.rrule, 'COUNT or UNTIL in the rule, or a limit or until beside it');
  }
  const endOf = (time: WrittenTime | null): number =>
    time === null ? Number.POSITIVE_INFINITY : time.hasTime ? clock.written(time) : time.wallMs + DAY_MS - 1000;
  const extra = (input.rdate ?? []).map((text) => clock.written(readTime(text, 'rdate')));
  const out = new Set((input.exdate ?? []).map((text) => clock.written(readTime(text, 'exdate'))));
  const lastWall = Math.min(endOf(wanted), endOf(rule.until) + (rule.until?.utc ? DAY_MS : 0));
  const walls = ruleWalls(rule, start.wallMs, clock, {
    untilInstant: rule.until?.utc ? rule.until.wallMs : null,
    lastWall,
    most: limit + out.size + (input.limit === undefined ? 1 : 0),
  });
  const all = [...new Set([...walls, ...extra])].filter((wall) => !out.has(wall) && wall <= endOf(wanted)).sort((a, b) => a - b);
  if (input.limit === undefined && all.length > MOST_OCCURRENCES) {
    throw new SearchBoundReached('rrule: more occurrences than one call gives', `${MOST_OCCURRENCES} occurrences; give a limit or until`);
  }
  return all.slice(0, limit).map(writeWall);
}
