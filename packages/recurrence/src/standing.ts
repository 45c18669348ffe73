import type { DutyHistory, DutyWindow } from './duty-history.js';
import type { LocalDate } from './local-date.js';
import { timeline } from './timeline.js';

export type WindowStanding = 'proven' | 'open' | 'late' | 'lapsed' | 'cant-tell';
export type DutyStanding = WindowStanding | 'not-owed';

/**
 * Standing of a day under the window that governs it. Whoever asks picks that window: governsFrom <= day, and
 * governsTo null or >= day. Rule REC-40; the database holds the same formula.
 */
export function standingOn(window: Pick<DutyWindow, 'opens' | 'due' | 'lapses' | 'carried'>, day: LocalDate): WindowStanding {
  if (day < window.opens) return window.carried;
  if (day > window.lapses) return 'lapsed';
  if (window.carried !== 'proven') return window.carried;
  return day <= window.due ? 'open' : 'late';
}

/** The window that governs a day, or null when none does. */
export function governing(windows: readonly DutyWindow[], day: LocalDate): DutyWindow | null {
  return windows.find((window) => window.governsFrom <= day && (window.governsTo === null || window.governsTo >= day)) ?? null;
}

/**
 * Standing of a duty on a day, from the facts up to that day. 'not-owed' before its first and after its last day, while it
 * is suspended, and where no window governs.
 */
export function standingOfDuty(history: DutyHistory, day: LocalDate): DutyStanding {
  if (history.pauses?.some((pause) => pause.from <= day && (pause.to === null || pause.to >= day))) return 'not-owed';
  const window = governing(timeline(history, day), day);
  return window === null ? 'not-owed' : standingOn(window, day);
}
