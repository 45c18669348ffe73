import type { CalendarRule, FixedMonth, OncePer, Share } from './cadence.js';
import type { Carried, DayWindow } from './duty-history.js';
import { type DayProof, type Edges, type Prepared, withCalendar, withPauses, write } from './prepared.js';
import { type Series, seriesOf } from './series.js';

interface Turn {
  index: number;
  carried: Carried;
  governsFrom: number;
  /** Last day that a proof was credited, or the basis. */
  lastMet: number | null;
  /** No proof before this place can be credited any more. */
  firstProof: number;
  /** Last day of the latest window that was over and not met since the last proof; null when none was. */
  unmet: number | null;
}

/** The next proof that may be credited: on or after `earliest`, after the last one, before the next window opens. */
function takeProof(proofs: readonly DayProof[], turn: Turn, earliest: number, before: number): DayProof | null {
  while (turn.firstProof < proofs.length && (proofs[turn.firstProof] as DayProof).on < turn.governsFrom) turn.firstProof += 1;
  for (let at = turn.firstProof; at < proofs.length; at += 1) {
    const proof = proofs[at] as DayProof;
    if (proof.on >= before) return null;
    if (proof.on >= earliest) return proof;
  }
  return null;
}

interface Occurred {
  readonly window: Edges;
  /** The first day of the next window, when that takes over from an unmet one; null when the series ends here. */
  readonly takenOverOn: number | null;
  readonly unknown: boolean;
  readonly basis: number | null;
}

/** Judges one occurrence, writes it, and moves on. False when nothing further governs. */
function close(windows: DayWindow[], prepared: Prepared, turn: Turn, it: Occurred): boolean {
  const before = it.takenOverOn ?? Number.POSITIVE_INFINITY;
  const earliest = (): number => Math.max(it.window.opens, turn.governsFrom);
  let met = takeProof(prepared.proofs, turn, earliest(), before);
  if (prepared.pauses.length > 0) {
    withPauses(it.window, prepared, turn.governsFrom, met?.on ?? null);
    met = takeProof(prepared.proofs, turn, earliest(), before);
  }
  // A window whose time was not over when the next one took over was rolled into it, not missed.
  const wasOver = it.window.lapses < before;
  it.window.lapses = Math.min(it.window.lapses, before - 1);
  it.window.due = Math.min(it.window.due, it.window.lapses);
  withCalendar(it.window, prepared, turn.governsFrom);
  const takenOver = met === null && before <= prepared.end;
  write(windows, prepared, {
    edges: it.window,
    governsFrom: turn.governsFrom,
    governsTo: met !== null ? met.on - 1 : takenOver ? before - 1 : null,
    met,
    missed: takenOver && wasOver,
    carried: turn.carried,
    basis: it.basis,
    unknown: it.unknown,
    unmet: turn.unmet === null ? null : { lapsed: turn.unmet, lastProof: turn.lastMet },
  });
  if (met !== null) {
    turn.unmet = null;
    turn.carried = 'proven';
    turn.governsFrom = met.on;
    turn.lastMet = met.on;
    return it.takenOverOn !== null;
  }
  if (wasOver) turn.unmet = it.window.lapses;
  turn.carried = wasOver || turn.carried === 'lapsed' ? 'lapsed' : 'cant-tell';
  turn.governsFrom = before;
  return takenOver;
}

/** Taken over without dates: due at once, until the first window of the calendar takes over. */
function catchUp(windows: DayWindow[], prepared: Prepared, series: Series, turn: Turn): boolean {
  const { from, history } = prepared;
  const lapses = history.catchUpDays === undefined ? series.nominalEnd(from) : from + history.catchUpDays;
  return close(windows, prepared, turn, {
    window: { opens: from, due: from, lapses: Math.max(lapses, from) },
    takenOverOn: series.at(turn.index)?.opens ?? null,
    unknown: true,
    basis: null,
  });
}

/** Occurrences of a cadence that the calendar sets: an unmet window is missed when the next one opens. */
export function fixedTimeline(prepared: Prepared, cadence: FixedMonth | CalendarRule | OncePer | Share): DayWindow[] {
  const windows: DayWindow[] = [];
  const series = seriesOf(cadence, prepared.end);
  const { basis, from } = prepared;
  const opened = series.lastOpenedBy(from);
  const turn: Turn = { index: opened + 1, carried: 'cant-tell', governsFrom: from, lastMet: basis, firstProof: 0, unmet: null };
  if (basis === null) {
    if (!catchUp(windows, prepared, series, turn)) return windows;
  } else {
    const owed = series.lastOpenedBy(basis) + 1;
    turn.index = Math.max(owed, opened);
    turn.carried = owed < opened ? 'lapsed' : 'proven';
    if (owed < opened) turn.unmet = series.at(opened - 1)?.lapses ?? null;
  }
  const gap = cadence.kind === 'once-per' ? cadence.minGapDays : 0;
  for (;; turn.index += 1) {
    const window = series.at(turn.index);
    if (window === null) return windows;
    const edges: Edges = { opens: window.opens, due: window.due, lapses: window.lapses };
    if (gap > 0 && turn.lastMet !== null) edges.opens = Math.min(edges.lapses, Math.max(edges.opens, turn.lastMet + gap));
    const counted = gap > 0 ? turn.lastMet : null;
    if (!close(windows, prepared, turn, { window: edges, takenOverOn: series.at(turn.index + 1)?.opens ?? null, unknown: false, basis: counted })) return windows;
  }
}
