/**
 * What is half-entered, kept on this device until it is recorded: written at every change and read back at once, so that a
 * reload, a call or an empty battery in the middle loses nothing. One draft per person, place and subject.
 */
export interface DraftStore { getItem(key: string): string | null; setItem(key: string, value: string): void; removeItem(key: string): void; key(at: number): string | null; readonly length: number }

const PREFIX = 'bellround.draft/';
const keyOf = (owner: string, place: string, subject: string) => `${PREFIX}${owner}/${place}/${subject}`;
const watchers = new Set<() => void>();
let turn = 0;

function device(): DraftStore | null {
  try {
    return globalThis.localStorage ?? null;
  } catch {
    return null; // storage is refused here: drafts live as long as their screen
  }
}

/** Keeps a draft. Answers false when this device cannot keep it: the screen must say so. */
export function keepDraft(owner: string, place: string, subject: string, value: unknown, store: DraftStore | null = device()): boolean {
  try {
    if (!store) return false;
    store.setItem(keyOf(owner, place, subject), JSON.stringify(value));
    tell();
    return true;
  } catch {
    return false;
  }
}

/** The draft as it was kept, or null; what cannot be read is no draft. */
export function readDraft<T>(owner: string, place: string, subject: string, store: DraftStore | null = device()): T | null {
  try {
    const text = store?.getItem(keyOf(owner, place, subject)) ?? null;
    return text === null ? null : (JSON.parse(text) as T);
  } catch {
    return null;
  }
}

/** Ends a draft: what it held is recorded or kept in the outbox, or the person threw it away. */
export function dropDraft(owner: string, place: string, subject: string, store: DraftStore | null = device()): void {
  try {
    store?.removeItem(keyOf(owner, place, subject));
  } catch { /* nothing was kept */ }
  tell();
}

/** Subjects of a place that have a draft of this person. */
export function draftsOf(owner: string, place: string, store: DraftStore | null = device()): string[] {
  const start = keyOf(owner, place, '');
  const found: string[] = [];
  for (let at = 0; store && at < store.length; at += 1) {
    const key = store.key(at);
    if (key?.startsWith(start)) found.push(key.slice(start.length));
  }
  return found.sort();
}

export function watchDrafts(watcher: () => void): () => void {
  watchers.add(watcher);
  return () => watchers.delete(watcher);
}
/** Changes whenever any draft does. */
export const draftTurn = (): number => turn;

function tell(): void {
  turn += 1;
  for (const watcher of watchers) watcher();
}
