import { alarmKinds, contactIdWords, type EventKind, letterWords } from './event-words.js';

/** One event of an account's history, as the station holds it. */
export interface HeardEvent {
  readonly at: string;
  readonly code: string;
  /** What the code says it is; null = unknown. */
  readonly kind: EventKind | null;
  readonly restore: boolean;
  readonly zone: string | null;
}

/** A trouble that was told and not taken back since. */
export interface OpenTrouble { readonly words: string; readonly zone: string | null; readonly since: string }

const TROUBLES: readonly EventKind[] = ['power', 'path', 'supervision', 'device-fault', 'tamper', 'bypass'];
const MAINS = 'mains loss';
/** Told once by its nature: nothing takes it back. */
const PASSING = new Set(['sensor reset']);

/** '301', 'E301' and 'AT' say the same: words, and whether the code itself is the restore. */
function said(event: HeardEvent): { words: string; restore: boolean } {
  const digits = /^[A-Z]?(\d{3})$/i.exec(event.code)?.[1];
  const known = digits === undefined ? letterWords[event.code.toUpperCase()] : contactIdWords[digits];
  const isRestore = event.restore || /^R\d{3}$/i.test(event.code) || (known !== undefined && 'restore' in known && known.restore === true);
  return { words: known?.words ?? event.code, restore: isRestore };
}

const inOrder = (events: readonly HeardEvent[]): HeardEvent[] => events.toSorted((a, b) => Date.parse(a.at) - Date.parse(b.at));

/** [SIG-36] Troubles, tampers and bypasses that no later event of the same words and zone took back, oldest first. */
export function openTroubles(events: readonly HeardEvent[]): OpenTrouble[] {
  const open = new Map<string, OpenTrouble>();
  for (const event of inOrder(events)) {
    const { words, restore } = said(event);
    if (event.kind === null || !TROUBLES.includes(event.kind) || PASSING.has(words)) continue;
    const key = `${words}|${event.zone ?? ''}`;
    if (restore) open.delete(key);
    else if (!open.has(key)) open.set(key, { words, zone: event.zone, since: event.at });
  }
  return [...open.values()];
}

/** [SIG-36] Alarms: what a person must be able to explain. Tampers are told as troubles. */
export const alarmsAmong = (events: readonly HeardEvent[]): HeardEvent[] =>
  inOrder(events).filter((event) => event.kind !== null && event.kind !== 'tamper' && alarmKinds.includes(event.kind) && !said(event).restore);

export interface MainsHistory {
  /** 'lost': told and not taken back. 'back': the last loss was taken back. 'never-told': the history tells of none. */
  readonly state: 'lost' | 'back' | 'never-told';
  /** When the last loss, or its end, was told. */
  readonly at: string | null;
}

/** [SIG-37] What a history tells of the mains. No loss told proves mains only where the control unit is known to tell of one. */
export function mainsAmong(events: readonly HeardEvent[]): MainsHistory {
  const told = inOrder(events).filter((event) => said(event).words === MAINS).at(-1);
  return told === undefined ? { state: 'never-told', at: null } : { state: said(told).restore ? 'back' : 'lost', at: told.at };
}
