import { LAST_DAY, dayNumberOf, daysInMonth, partsOf, weekdayOfDay } from './local-date.js';
import type { RuleParts } from './rrule-text.js';

/** Days of one period of a rule, in order, put into `days`; false when there is no such period before the year 10000. */
type PeriodDays = (step: number, days: number[]) => boolean;

/** Whether a day is one of BYDAY: an ordinal counts within its month or year, `at` being its place there, from 1. */
function onDay(rule: RuleParts, weekday: number, at: number, length: number): boolean {
  for (const day of rule.byDay) {
    if (day.weekday !== weekday) continue;
    if (day.nth === null || Math.ceil((day.nth > 0 ? at : length + 1 - at) / 7) === Math.abs(day.nth)) return true;
  }
  return false;
}

const onMonthDay = (rule: RuleParts, day: number, length: number): boolean =>
  rule.byMonthDay.length === 0 || rule.byMonthDay.includes(day) || rule.byMonthDay.includes(day - length - 1);

/** Days of a month that BYMONTHDAY and BYDAY leave; ordinals are counted within the year when BYMONTH does not name months of a yearly rule. */
function daysOfMonth(rule: RuleParts, year: number, month: number, days: number[]): void {
  const length = daysInMonth(year, month);
  const first = dayNumberOf(year, month, 1);
  const byYear = rule.freq === 'YEARLY' && rule.byMonth.length === 0;
  const before = byYear ? first - dayNumberOf(year, 1, 1) : 0;
  const whole = byYear ? 337 + daysInMonth(year, 2) : length;
  let weekday = weekdayOfDay(first) - 1;
  for (let day = 1; day <= length; day += 1) {
    if (onMonthDay(rule, day, length) && (rule.byDay.length === 0 || onDay(rule, weekday, before + day, whole))) days.push(first + day - 1);
    weekday = weekday === 6 ? 0 : weekday + 1;
  }
}

const inMonth = (rule: RuleParts, month: number): boolean => rule.byMonth.length === 0 || rule.byMonth.includes(month);

/** Whether a day is one of a weekly or daily rule, where every part only takes days away. */
function isLeft(rule: RuleParts, day: number): boolean {
  if (rule.byDay.length > 0 && !onDay(rule, weekdayOfDay(day) - 1, 0, 0)) return false;
  if (rule.byMonth.length === 0 && rule.byMonthDay.length === 0) return true;
  const { year, month, day: ofMonth } = partsOf(day);
  return inMonth(rule, month) && onMonthDay(rule, ofMonth, daysInMonth(year, month));
}

function periodsOf(rule: RuleParts, firstDay: number): PeriodDays {
  const { year, month } = partsOf(firstDay);
  if (rule.freq === 'YEARLY') {
    return (step, days) => {
      const its = year + step * rule.interval;
      if (its > 9999) return false;
      for (let at = 1; at <= 12; at += 1) if (inMonth(rule, at)) daysOfMonth(rule, its, at, days);
      return true;
    };
  }
  if (rule.freq === 'MONTHLY') {
    return (step, days) => {
      const index = year * 12 + month - 1 + step * rule.interval;
      const its = Math.floor(index / 12);
      if (its > 9999) return false;
      const at = index - its * 12 + 1;
      if (inMonth(rule, at)) daysOfMonth(rule, its, at, days);
      return true;
    };
  }
  const length = rule.freq === 'WEEKLY' ? 7 : 1;
  const from = rule.freq === 'WEEKLY' ? firstDay - ((weekdayOfDay(firstDay) - 1 - rule.weekStart + 7) % 7) : firstDay;
  return (step, days) => {
    const first = from + step * rule.interval * length;
    if (first > LAST_DAY) return false;
    for (let day = first; day < first + length && day <= LAST_DAY; day += 1) if (isLeft(rule, day)) days.push(day);
    return true;
  };
}

/** Whether this walk knows the rule: whole days, found by month, day of month and weekday alone. */
export const isCalendarRule = (rule: RuleParts): boolean =>
  ['YEARLY', 'MONTHLY', 'WEEKLY', 'DAILY'].includes(rule.freq) && rule.byYearDay.length === 0 && rule.byWeekNo.length === 0;

const DAY_MS = 86_400_000;

/** The times of a day, in milliseconds, in order. */
function timesOf(rule: RuleParts): number[] {
  return rule.byHour.flatMap((hour) => rule.byMinute.flatMap((minute) => rule.bySecond.map((second) => ((hour * 60 + minute) * 60 + second) * 1000)));
}

/** The walls of a period that BYSETPOS takes, in order. */
function chosen(walls: readonly number[], positions: readonly number[]): number[] {
  const at = new Set(positions.map((position) => (position > 0 ? position - 1 : walls.length + position)));
  return walls.filter((_, place) => at.has(place));
}

/**
 * Hands over the wall times of a calendar rule in order until the taker says false, by arithmetic on day numbers.
 * @param rule with all that it leaves open written out from DTSTART
 * @param lastWall no wall time after the day of this one is needed; null for a rule without an end
 * @param mostSteps periods without a wall time after which the walk ends
 */
export function walkCalendar(rule: RuleParts, startMs: number, lastWall: number | null, mostSteps: number, take: (wall: number) => boolean): 'stopped' | 'ended' | 'steps' {
  const times = timesOf(rule);
  const fill = periodsOf(rule, Math.floor(startMs / DAY_MS));
  const lastDay = lastWall === null ? LAST_DAY : Math.floor(lastWall / DAY_MS) + 1;
  let sinceLast = 0;
  for (let step = 0; sinceLast <= mostSteps; step += 1) {
    const days: number[] = [];
    if (!fill(step, days)) return 'ended';
    sinceLast += 1;
    const walls = days.flatMap((day) => times.map((time) => day * DAY_MS + time));
    for (const wall of rule.bySetPos.length === 0 ? walls : chosen(walls, rule.bySetPos)) {
      if (wall < startMs) continue;
      sinceLast = 0;
      if (!take(wall)) return 'stopped';
    }
    if (days.length > 0 ? (days[0] as number) > lastDay : isPast(rule, startMs, step, lastDay)) return 'ended';
  }
  return 'steps';
}

/** Whether a period without days lies past the last day wanted; an estimate from below, so that no period is missed. */
function isPast(rule: RuleParts, startMs: number, step: number, lastDay: number): boolean {
  const least = { YEARLY: 365, MONTHLY: 28, WEEKLY: 7, DAILY: 1 }[rule.freq as 'YEARLY' | 'MONTHLY' | 'WEEKLY' | 'DAILY'];
  return Math.floor(startMs / DAY_MS) - 366 + step * rule.interval * least > lastDay;
}
