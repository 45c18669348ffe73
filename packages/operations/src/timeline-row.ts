import { NO_DAY, windowMark, type DutyFact, type Timeline } from '@bellround/database';
import { dayNumber, LAST_DAY, RecurrenceInputError, timelineInDays, type DayWindow, type DutyHistory, type LocalDate } from '@bellround/recurrence';

/** A duty with its history and the checks credited to it. */
export interface KeptDuty {
  readonly duty: Pick<DutyFact, 'id' | 'siteId' | 'validTo'>;
  readonly history: DutyHistory;
  readonly credited: readonly { readonly id: string; readonly performedOn: LocalDate }[];
}

/** A duty that the calendar sets is looked at again at least this often, even when no next window was found. */
const LOOK_AHEAD_DAYS = 400;
const BY_CALENDAR = new Set(['fixed-month', 'calendar-rule', 'once-per', 'share']);
const UUID = /^[0-9a-f]{8}-/;
/** The check that met a window; null for a basis date and for a proof that no check stands behind. */
export const checkThatMet = (metBy: string | null): string | null => (metBy !== null && UUID.test(metBy) ? metBy : null);

/** The windows of a duty up to a day, in day numbers. Facts that contradict each other give one window that can't be told; `said` is then its reason. */
export function daysOf(history: DutyHistory, today: number): { windows: DayWindow[]; said: string | null } {
  try {
    return { windows: timelineInDays(history, today), said: null };
  } catch (error) {
    if (!(error instanceof RecurrenceInputError)) throw error;
    const from = dayNumber(history.from);
    if (from > today) return { windows: [], said: null };
    return { said: `cannot be computed from what is recorded: ${error.message}`, windows: [{
      opens: from, due: from, lapses: LAST_DAY, governsFrom: from, governsTo: history.to == null ? null : dayNumber(history.to), metOn: null, metBy: null,
      outcome: null, carried: 'cant-tell', basis: null, unknown: false, unmet: null,
    }] };
  }
}

/** The day after `today` on which the windows change without a new fact, or NO_DAY. */
function turnsOn(history: DutyHistory, windows: readonly DayWindow[], today: number): number {
  let first = NO_DAY;
  const turn = (day: number): void => {
    if (day > today && day < first) first = day;
  };
  const from = dayNumber(history.from);
  turn(from);
  for (const pause of history.pauses ?? []) turn(dayNumber(pause.from));
  for (const proof of history.proofs) turn(dayNumber(proof.on));
  for (const event of history.events ?? []) turn(dayNumber(event.on));
  if (BY_CALENDAR.has(history.cadence.kind) && from <= today && (history.to == null || dayNumber(history.to) > today)) {
    const ahead = today + LOOK_AHEAD_DAYS;
    const next = daysOf(history, ahead).windows[windows.length];
    turn(next && next.governsFrom > today ? next.governsFrom : ahead);
  }
  return first;
}

const dayOrNone = (day: number | null): number => day ?? NO_DAY;

/** Everything that is stored of one duty, with a digest of it. */
export function timelineRow({ duty, history, credited }: KeptDuty, today: number): Timeline {
  const { windows, said } = daysOf(history, today);
  const ends = duty.validTo === null ? today : Math.min(today, dayNumber(duty.validTo as never));
  const checkIds: string[] = [];
  for (const check of credited) if (dayNumber(check.performedOn) <= ends) checkIds.push(check.id);
  checkIds.sort();
  const creditedNow = checkIds.length;
  const [starts, packed, unmet]: [number[], number[], number[]] = [[], [], []];
  for (const window of windows) {
    const metBy = checkThatMet(window.metBy);
    let place = metBy === null ? 0 : checkIds.indexOf(metBy) + 1;
    if (metBy !== null && place === 0) place = checkIds.push(metBy);
    if (window.unmet !== null) unmet.push(window.unmet.lapsed, dayOrNone(window.unmet.lastProof));
    starts.push(window.governsFrom);
    packed.push(window.opens, window.due, window.lapses, dayOrNone(window.governsTo), dayOrNone(window.metOn), dayOrNone(window.basis), place,
      windowMark(window.carried, window.outcome, window.unknown, window.unmet === null ? 0 : unmet.length / 2));
  }
  const row = { dutyId: duty.id, siteId: duty.siteId, turnsOn: turnsOn(history, windows, today), starts, packed, checkIds, credited: creditedNow, unmet, said };
  return { ...row, digest: digestOf(row) };
}

/** 128 bits of four multiplicative hashes: tells a change of one duty from none; not meant to resist anybody. */
function digestOf({ siteId, starts, packed, checkIds, credited, unmet, said }: Omit<Timeline, 'digest'>): string {
  let [a, b, c, d] = [0xdeadbeef, 0x41c6ce57, 0x9e3779b1, 0x85ebca77];
  const take = (value: number): void => {
    a = Math.imul(a ^ value, 2654435761);
    b = Math.imul(b ^ value, 1597334677);
    c = Math.imul(c ^ value, 2246822519) + 1;
    d = Math.imul(d ^ value, 3266489917) + 1;
    // high bits down, so that they reach the ones that the next number is mixed into
    a ^= a >>> 15;
    b ^= b >>> 13;
  };
  const text = (words: string): void => {
    take(words.length);
    // four letters at a time; after the last one NaN, which counts as 0
    for (let at = 0; at < words.length; at += 4) take(words.charCodeAt(at) ^ (words.charCodeAt(at + 1) << 8) ^ (words.charCodeAt(at + 2) << 16) ^ (words.charCodeAt(at + 3) << 24));
  };
  text(siteId);
  for (const list of [[credited], starts, packed, unmet]) {
    take(list.length);
    for (const one of list) take(one);
  }
  take(checkIds.length);
  for (const one of checkIds) text(one);
  text(said ?? '');
  return [a, b, c, d].map((part) => ((part ^ (part >>> 15)) >>> 0).toString(36)).join('.');
}
