import { RecurrenceInputError, SearchBoundReached } from './errors.js';
import { MOST_STEPS, eachWall } from './library-rule.js';
import { type RuleParts, readRule } from './rrule-text.js';
import { type WrittenTime, instantOfWall, offsetMsAt, readTime, writeWall } from './zone.js';

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
const DAY_MS = 86_400_000;

/** Days of each zone near which no offset changes: asking the platform costs more than all the rest, and a fleet asks the same days. */
const steadyDays = new Map<string, Map<number, boolean>>();
const MOST_STEADY = 100_000;

function steadyOf(timeZone: string): Map<number, boolean> {
  let days = steadyDays.get(timeZone);
  if (days === undefined) {
    offsetMsAt(0, timeZone); // refuses an unknown zone before any work
    days = new Map();
    steadyDays.set(timeZone, days);
  }
  if (days.size > MOST_STEADY) days.clear();
  return days;
}

/** Wall time to true time and back, so that skipped wall times move as RFC 5545 section 3.3.5 says. */
class Clock {
  private readonly steady: Map<number, boolean>;
  constructor(private readonly timeZone: string) {
    this.steady = steadyOf(timeZone);
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

interface Stop {
  /** True instant of UNTIL, or null. */
  readonly untilInstant: number | null;
  /** No wall time past this is wanted. */
  readonly lastWall: number;
  /** No more than this many are wanted. */
  readonly most: number;
}

/** Occurrences of the rule alone, as wall milliseconds that exist; a skipped one may stand before its later neighbours. */
function ruleWalls(rule: RuleParts, startMs: number, clock: Clock, stop: Stop): number[] {
  const found = new Set<number>();
  const hasEnd = stop.lastWall < Number.POSITIVE_INFINITY;
  if (stop.lastWall < startMs) return [];
  let latest = startMs;
  let given = 0;
  const ended = eachWall(rule, startMs, hasEnd ? stop.lastWall : null, (wall) => {
    // A skipped wall time lands behind later ones, so enough is only enough once we are past the latest.
    if ((found.size >= stop.most && wall >= latest) || wall - DAY_MS > stop.lastWall) return false;
    given += 1;
    const isPast = stop.untilInstant !== null && clock.instant(wall) > stop.untilInstant;
    const real = clock.existing(wall);
    if (!isPast && real <= stop.lastWall) {
      found.add(real);
      latest = Math.max(latest, real);
    }
    return given !== rule.count;
  });
  if (ended === 'stopped' || hasEnd || found.size >= stop.most) return [...found];
  const what = `rrule: no ${found.size === 0 ? '' : 'further '}occurrence found`;
  if (ended === 'never') throw new SearchBoundReached(`${what}, its INTERVAL never meets its BYHOUR, BYMINUTE or BYSECOND`, 'one whole day of steps');
  throw new SearchBoundReached(what, ended === 'steps' ? `${MOST_STEPS} steps of FREQ=${rule.freq} after ${writeWall(latest)}` : 'the end of the year 9999');
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
