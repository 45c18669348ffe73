import * as library from 'rrule';
import { isCalendarRule, walkCalendar } from './calendar-walk.js';
import { dayNumberOf, partsOf, weekdayOfDay } from './local-date.js';
import { FREQUENCIES, type Frequency, type RuleParts } from './rrule-text.js';

// The library is published in two shapes; bundlers give its names, Node gives one default.
const { RRule, Weekday } = ('RRule' in library ? library : (library as { default: typeof library }).default) as typeof library;

/** Steps of FREQ tried after the last occurrence before the search gives up; as days they span 547 years. */
export const MOST_STEPS = 200_000;
const DAY_MS = 86_400_000;
const STEP_MS: Record<Frequency, number> = {
  YEARLY: 365 * DAY_MS, MONTHLY: 28 * DAY_MS, WEEKLY: 7 * DAY_MS, DAILY: DAY_MS, HOURLY: 3_600_000, MINUTELY: 60_000, SECONDLY: 1000,
};

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

/**
 * BYDAY for the library, which differs from the RFC in two things. It wants a day to be both among the plain weekdays and among
 * the ordinals, so 'MO,-1FR' never comes up: where both stand, every plain one is written as all its ordinals. And BYWEEKNO alone
 * gives it all seven days, where RFC 5545 3.3.10 takes what a rule leaves open from DTSTART: its weekday.
 */
function byDayForLibrary(rule: RuleParts, startMs: number): (number | InstanceType<typeof Weekday>)[] | null {
  const dayIsOpen = rule.byDay.length + rule.byMonthDay.length + rule.byYearDay.length === 0;
  if (rule.byWeekNo.length > 0 && dayIsOpen) return [weekdayOfDay(Math.floor(startMs / DAY_MS)) - 1];
  if (rule.byDay.length === 0) return null;
  const isMixed = rule.byDay.some((day) => day.nth === null) && rule.byDay.some((day) => day.nth !== null);
  const most = rule.freq === 'YEARLY' && rule.byMonth.length === 0 ? 53 : 5;
  return rule.byDay.flatMap(({ weekday, nth }): (number | InstanceType<typeof Weekday>)[] => {
    if (nth !== null) return [new Weekday(weekday, nth)];
    return isMixed ? Array.from({ length: most }, (_, at) => new Weekday(weekday, at + 1)) : [weekday];
  });
}


/** First wall time of the period (year, month, week, day, hour, minute) that holds a wall time. */
function periodStart(rule: RuleParts, wallMs: number): number {
  const day = Math.floor(wallMs / DAY_MS);
  const { year, month } = partsOf(day);
  switch (rule.freq) {
    case 'YEARLY': return dayNumberOf(year, 1, 1) * DAY_MS;
    case 'MONTHLY': return dayNumberOf(year, month, 1) * DAY_MS;
    case 'WEEKLY': return (day - ((weekdayOfDay(day) - 1 - rule.weekStart + 7) % 7)) * DAY_MS;
    default: return Math.floor(wallMs / STEP_MS[rule.freq]) * STEP_MS[rule.freq];
  }
}

/** The rule with all that it leaves open written out from DTSTART, so that DTSTART may move within its period. */
function written(rule: RuleParts, startMs: number): RuleParts {
  const { month, day } = partsOf(Math.floor(startMs / DAY_MS));
  const weekday = weekdayOfDay(Math.floor(startMs / DAY_MS)) - 1;
  const second = Math.floor((startMs % DAY_MS) / 1000);
  const level = FREQUENCIES.indexOf(rule.freq);
  const or = (list: readonly number[], isOpen: boolean, value: number): readonly number[] => (list.length === 0 && isOpen ? [value] : list);
  const dayIsOpen = rule.byDay.length + rule.byMonthDay.length + rule.byYearDay.length === 0;
  const byWeekday = dayIsOpen && (rule.freq === 'WEEKLY' || rule.byWeekNo.length > 0);
  return {
    ...rule,
    byMonth: or(rule.byMonth, dayIsOpen && !byWeekday && rule.freq === 'YEARLY', month),
    byMonthDay: or(rule.byMonthDay, dayIsOpen && !byWeekday && level <= 1, day),
    byDay: byWeekday ? [{ weekday, nth: null }] : rule.byDay,
    byHour: or(rule.byHour, level <= 3, Math.floor(second / 3600)),
    byMinute: or(rule.byMinute, level <= 4, Math.floor(second / 60) % 60),
    bySecond: or(rule.bySecond, level <= 5, second % 60),
  };
}

/** First day of week 1 of a year: the week, begun on `weekStart`, with at least four days in it (RFC 5545 3.3.10). */
function firstWeekStart(year: number, weekStart: number): number {
  const january4 = dayNumberOf(year, 1, 4);
  return january4 - ((weekdayOfDay(january4) - 1 - weekStart + 7) % 7);
}

/** Whether a wall time lies in one of the weeks of BYWEEKNO, counted in the year that its week belongs to. */
function inWeeks(rule: RuleParts, wallMs: number): boolean {
  if (rule.byWeekNo.length === 0) return true;
  const day = Math.floor(wallMs / DAY_MS);
  let { year } = partsOf(day);
  if (day >= firstWeekStart(year + 1, rule.weekStart)) year += 1;
  else if (day < firstWeekStart(year, rule.weekStart)) year -= 1;
  const start = firstWeekStart(year, rule.weekStart);
  const weeks = (firstWeekStart(year + 1, rule.weekStart) - start) / 7;
  const week = Math.floor((day - start) / 7) + 1;
  return rule.byWeekNo.some((wanted) => (wanted > 0 ? wanted : weeks + wanted + 1) === week);
}

/** Counted from its end, week 1 of the next year is -52 or -53; the library misses its days in December, so it is given all week 1s. */
const weeksForLibrary = (rule: RuleParts): number[] | null =>
  rule.byWeekNo.some((week) => week <= -52) ? [...new Set([...rule.byWeekNo, 1])] : listOrNull(rule.byWeekNo);

function libraryRule(rule: RuleParts, startMs: number) {
  return new RRule({
    freq: FREQUENCIES.indexOf(rule.freq),
    dtstart: new Date(startMs),
    interval: rule.interval,
    wkst: rule.weekStart,
    bymonth: listOrNull(rule.byMonth),
    bymonthday: listOrNull(rule.byMonthDay),
    byyearday: listOrNull(rule.byYearDay),
    byweekno: weeksForLibrary(rule),
    byweekday: byDayForLibrary(rule, startMs),
    byhour: listOrNull(rule.byHour),
    byminute: listOrNull(rule.byMinute),
    bysecond: listOrNull(rule.bySecond),
  }, true);
}

/**
 * Keeps the positions of BYSETPOS of each whole period. The library's own choice is not used: a position beyond the set picks
 * another one there, and the first week is cut at DTSTART.
 */
function positions(rule: RuleParts, startMs: number, take: (wall: number) => boolean) {
  let held: number[] = [];
  let period = Number.NaN;
  const settle = (): boolean => {
    const set = held;
    held = [];
    const chosen = new Set(rule.bySetPos.map((at) => set.at(at > 0 ? at - 1 : at)).filter((wall): wall is number => wall !== undefined));
    return [...chosen].sort((a, b) => a - b).every((wall) => wall < startMs || take(wall));
  };
  return {
    settle,
    add(wall: number): boolean {
      const its = periodStart(rule, wall);
      const goesOn = its === period || settle();
      period = its;
      held.push(wall);
      return goesOn;
    },
  };
}

/** How a walk ended: the taker had enough, the rule came to its end (or the year 9999), its steps were used up, or it never comes up. */
export type WalkEnd = 'stopped' | 'ended' | 'steps' | 'never';

/**
 * Hands over the wall times of a rule in order, by our own walk where it knows the rule, otherwise by the library, until the taker says false, COUNT and UNTIL left to the taker.
 * @param lastWall no wall time after the day of this one is needed; null for a rule without an end
 */
export function eachWall(rule: RuleParts, startMs: number, lastWall: number | null, take: (wall: number) => boolean): WalkEnd {
  if (isCalendarRule(rule)) return walkCalendar(written(rule, startMs), startMs, lastWall, MOST_STEPS, take);
  if (!meetsItsTimes(rule, startMs)) return 'never';
  const hasPositions = rule.bySetPos.length > 0;
  const from = hasPositions ? periodStart(rule, startMs) : startMs;
  const made = hasPositions ? libraryRule(written(rule, startMs), from) : libraryRule(rule, startMs);
  const mostSteps = lastWall === null ? Number.POSITIVE_INFINITY : Math.ceil((lastWall + 2 * DAY_MS - from) / (STEP_MS[rule.freq] * rule.interval)) + 2;
  const { interval } = rule;
  let reads = 0;
  let sinceLast = 0;
  let end: WalkEnd = 'ended';
  // The library has no bound but the year 9999, so we bound it here. It reads the interval once at the start, then twice a
  // step: first to end on 0, then to add it; only the first may be 0, since adding 0 hours would turn for ever.
  Object.defineProperty(made.options, 'interval', {
    get: () => {
      reads += 1;
      sinceLast += 1;
      if (reads % 2 !== 0 || (reads <= 2 * mostSteps && sinceLast <= 2 * MOST_STEPS)) return interval;
      if (reads <= 2 * mostSteps) end = 'steps';
      return 0;
    },
  });
  const taken = (wall: number): boolean => {
    sinceLast = 0;
    const goesOn = take(wall);
    if (!goesOn) end = 'stopped';
    return goesOn;
  };
  const chosen = positions(rule, startMs, taken);
  made.all((date) => {
    const wall = date.getTime();
    if (!inWeeks(rule, wall)) return true;
    return hasPositions ? chosen.add(wall) : taken(wall);
  });
  if (hasPositions && (end as WalkEnd) !== 'stopped') chosen.settle();
  return end;
}
