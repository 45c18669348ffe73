import type { AccessCalendar } from './access-calendar.js';
import type { Cadence } from './cadence.js';
import type { LocalDate } from './local-date.js';

/** A check that meets the duty. `on` is the local date of its last required item. */
export interface DutyProof {
  readonly on: LocalDate;
  /** The check that is credited. */
  readonly ref: string;
  /** For an extending cadence: a result with nothing found. Not said counts as not clean. */
  readonly clean?: boolean;
  /** For an age cadence: the manufacture date of what was fitted. Default: the day of the proof. */
  readonly basisOn?: LocalDate | null;
  /** For a share cadence: the units proven. Without units the proof is taken as the whole share. */
  readonly units?: readonly string[];
}

/** A suspension: nothing is owed from `from` to `to` (inclusive; null while it lasts). */
export interface DutyPause {
  readonly from: LocalDate;
  readonly to: LocalDate | null;
  /** Who asked for it, in writing. */
  readonly by: string;
  /** 'check': a check is owed on return even when the window is not open yet. Default 'continue'. */
  readonly onReturn?: 'continue' | 'check';
}

/** One unit of a population that owes a share. */
export interface PopulationUnit {
  readonly key: string;
  readonly from: LocalDate;
  readonly to: LocalDate | null;
}

/** Everything known of one duty; standing at any date is computed from it. */
export interface DutyHistory {
  readonly cadence: Cadence;
  /** First day on which it is owed. */
  readonly from: LocalDate;
  /** Last day on which it is owed; null or absent while it lasts. */
  readonly to?: LocalDate | null;
  /** Last known good before our records, commissioning, or (age) manufacture date; null when unknown. */
  readonly basisOn?: LocalDate | null;
  readonly proofs: readonly DutyProof[];
  readonly pauses?: readonly DutyPause[];
  readonly calendar?: AccessCalendar;
  /** For an after-event cadence. */
  readonly events?: readonly { readonly on: LocalDate; readonly ref: string }[];
  /** For a share cadence. */
  readonly units?: readonly PopulationUnit[];
  /** Taken over without dates: days until it counts as lapsed. Default: the cadence's nominal interval. */
  readonly catchUpDays?: number;
}

export type Carried = 'proven' | 'lapsed' | 'cant-tell';
export type Outcome = 'on-time' | 'late' | 'missed';

/** One occurrence of a duty. The columns are exactly what standing is computed from, here and in the database. */
export interface DutyWindow {
  /** 0 for the first occurrence. */
  readonly n: number;
  readonly opens: LocalDate;
  readonly due: LocalDate;
  /** Last day in time. */
  readonly lapses: LocalDate;
  /** First day on which this window is the one to look at. */
  readonly governsFrom: LocalDate;
  /** Last such day; null while it lasts. The day before governsFrom when it was met on its first day. */
  readonly governsTo: LocalDate | null;
  readonly metOn: LocalDate | null;
  /** The proof that met it; null too when it was the basis date and not a check. */
  readonly metBy: string | null;
  /** null while it can still be met, or when it was never judged (paused, or rolled into the next after a takeover). */
  readonly outcome: Outcome | null;
  /** Days after `lapses` on which it was met; 0 unless late. */
  readonly lateDays: number;
  /** What is shown before it opens, and while it is open unless 'proven'. */
  readonly carried: Carried;
  /** The date the window is counted from; null when there is none. */
  readonly basisOn: LocalDate | null;
  /** In words a dispatcher understands. */
  readonly why: string;
}

/** What a window that carries lapsed is told with: the one before it that nothing met. */
export interface Unmet {
  /** Last day of the window that nothing met. */
  readonly lapsed: number;
  /** The last proof known, or null. */
  readonly lastProof: number | null;
}

/** One occurrence in day numbers (days since 1970-01-01) and without words: what a fleet's windows are kept as. Fields as in DutyWindow. */
export interface DayWindow {
  readonly opens: number;
  readonly due: number;
  readonly lapses: number;
  readonly governsFrom: number;
  readonly governsTo: number | null;
  readonly metOn: number | null;
  readonly metBy: string | null;
  readonly outcome: Outcome | null;
  readonly carried: Carried;
  readonly basis: number | null;
  /** Nothing was known to count from. */
  readonly unknown: boolean;
  /** Set where lapsed is carried from a window that nothing met. */
  readonly unmet: Unmet | null;
}
