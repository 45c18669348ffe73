import { afterEventTimeline } from './after-event.js';
import type { Cadence } from './cadence.js';
import type { DutyHistory, DutyWindow } from './duty-history.js';
import { fixedTimeline } from './fixed.js';
import { type LocalDate, addDays, dayNumber } from './local-date.js';
import { type Prepared, prepare } from './prepared.js';
import { rollingTimeline } from './rolling.js';
import { completingProofs } from './share.js';

function occurrences(prepared: Prepared): DutyWindow[] {
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
  const owed = history.cadence.kind === 'share' ? { ...history, proofs: completingProofs(history.cadence, history) } : history;
  const prepared = prepare(owed, dayNumber(horizon));
  if (prepared.end < prepared.from) return [];
  return occurrences(prepared);
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
