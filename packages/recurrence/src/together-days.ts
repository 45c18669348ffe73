import { type AccessCalendar, closedBecause, quietBecause } from './access-calendar.js';
import type { LocalDate } from './local-date.js';

/** One duty's window as bundling looks at it. */
export interface TogetherWindow {
  /** What the duty is called in the answer; each name once. */
  readonly name: string;
  readonly opens: LocalDate;
  readonly lapses: LocalDate;
  /** Sounders are needed, so noise hours count. */
  readonly noisy: boolean;
  /**
   * For a cadence that counts from the last proof: the day it would ideally be done. Each day earlier is given away for good.
   * Absent for duties set by the calendar, which lose nothing.
   */
  readonly rollingDue?: LocalDate;
  /** Lapsed already, or can't be told: the sooner the better. Each day of waiting weighs as much as a day given away. */
  readonly overdue?: boolean;
}

/** A window in day numbers. */
export interface Item {
  readonly window: TogetherWindow;
  readonly opens: number;
  readonly lapses: number;
  readonly due: number | null;
}

export const isUsable = (item: Item, day: number, calendar: AccessCalendar): boolean =>
  day >= item.opens && day <= item.lapses && closedBecause(calendar, day) === null && (!item.window.noisy || quietBecause(calendar, day) === null);

/** The days that suit all of these, in order. */
export function daysOf(items: readonly Item[], calendar: AccessCalendar): number[] {
  const days: number[] = [];
  for (let day = Math.max(...items.map((item) => item.opens)); day <= Math.min(...items.map((item) => item.lapses)); day += 1) {
    if (items.every((item) => isUsable(item, day, calendar))) days.push(day);
  }
  return days;
}
