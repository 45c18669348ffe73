import { createStore, del, entries, set, update } from 'idb-keyval';
import { useSyncExternalStore } from 'react';
import type { AnswerOf, AskOf, Route } from '@bellround/contracts';
import { ask } from './client.js';
import { Outbox, type Outcome, type OutboxEntry, type OutboxState, type OutboxStore } from './outbox.js';

const SEQ = 'seq';

/** Each entry under its own key, so that two tabs never overwrite each other's. */
function browserStore(): OutboxStore {
  const store = createStore('bellround-outbox', 'entries');
  return {
    all: async () => (await entries<IDBValidKey, OutboxEntry>(store)).filter(([key]) => key !== SEQ).map(([, entry]) => entry),
    put: (entry) => set(entry.seq, entry, store),
    remove: (seq) => del(seq, store),
    nextSeq: async () => {
      let next = 0;
      await update<number>(SEQ, (last) => (next = (last ?? 0) + 1), store);
      return next;
    },
  };
}

let owner: string | null = null;

const alone = (work: () => Promise<void>): Promise<void> =>
  'locks' in navigator ? navigator.locks.request('bellround-outbox', work).then(() => undefined) : work();

export const outbox = new Outbox(browserStore(), (route, input) => ask(route, input as never), () => owner, {
  now: () => new Date(),
  later: (ms, run) => setTimeout(run, ms),
  cancel: (timer) => clearTimeout(timer as ReturnType<typeof setTimeout>),
}, alone);

/** Says whose writes may be sent; called when somebody signs in or out. What another person left waiting is kept for them. */
export function outboxBelongsTo(companyId: string | null, userId: string | null): void {
  owner = companyId && userId ? `${companyId}/${userId}` : null;
  if (owner) void outbox.open();
}

/** Starts listening for the connection's return. Call once. */
export function watchConnection(): void {
  window.addEventListener('online', () => void outbox.flush());
  document.addEventListener('visibilitychange', () => { if (document.visibilityState === 'visible') void outbox.flush(); });
}

/** What waits on this device, live. */
export function useOutbox(): OutboxState {
  return useSyncExternalStore(outbox.subscribe, outbox.snapshot);
}

/** Keeps a write on this device and sends it in order: `await enqueue(routes.recordCheck, input, { title, lane: visitId })`. */
export function enqueue<R extends Route>(route: R, input: AskOf<R>, words: { title: string; lane: string }): Promise<OutboxEntry> {
  return outbox.enqueue(route, input, words);
}

/** Keeps a write and tells what came of it: taken, refused (and not kept), or waiting here. The person is still at the screen. */
export function enqueueAndSee<R extends Route>(route: R, input: AskOf<R>, words: { title: string; lane: string }): Promise<Outcome> {
  return outbox.enqueueAndSee(route, input, words);
}

/** Calls back with the server's answer to each kept write of `route`. Answers how to stop. */
export function onSent<R extends Route>(route: R, listener: (answer: AnswerOf<R>, entry: OutboxEntry) => void): () => void {
  return outbox.onSent((entry, answer) => { if (entry.route === route.name) listener(answer as AnswerOf<R>, entry); });
}
