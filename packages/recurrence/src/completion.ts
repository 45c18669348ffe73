import { type LocalDate, addDays, daysBetween } from './local-date.js';

/** How a check of many items stands that may be spread over several visits. */
export interface Completion {
  /** Date of the last item, when all are done close enough together; otherwise null. */
  readonly completedOn: LocalDate | null;
  readonly done: number;
  readonly left: number;
  /** Minutes for what is left. */
  readonly leftMinutes: number;
  /** Items done too long before the last one, to be done again. */
  readonly redo: readonly string[];
  /** Last day on which the rest may be done without doing anything again; null when nothing is done yet. */
  readonly restBy: LocalDate | null;
}

/**
 * A visit that was stopped half-way: what is left, by when, and on which date it counts as done.
 * @param items each with the date it was done, or null
 * @param withinDays the regime's or company's rule: all items within so many days, counted from the first
 * @param minutesEach minutes for one item
 */
export function completionOf(items: readonly { readonly key: string; readonly on: LocalDate | null }[], withinDays: number, minutesEach: number): Completion {
  const dates = items.flatMap((item) => (item.on === null ? [] : [item.on])).sort();
  const left = items.length - dates.length;
  const last = dates.at(-1) ?? null;
  const redo = left > 0 || last === null ? [] : items.filter((item) => item.on !== null && daysBetween(item.on, last) > withinDays).map((item) => item.key);
  return {
    completedOn: left === 0 && redo.length === 0 ? last : null,
    done: dates.length,
    left,
    leftMinutes: left * minutesEach,
    redo,
    restBy: dates[0] === undefined ? null : addDays(dates[0], withinDays),
  };
}
