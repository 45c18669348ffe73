import { afterEventTimeline } from './after-event.js';
import type { Cadence } from './cadence.js';
import type { DayWindow, DutyHistory, DutyWindow } from './duty-history.js';
import { fixedTimeline } from './fixed.js';
import { type LocalDate, addDays, dayNumber, fromDayNumber } from './local-date.js';
import { type Prepared, prepare } from './prepared.js';
import { rollingTimeline } from './rolling.js';
import { completingProofs } from './share.js';
import { whyOfDays } from './why.js';

function occurrences(prepared: Prepared): DayWindow[] {
  const { cadence } = prepared;
  switch (cadence.kind) {
    case 'since-last':
    case 'age':
    case 'extending':
      return rollingTimeline(prepared, cadence);
    case 'after-event':
      return afterEventTimeline(prepared, cadence);
    default:
      return fixedTimeline(prepared, cadence);
  }
}

/**
 * All occurrences of one duty from its first day to the horizon, in order.
 *
 * Exactly one window governs any day on which the duty is owed (none between the events of an after-event duty, or after the
 * last date of a calendar rule that ends). Facts after the horizon are not looked at, so the horizon is an as-of date.
 * A horizon before the duty's first day gives no window.
 *
 * @throws RecurrenceInputError naming the part of the history and what is accepted
 */
export function timeline(history: DutyHistory, horizon: LocalDate): DutyWindow[] {
  return timelineInDays(history, dayNumber(horizon)).map((window, n) => windowInDates(history.cadence, window, n));
}

/** The same in day numbers and without words, for a fleet's worth of duties at once. `whyOfDays` tells a window's reason from it. */
export function timelineInDays(history: DutyHistory, horizon: number): DayWindow[] {
  const owed = history.cadence.kind === 'share' ? { ...history, proofs: completingProofs(history.cadence, history) } : history;
  const prepared = prepare(owed, horizon);
  return prepared.end < prepared.from ? [] : occurrences(prepared);
}

const dateOrNull = (day: number | null): LocalDate | null => (day === null ? null : fromDayNumber(day));

/** One window of `timelineInDays`, the `n`-th, in dates and words. */
export function windowInDates(cadence: Cadence, window: DayWindow, n: number): DutyWindow {
  const { opens, due, lapses, governsFrom, governsTo, metOn, metBy, outcome, carried, basis } = window;
  return {
    n, opens: fromDayNumber(opens), due: fromDayNumber(due), lapses: fromDayNumber(lapses), governsFrom: fromDayNumber(governsFrom), governsTo: dateOrNull(governsTo),
    metOn: dateOrNull(metOn), metBy, outcome, lateDays: outcome === 'late' ? (metOn as number) - lapses : 0, carried, basisOn: dateOrNull(basis), why: whyOfDays(cadence, window),
  };
}

/**
 * A change of regime from a day on: the old cadence still judges the days before it, the new one counts from the last proof.
 * Both share the facts. `from` must lie after the old duty's first day.
 */
export function changeRegime(old: DutyHistory, from: LocalDate, cadence: Cadence): { before: DutyHistory; after: DutyHistory } {
  return {
    before: { ...old, to: addDays(from, -1) },
    after: { ...old, cadence, from },
  };
}
