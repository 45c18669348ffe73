import type { AfterEvent } from './cadence.js';
import type { DayWindow } from './duty-history.js';
import { dayNumber } from './local-date.js';
import { plus } from './period.js';
import { type DayProof, type Edges, type Prepared, withCalendar, withPauses, write } from './prepared.js';

/**
 * Occurrences of a duty that events call for. One check after several events meets them all; between a proof and the next
 * event no window governs and nothing is owed.
 */
export function afterEventTimeline(prepared: Prepared, cadence: AfterEvent): DayWindow[] {
  const windows: DayWindow[] = [];
  const events = (prepared.history.events ?? []).map((event) => dayNumber(event.on)).filter((on) => on <= prepared.end).sort((a, b) => a - b);
  const proofs: DayProof[] = prepared.history.proofs.map((proof) => ({ on: dayNumber(proof.on), proof }))
    .filter((proof) => proof.on <= prepared.end).sort((a, b) => a.on - b.on);
  let done = Number.NEGATIVE_INFINITY;
  for (const on of events) {
    if (on <= done) continue;
    const due = plus(on, cadence.within);
    const window: Edges = { opens: on, due, lapses: plus(due, cadence.late) };
    const met = proofs.find((proof) => proof.on >= on) ?? null;
    if (prepared.pauses.length > 0) withPauses(window, prepared, on, met?.on ?? null);
    withCalendar(window, prepared, on);
    done = met?.on ?? Number.POSITIVE_INFINITY;
    if (met !== null && met.on < prepared.from) continue;
    write(windows, prepared, {
      edges: window, governsFrom: Math.max(on, prepared.from), governsTo: met === null ? null : met.on - 1, met, missed: false, carried: 'proven', basis: on, unknown: false,
    });
  }
  return windows;
}
