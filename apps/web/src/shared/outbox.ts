import { type AskOf, type FieldFault, type ProblemName, type Route, allRoutes } from '@bellround/contracts';
import { ProblemError, isProblem } from './client.js';
import { phrase } from './language/index.js';

/** A refusal as it is kept beside its entry; `name` and `errors` are absent in entries that an older build kept. */
export interface KeptProblem { readonly title: string; readonly detail: string; readonly name?: ProblemName; readonly errors?: readonly FieldFault[] }

/** One write that this device owes the server. `seq` is its place in the queue. */
export interface OutboxEntry {
  readonly seq: number;
  readonly owner: string;
  readonly route: string;
  readonly input: unknown;
  /** what it is, in words: 'Front door contact: pass' */
  readonly title: string;
  /** entries of one lane (a visit) go strictly in order, and a refusal stops its lane only */
  readonly lane: string;
  readonly at: string;
  readonly tries: number;
  /** waiting: will be sent; refused: the server said no, a person decides; aside: taken out of the queue by a person, kept */
  readonly state: 'waiting' | 'refused' | 'aside';
  readonly problem: KeptProblem | null;
}

/** Where entries are kept: the browser's database, or memory in tests. `put` must be durable before it resolves. */
export interface OutboxStore {
  all(): Promise<OutboxEntry[]>;
  put(entry: OutboxEntry): Promise<void>;
  remove(seq: number): Promise<void>;
  /** a number greater than every one given before, on this device */
  nextSeq(): Promise<number>;
}

export interface OutboxState {
  readonly entries: readonly OutboxEntry[];
  /** sending: on the way now; offline: no answer, will try again; signed-out: someone must sign in; idle: nothing to do */
  readonly status: 'idle' | 'sending' | 'offline' | 'signed-out';
  /** what the server took lately, with when it answered: screens count it until they have asked again */
  readonly taken: readonly { readonly entry: OutboxEntry; readonly at: number }[];
}

/** What came of a write while its screen waited: the server took it, refused it, or it waits on this device and nothing was accepted yet. */
export type Outcome = { readonly how: 'taken'; readonly answer: unknown } | { readonly how: 'refused'; readonly problem: ProblemError } | { readonly how: 'waiting' };

/** How many of the last taken entries are remembered. */
const MOST_TAKEN = 50;

type Send = (route: Route, input: unknown) => Promise<unknown>;
export type SentListener = (entry: OutboxEntry, answer: unknown) => void;

export class OutboxFull extends Error {
  constructor() {
    super(phrase('app.this-device-has-no-room-left-to'));
    this.name = 'OutboxFull';
  }
}

const routeByName = new Map(allRoutes.map((route) => [route.name, route]));

/** What can be sent now, first in first out; a lane stands still behind its refused entry. */
export function nextToSend(entries: readonly OutboxEntry[], owner: string): OutboxEntry | null {
  const stopped = new Set<string>();
  for (const entry of [...entries].sort((a, b) => a.seq - b.seq)) {
    if (entry.owner !== owner || entry.state === 'aside') continue;
    if (entry.state === 'refused') stopped.add(entry.lane);
    else if (!stopped.has(entry.lane)) return entry;
  }
  return null;
}

/** Milliseconds until the next try after `tries` without an answer: 2 s, doubling, at most a minute. */
export function pauseAfter(tries: number): number {
  return Math.min(60_000, 2000 * 2 ** Math.max(0, tries - 1));
}

/**
 * Writes made on the phone, kept until the server has answered each. An answer may be lost on the way: the entry is sent
 * again with the same client-made ids, and the server answers as it did before.
 */
export class Outbox {
  private entries: OutboxEntry[] = [];
  private status: OutboxState['status'] = 'idle';
  private taken: OutboxState['taken'] = [];
  private state: OutboxState = { entries: [], status: 'idle', taken: [] };
  private readonly answers = new Map<number, (outcome: Outcome) => void>();
  private readonly watchers = new Set<() => void>();
  private readonly sentListeners = new Set<SentListener>();
  private running: Promise<void> | null = null;
  private again = false;
  private failures = 0;
  private timer: unknown = null;

  constructor(
    private readonly store: OutboxStore,
    private readonly send: Send,
    /** who is signed in on this device (company and user), or null */
    private readonly owner: () => string | null,
    private readonly clock: { now(): Date; later(ms: number, run: () => void): unknown; cancel(timer: unknown): void },
    /** runs `work` in one tab of the device at a time */
    private readonly alone: (work: () => Promise<void>) => Promise<void> = (work) => work(),
  ) {}

  readonly subscribe = (watcher: () => void): (() => void) => {
    this.watchers.add(watcher);
    return () => this.watchers.delete(watcher);
  };
  readonly snapshot = (): OutboxState => this.state;

  /** Tells of each entry the server has taken, with its answer. */
  onSent(listener: SentListener): () => void {
    this.sentListeners.add(listener);
    return () => this.sentListeners.delete(listener);
  }

  /** Reads what an earlier page left behind and begins to send. */
  async open(): Promise<void> {
    await this.reload();
    void this.flush();
  }

  /** Keeps a write and begins to send it. Resolves once it is safe on this device. Throws OutboxFull. */
  async enqueue<R extends Route>(route: R, input: AskOf<R>, words: { title: string; lane: string }): Promise<OutboxEntry> {
    const owner = this.owner();
    if (owner === null) throw new Error(phrase('app.nobody-is-signed-in-on-this-device'));
    let entry: OutboxEntry;
    try {
      entry = {
        seq: await this.store.nextSeq(), owner, route: route.name, input, title: words.title, lane: words.lane,
        at: this.clock.now().toISOString(), tries: 0, state: 'waiting', problem: null,
      };
      await this.store.put(entry);
    } catch {
      throw new OutboxFull();
    }
    this.entries = [...this.entries, entry];
    this.publish();
    void this.flush();
    return entry;
  }

  /**
   * Keeps a write, sends it, and tells what came of it: at once when the server answers, 'waiting' when it cannot be asked now
   * (no network, nobody signed in, something before it in its lane is refused) or has not answered after `patienceMs`.
   * A refusal is handed back to the screen and not kept: the person is there to change it.
   */
  async enqueueAndSee<R extends Route>(route: R, input: AskOf<R>, words: { title: string; lane: string }, patienceMs = 15_000): Promise<Outcome> {
    const entry = await this.enqueue(route, input, words);
    const outcome = await new Promise<Outcome>((resolve) => {
      const timer = this.clock.later(patienceMs, () => resolve({ how: 'waiting' }));
      this.answers.set(entry.seq, (answer) => { this.clock.cancel(timer); resolve(answer); });
      this.tellWaiting();
    });
    this.answers.delete(entry.seq);
    if (outcome.how === 'refused') await this.drop(entry.seq);
    return outcome;
  }

  /** Screens that wait for what cannot be sent now are told so. */
  private tellWaiting(): void {
    if (this.status === 'sending' || this.running !== null) return;
    for (const [seq, tell] of this.answers) {
      const entry = this.entries.find((one) => one.seq === seq);
      if (!entry) tell({ how: 'taken', answer: null }); // another tab of this device sent it
      else if (entry.state === 'waiting') tell({ how: 'waiting' });
    }
  }

  private async drop(seq: number): Promise<void> {
    await this.store.remove(seq);
    this.entries = this.entries.filter((one) => one.seq !== seq);
    this.publish();
    void this.flush();
  }

  /** Sends a refused entry again, for instance after the hold was opened. */
  async retry(seq: number): Promise<void> {
    await this.change(seq, { state: 'waiting', problem: null });
    this.failures = 0;
    await this.flush();
  }

  /** Takes a refused entry out of the queue so that its lane goes on. It is kept on this device until `discard`. */
  async setAside(seq: number): Promise<void> {
    await this.change(seq, { state: 'aside' });
    await this.flush();
  }

  /** Ends the keeping of an entry that was set aside; the only way in which something entered goes away unsent. */
  async discard(seq: number): Promise<void> {
    if (this.entries.find((one) => one.seq === seq)?.state !== 'aside') return;
    await this.drop(seq);
  }

  /** Sends all that can be sent; call it when the connection returns or somebody signs in. Never rejects. */
  flush(): Promise<void> {
    if (this.running) this.again = true;
    this.running ??= this.sendUntilQuiet();
    return this.running;
  }

  /** What is kept while the last entry is on its way, or the tab's turn is given back, must not wait for the next occasion. */
  private async sendUntilQuiet(): Promise<void> {
    try {
      do {
        this.again = false;
        await this.alone(() => this.sendAll()).catch(() => undefined);
      } while (this.again);
    } finally {
      this.running = null;
      this.tellWaiting();
    }
  }

  private async sendAll(): Promise<void> {
    this.clock.cancel(this.timer);
    await this.reload();
    for (;;) {
      const owner = this.owner();
      const entry = owner === null ? null : nextToSend(this.entries, owner);
      if (!entry) break;
      this.become('sending');
      const goOn = await this.sendOne(entry);
      if (!goOn) return;
    }
    this.failures = 0;
    this.become('idle');
  }

  private async sendOne(entry: OutboxEntry): Promise<boolean> {
    const route = routeByName.get(entry.route);
    if (!route) {
      await this.change(entry.seq, { state: 'refused', problem: { title: phrase('app.this-app-no-longer-knows-how-to'), detail: phrase('app.the-address-route-is-gone-reload-the', { route: entry.route }) } });
      return true;
    }
    try {
      const answer = await this.send(route, withClockNow(entry.input, this.clock.now()));
      await this.store.remove(entry.seq);
      this.entries = this.entries.filter((one) => one.seq !== entry.seq);
      this.failures = 0;
      this.taken = [...this.taken, { entry, at: this.clock.now().getTime() }].slice(-MOST_TAKEN);
      this.publish();
      this.answers.get(entry.seq)?.({ how: 'taken', answer });
      for (const listener of this.sentListeners) listener(entry, answer);
      return true;
    } catch (error) {
      return this.failed(entry, error);
    }
  }

  private async failed(entry: OutboxEntry, error: unknown): Promise<boolean> {
    if (isProblem(error) && isFinal(error)) {
      await this.change(entry.seq, { state: 'refused', problem: { title: error.title, detail: error.detail, name: error.problem as ProblemName, errors: error.errors }, tries: entry.tries + 1 });
      this.answers.get(entry.seq)?.({ how: 'refused', problem: error });
      return true;
    }
    if (isProblem(error, 'NotSignedIn')) {
      this.become('signed-out');
      return false;
    }
    this.failures += 1;
    await this.change(entry.seq, { tries: entry.tries + 1 });
    this.become('offline');
    this.timer = this.clock.later(pauseAfter(this.failures), () => void this.flush());
    return false;
  }

  private async change(seq: number, changes: Partial<OutboxEntry>): Promise<void> {
    const before = this.entries.find((one) => one.seq === seq);
    if (!before) return;
    const after = { ...before, ...changes };
    this.entries = this.entries.map((one) => (one.seq === seq ? after : one));
    this.publish();
    // A device without room still holds the entry as it was: only the count of tries or the refusal's words are not kept.
    await this.store.put(after).catch(() => undefined);
  }

  private async reload(): Promise<void> {
    this.entries = (await this.store.all()).sort((a, b) => a.seq - b.seq);
    this.publish();
  }

  private become(status: OutboxState['status']): void {
    this.status = status;
    this.publish();
  }

  private publish(): void {
    this.state = { entries: this.entries, status: this.status, taken: this.taken };
    for (const watcher of this.watchers) watcher();
  }
}

/** A refusal that sending again would not change. Overload, no session and an absent server may pass. */
function isFinal(error: ProblemError): boolean {
  return error.status >= 400 && error.status < 500 && error.problem !== 'NotSignedIn' && error.problem !== 'TooMany';
}

/**
 * The phone's clock at this sending. What was done hours ago is told by two readings of one clock: then, and now; without the
 * second the house would take the hours of waiting for a wrong clock and move the moment forward.
 */
function withClockNow(input: unknown, now: Date): unknown {
  return typeof input === 'object' && input !== null && 'deviceClockNow' in input ? { ...input, deviceClockNow: now.toISOString() } : input;
}
