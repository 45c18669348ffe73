import { useSyncExternalStore } from 'react';
import { phrase } from './language/index.js';

// What this device knows of the server: when it last answered this person, and how far the two clocks are apart. Access
// without a network is counted from the last answer; the phone's clock may be set back meanwhile, so the latest reading
// ever seen counts.

/** Hours for which a device goes on without any answer of the server (scenario 23: a leaver's phone is shut by then). */
export const OFFLINE_HOURS = 24;
/** A clock this far from the server's is told: less is a slow network. */
export const CLOCK_TOLERANCE_MS = 2 * 60_000;

export interface Contact {
  /** whether the last question was answered; null: none was asked yet */
  readonly isUp: boolean | null;
  /** this device's clock at the last answer to the signed-in person, ms; null: never */
  readonly answeredAt: number | null;
  /** the server's clock less this device's, ms; null: not known */
  readonly offsetMs: number | null;
}

interface KeptContact { answeredAt: number | null; offsetMs: number | null; seen: number }

const KEY = 'bellround.contact';
/** Answers come by the dozen; what is kept on the device may lag behind by so much. */
const LAG_MS = 20_000;

function read(): KeptContact {
  try {
    return { answeredAt: null, offsetMs: null, seen: 0, ...(JSON.parse(globalThis.localStorage?.getItem(KEY) ?? '{}') as Partial<KeptContact>) };
  } catch {
    return { answeredAt: null, offsetMs: null, seen: 0 };
  }
}

let kept = read();
let state: Contact = { isUp: null, answeredAt: kept.answeredAt, offsetMs: kept.offsetMs };
const watchers = new Set<() => void>();

function write(next: KeptContact): void {
  kept = next;
  try {
    localStorage.setItem(KEY, JSON.stringify(next));
  } catch { /* storage is off or full: it holds for this page */ }
}

function become(next: Contact): void {
  const isSame = next.isUp === state.isUp && next.answeredAt === state.answeredAt && Math.abs((next.offsetMs ?? 0) - (state.offsetMs ?? 0)) < 5000 && (next.offsetMs === null) === (state.offsetMs === null);
  if (isSame) return;
  state = next;
  for (const watcher of watchers) watcher();
}

/** The server's clock less this device's: its Date header (whole seconds, RFC 9110 6.6.1) against the middle of the way. */
export function offsetOf(dateHeader: string | null, sentAt: number, receivedAt: number): number | null {
  const server = dateHeader === null ? NaN : Date.parse(dateHeader);
  return Number.isNaN(server) ? null : Math.round(server + 500 - (sentAt + receivedAt) / 2);
}

/** The server answered. `isSignedIn`: it answered this person, so their access stands as of now. */
export function noteAnswer(dateHeader: string | null, sentAt: number, isSignedIn: boolean, receivedAt = Date.now()): void {
  const offsetMs = offsetOf(dateHeader, sentAt, receivedAt) ?? state.offsetMs;
  const answeredAt = isSignedIn && (state.answeredAt === null || Math.abs(receivedAt - state.answeredAt) > LAG_MS) ? receivedAt : state.answeredAt;
  if (answeredAt !== kept.answeredAt || Math.abs((offsetMs ?? 0) - (kept.offsetMs ?? 0)) > 5000) write({ answeredAt, offsetMs, seen: isSignedIn ? receivedAt : Math.max(kept.seen, receivedAt) });
  become({ isUp: true, answeredAt, offsetMs });
}

/** No answer came: there is no network, or no server. */
export function noteSilence(): void {
  become({ ...state, isUp: false });
}

/** Somebody's access ended here: the next person's contact is their own. */
export function forgetContact(): void {
  write({ answeredAt: null, offsetMs: kept.offsetMs, seen: 0 });
  become({ ...state, answeredAt: null });
}

/** Hours since the last answer; a clock set back does not shorten them. Notes the reading. */
export function hoursWithoutContact(now = Date.now()): number | null {
  if (now > kept.seen + LAG_MS) write({ ...kept, seen: now });
  return kept.answeredAt === null ? null : Math.max(0, Math.max(now, kept.seen) - kept.answeredAt) / 3_600_000;
}

/** Whether this device has gone on without the server for longer than it may. */
export function isContactTooOld(now = Date.now()): boolean {
  const hours = hoursWithoutContact(now);
  return hours !== null && hours >= OFFLINE_HOURS;
}

/** The server's clock as well as this device can tell it. */
export function serverNow(now = Date.now()): Date {
  return new Date(now + (state.offsetMs ?? 0));
}

/** By how much the device's clock is wrong, in words; null when it is right or can't be told. */
export function clockFault(offsetMs: number | null): string | null {
  if (offsetMs === null || Math.abs(offsetMs) < CLOCK_TOLERANCE_MS) return null;
  const minutes = Math.round(Math.abs(offsetMs) / 60_000);
  const [hours, rest] = [Math.floor(minutes / 60), minutes % 60];
  const words = [hours > 0 ? `${hours} h` : '', rest > 0 || hours === 0 ? `${rest} min` : ''].filter(Boolean).join(' ');
  return phrase('app.words-value-the-server', { words, value: offsetMs > 0 ? phrase('app.behind') : phrase('app.ahead-of') });
}

export function useContact(): Contact {
  return useSyncExternalStore((watcher) => { watchers.add(watcher); return () => watchers.delete(watcher); }, () => state);
}
