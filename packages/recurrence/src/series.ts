import type { CalendarRule, FixedMonth, OncePer, Share } from './cadence.js';
import { spanDays } from './cadence.js';
import { expand } from './expand.js';
import { type LocalDate, addMonthsToDay, dayNumber, dayNumberOf, daysInMonth, fromDayNumber, partsOf } from './local-date.js';
import { periodIndex, periodSpan, periodStart, plus } from './period.js';
import type { Edges } from './prepared.js';

/** Windows that the calendar sets, whatever is done: numbered, in order, never overlapping. */
export interface Series {
  /** The window of this index, or null when the series has ended (or not begun). */
  at(index: number): Edges | null;
  /** Index of the last window that opened on or before this day; one below the first when none has. */
  lastOpenedBy(day: number): number;
  /** The day one nominal interval later. */
  nominalEnd(day: number): number;
}

/** Cuts tolerances that would reach into the neighbours: a window shuts before the next is due, and opens after the last has shut. */
function apart(raw: (index: number) => Edges | null, index: number): Edges | null {
  const own = raw(index);
  if (own === null) return null;
  const before = raw(index - 1);
  const after = raw(index + 1);
  const lapses = after === null ? own.lapses : Math.min(own.lapses, after.due - 1);
  const shut = before === null ? Number.NEGATIVE_INFINITY : Math.min(before.lapses, own.due - 1);
  return { opens: Math.max(own.opens, shut + 1), due: own.due, lapses };
}

function fixedMonthSeries(cadence: FixedMonth): Series {
  const { everyMonths, dueDay, early, late } = cadence;
  const first = (cadence.anchorYear ?? 2000) * 12 + cadence.dueMonth - 1;
  const dayIn = (monthIndex: number, day: number): number => {
    const year = Math.floor(monthIndex / 12);
    const month = monthIndex - year * 12 + 1;
    return dayNumberOf(year, month, Math.min(day, daysInMonth(year, month)));
  };
  const wholeMonth = dueDay === 'month-end';
  const lastDay = wholeMonth ? 31 : dueDay;
  const raw = (index: number): Edges => {
    const month = first + index * everyMonths;
    const due = dayIn(month, lastDay);
    return {
      opens: 'days' in early ? due - early.days : dayIn(month - early.months, wholeMonth ? 1 : lastDay),
      due,
      lapses: 'days' in late ? due + late.days : dayIn(month + late.months, lastDay),
    };
  };
  const mayTouch = spanDays(early).most + spanDays(late).most + 62 >= everyMonths * 28;
  const at = mayTouch ? (index: number): Edges | null => apart(raw, index) : raw;
  return {
    at,
    lastOpenedBy(day) {
      const parts = partsOf(day);
      let index = Math.ceil((parts.year * 12 + parts.month + Math.ceil(spanDays(early).most / 28) - first) / everyMonths) + 1;
      while ((at(index) as Edges).opens > day) index -= 1;
      return index;
    },
    nominalEnd: (day) => addMonthsToDay(day, everyMonths),
  };
}

function periodSeries(cadence: OncePer | Share): Series {
  const { period } = cadence;
  return {
    at(index) {
      const lapses = periodStart(period, index + 1) - 1;
      return { opens: periodStart(period, index), due: lapses, lapses };
    },
    lastOpenedBy: (day) => periodIndex(period, day),
    nominalEnd: (day) => plus(day, periodSpan(period)) - 1,
  };
}

const expanded = new Map<string, readonly number[]>();

/** Due days of a rule up to the first one after the horizon. A fleet shares few rules, so the last ones are kept. */
function dueDays(cadence: CalendarRule, horizon: number): readonly number[] {
  const key = JSON.stringify([cadence.dtstart, cadence.timeZone, cadence.rrule, cadence.rdate, cadence.exdate, horizon]);
  const held = expanded.get(key);
  if (held) return held;
  let days: number[] = [];
  for (const months of [14, 61, 1201]) {
    const until = fromDayNumber(addMonthsToDay(horizon, months));
    days = [...new Set(expand({ ...cadence, until }).map((time) => dayNumber(time.slice(0, 10) as LocalDate)))];
    // Two beyond the horizon: the next window, and the one that bounds it.
    if (days.filter((day) => day > horizon).length >= 2) break;
  }
  if (expanded.size >= 64) expanded.delete(expanded.keys().next().value as string);
  expanded.set(key, days);
  return days;
}

function ruleSeries(cadence: CalendarRule, horizon: number): Series {
  const days = dueDays(cadence, horizon);
  const raw = (index: number): Edges | null => {
    const due = days[index];
    return due === undefined ? null : { opens: due - cadence.earlyDays, due, lapses: due + cadence.lateDays };
  };
  const at = (index: number): Edges | null => apart(raw, index);
  return {
    at,
    lastOpenedBy(day) {
      let index = days.findLastIndex((due) => due - cadence.earlyDays <= day);
      while (index >= 0 && (at(index) as Edges).opens > day) index -= 1;
      return index;
    },
    nominalEnd(day) {
      const next = days.findIndex((due) => due > day);
      const [a, b] = [days[next], days[next + 1]];
      return a === undefined || b === undefined ? plus(day, { months: 12 }) : day + (b - a);
    },
  };
}

/** The series of a cadence that the calendar sets. */
export function seriesOf(cadence: FixedMonth | CalendarRule | OncePer | Share, horizon: number): Series {
  if (cadence.kind === 'fixed-month') return fixedMonthSeries(cadence);
  if (cadence.kind === 'calendar-rule') return ruleSeries(cadence, horizon);
  return periodSeries(cadence);
}

