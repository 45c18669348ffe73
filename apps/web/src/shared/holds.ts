import { HOLD_WARNINGS_MIN } from '@bellround/contracts';
import { useSyncExternalStore } from 'react';

/** An on-test hold this person has open: the station ignores the parts until `endsAt`. */
export interface OpenHold {
  readonly holdId: string;
  readonly visitId: string;
  readonly siteName: string;
  /** given by the station */
  readonly reference: string;
  /** 'intrusion', 'fire', ... */
  readonly parts: readonly string[];
  /** UTC instant */
  readonly endsAt: string;
  /** where the hold is closed or extended, an address of this app */
  readonly path: string;
  /** kept on this device only: the house has not recorded it and warns nobody */
  readonly isHereOnly?: boolean;
  /** where the site is, when it is known: a phone that drives off while the account is on test is told */
  readonly place?: { readonly lat: number; readonly lon: number } | null;
}

/** A phone further away than this has left the site (company rule); one nearer than the second is back. */
export const LEFT_M = 500;
export const BACK_M = 300;

/** Metres between two places on a sphere of 6371 km (haversine). */
export function metresBetween(a: { lat: number; lon: number }, b: { lat: number; lon: number }): number {
  const rad = Math.PI / 180;
  const h = Math.sin(((b.lat - a.lat) * rad) / 2) ** 2 + Math.cos(a.lat * rad) * Math.cos(b.lat * rad) * Math.sin(((b.lon - a.lon) * rad) / 2) ** 2;
  return Math.round(2 * 6_371_000 * Math.asin(Math.min(1, Math.sqrt(h))));
}

const KEY = 'bellround.holds';
const watchers = new Set<() => void>();
let holds: readonly OpenHold[] = readKept();

function readKept(): readonly OpenHold[] {
  try {
    return JSON.parse(globalThis.localStorage?.getItem(KEY) ?? '[]') as OpenHold[];
  } catch {
    return [];
  }
}

/** Says which holds of a visit are open now; the banner with its clock follows, on every screen and after a reload without a network. */
export function setOpenHolds(visitId: string, open: readonly OpenHold[]): void {
  const next = [...holds.filter((hold) => hold.visitId !== visitId), ...open];
  if (JSON.stringify(next) === JSON.stringify(holds)) return;
  keep(next);
}

/** Replaces all holds known on this device: after asking the server, and when somebody signs out. */
export function replaceOpenHolds(open: readonly OpenHold[]): void {
  keep(open);
}

function keep(next: readonly OpenHold[]): void {
  holds = next;
  try {
    localStorage.setItem(KEY, JSON.stringify(next));
  } catch { /* storage is off: it holds for this page */ }
  for (const watcher of watchers) watcher();
}

export function useOpenHolds(): readonly OpenHold[] {
  return useSyncExternalStore((watcher) => { watchers.add(watcher); return () => watchers.delete(watcher); }, () => holds);
}

export type HoldStage = 'running' | 'ending' | 'expired';

/** Seconds left at which the phone shakes: at each warning, and when the hold runs out. */
const MARKS_S = [...HOLD_WARNINGS_MIN.map((minutes) => minutes * 60), 0];

/** Whether a mark lies between two looks at the clock, so that a page that slept over it warns when it wakes. */
export function isWarningDue(secondsBefore: number, secondsLeft: number): boolean {
  return MARKS_S.some((mark) => secondsBefore > mark && secondsLeft <= mark);
}

/** From the first warning on the banner says that the hold is ending. */
export function holdStage(endsAt: string, now: Date): { stage: HoldStage; secondsLeft: number } {
  const secondsLeft = Math.floor((Date.parse(endsAt) - now.getTime()) / 1000);
  return { stage: secondsLeft <= 0 ? 'expired' : secondsLeft <= MARKS_S[0]! ? 'ending' : 'running', secondsLeft };
}

/** 4510 -> '1:15:10', 65 -> '1:05' */
export function clockFace(seconds: number): string {
  const left = Math.max(0, seconds);
  const [hours, minutes, rest] = [Math.floor(left / 3600), Math.floor((left % 3600) / 60), left % 60];
  const two = (n: number) => String(n).padStart(2, '0');
  return hours > 0 ? `${hours}:${two(minutes)}:${two(rest)}` : `${minutes}:${two(rest)}`;
}
