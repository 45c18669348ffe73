import { closedBecause } from './access-calendar.js';
import { type Cadence, checkCadence } from './cadence.js';
import type { Carried, DayWindow, DutyHistory, DutyProof, Unmet } from './duty-history.js';
import { RecurrenceInputError } from './errors.js';
import { LAST_DAY, dayNumber, fromDayNumber, weekdayOfDay } from './local-date.js';

/** Most days that a suspension hands back after its end, so that nobody returns to a window already shut. */
export const RETURN_DAYS = 30;

/** The ref of a proof that no check stands behind: a basis date that lies within the duty's time. */
export const NO_CHECK = '';

/** A proof in day numbers. */
export interface DayProof {
  readonly on: number;
  readonly proof: DutyProof;
}

/** A window in day numbers, before anything is known of how it ended. */
export interface Edges {
  opens: number;
  due: number;
  lapses: number;
}

interface DayPause {
  readonly from: number;
  readonly to: number;
  readonly check: boolean;
}

/** A history in day numbers, cut at the horizon. */
export interface Prepared {
  readonly history: DutyHistory;
  readonly cadence: Cadence;
  readonly from: number;
  /** Last day of interest: the horizon or the duty's end, whichever is first. */
  readonly end: number;
  readonly to: number | null;
  /** Latest known good before `from`, or null. */
  readonly basis: number | null;
  /** Sorted, from `from` to `end`. */
  readonly proofs: readonly DayProof[];
  readonly pauses: readonly DayPause[];
}

const checked = new WeakSet<Cadence>();
const byDay = (a: DayProof, b: DayProof): number => a.on - b.on || (a.proof.ref < b.proof.ref ? -1 : a.proof.ref > b.proof.ref ? 1 : 0);
const NO_PAUSES: readonly DayPause[] = [];

function preparePauses(history: DutyHistory, end: number): readonly DayPause[] {
  if (!history.pauses || history.pauses.length === 0) return NO_PAUSES;
  return history.pauses.map((pause) => {
    const from = dayNumber(pause.from);
    const to = pause.to === null ? LAST_DAY : dayNumber(pause.to);
    if (to < from) throw new RecurrenceInputError('pause', `${pause.from} to ${pause.to}`, 'an end on or after its start');
    return { from, to, check: pause.onReturn === 'check' };
  }).filter((pause) => pause.from <= end).sort((a, b) => a.from - b.from);
}

/** Cuts a history at the horizon, in day numbers. @throws RecurrenceInputError */
export function prepare(history: DutyHistory, horizon: number): Prepared {
  const cadence = history.cadence;
  if (!checked.has(cadence)) {
    checkCadence(cadence);
    checked.add(cadence);
  }
  const from = dayNumber(history.from);
  const to = history.to ? dayNumber(history.to) : null;
  if (to !== null && to < from - 1) throw new RecurrenceInputError('to', history.to as string, `a date on or after from (${history.from})`);
  const end = to === null ? horizon : Math.min(to, horizon);
  const isAge = cadence.kind === 'age';
  let basis = history.basisOn ? dayNumber(history.basisOn) : null;
  const proofs: DayProof[] = [];
  for (const proof of history.proofs) {
    const on = dayNumber(proof.on);
    if (on >= from && on <= end) proofs.push({ on, proof });
    else if (on < from) {
      const counts = isAge && proof.basisOn !== undefined ? (proof.basisOn === null ? null : dayNumber(proof.basisOn)) : on;
      if (counts !== null && (basis === null || counts > basis)) basis = counts;
    }
  }
  // A commissioning after the duty began is a proof like any other.
  if (!isAge && basis !== null && basis > from) {
    if (basis <= end) proofs.push({ on: basis, proof: { on: fromDayNumber(basis), ref: NO_CHECK } });
    basis = null;
  }
  if (proofs.length > 1) proofs.sort(byDay);
  return { history, cadence, from, end, to, basis, proofs, pauses: preparePauses(history, end) };
}

/** Moves a window's dates for the suspensions that begin before it is met. Rules REC-60 to REC-63. */
export function withPauses(window: Edges, prepared: Prepared, governsFrom: number, metOn: number | null): void {
  for (const pause of prepared.pauses) {
    if (metOn !== null && metOn < pause.from) break;
    // A window that came after the suspension is none of its business.
    if (window.lapses < pause.from || pause.to < governsFrom) continue;
    const given = pause.to + Math.min(window.lapses - pause.from + 1, RETURN_DAYS);
    window.lapses = Math.min(LAST_DAY, Math.max(window.lapses, given));
    const isReturn = pause.check && pause.to < LAST_DAY;
    if (isReturn) {
      window.opens = Math.min(window.opens, pause.to + 1);
      window.lapses = Math.min(window.lapses, pause.to + RETURN_DAYS);
    }
    // What was late before the suspension stays late after it.
    if (window.due >= pause.from) window.due = isReturn ? window.lapses : Math.min(window.lapses, Math.max(window.due, pause.to + 1));
  }
}

/** Pulls `due` back to the last day of access on or before it, within the window. Never later, never past `lapses`. */
export function withCalendar(window: Edges, prepared: Prepared, governsFrom: number): void {
  const calendar = prepared.history.calendar;
  if (!calendar) return;
  for (let day = window.due; day >= Math.max(window.opens, governsFrom); day -= 1) {
    const lands = day === window.due || calendar.landOn === undefined || calendar.landOn.includes(weekdayOfDay(day));
    if (lands && closedBecause(calendar, day) === null) {
      window.due = day;
      return;
    }
  }
}

/** What is known of one occurrence, in day numbers. */
export interface Occurrence {
  readonly edges: Edges;
  readonly governsFrom: number;
  readonly governsTo: number | null;
  readonly met: DayProof | null;
  readonly missed: boolean;
  readonly carried: Carried;
  readonly basis: number | null;
  readonly unknown: boolean;
  /** The window before that nothing met, when lapsed is carried from it. */
  readonly unmet?: Unmet | null;
}

/** Writes an occurrence at the end of the list, cut at the duty's last day. */
export function write(windows: DayWindow[], prepared: Prepared, it: Occurrence): void {
  const { opens, due, lapses } = it.edges;
  const { met } = it;
  if (lapses > LAST_DAY) fromDayNumber(lapses); // refused, with its bounds
  windows.push({
    opens, due, lapses,
    governsFrom: it.governsFrom,
    governsTo: it.governsTo ?? prepared.to,
    metOn: met === null ? null : met.on,
    metBy: met === null || met.proof.ref === NO_CHECK ? null : met.proof.ref,
    outcome: met !== null ? (met.on > lapses ? 'late' : 'on-time') : it.missed ? 'missed' : null,
    carried: it.carried,
    basis: it.basis,
    unknown: it.unknown,
    unmet: it.unmet ?? null,
  });
}
