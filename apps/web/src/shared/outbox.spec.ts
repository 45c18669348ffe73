import { routes } from '@bellround/contracts';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ProblemError, unreachable } from './client.js';
import { Outbox, OutboxFull, type OutboxEntry, type OutboxStore, nextToSend, pauseAfter } from './outbox.js';

class MemoryStore implements OutboxStore {
  readonly kept = new Map<number, OutboxEntry>();
  isFull = false;
  private seq = 0;
  async all() { return [...this.kept.values()]; }
  async put(entry: OutboxEntry) {
    if (this.isFull) throw new Error('QuotaExceededError');
    this.kept.set(entry.seq, entry);
  }
  async remove(seq: number) { this.kept.delete(seq); }
  async nextSeq() { return ++this.seq; }
}

const refusal = (status: number) => new ProblemError('WrongState', { title: 'No', status, detail: 'because' });
const settle = () => new Promise((resolve) => setImmediate(resolve));

function bench(options: { store?: MemoryStore; owner?: () => string | null; alone?: (work: () => Promise<void>) => Promise<void> } = {}) {
  const store = options.store ?? new MemoryStore();
  const sent: string[] = [];
  const timers: (() => void)[] = [];
  let answer: (input: { email: string }) => unknown = () => ({});
  const outbox = new Outbox(store, async (_, input) => {
    const given = answer(input as { email: string });
    if (given instanceof Error) throw given;
    sent.push((input as { email: string }).email);
    return given;
  }, options.owner ?? (() => 'a/1'), { now: () => new Date('2027-03-01T09:00:00Z'), later: (_, run) => timers.push(run), cancel: () => undefined }, options.alone);
  const put = (email: string, lane = 'v1') => outbox.enqueue(routes.signIn, { email, password: 'x' }, { title: email, lane });
  return { store, sent, timers, outbox, put, answerWith: (next: typeof answer) => { answer = next; } };
}

describe('outbox', () => {
  it('sends in the order of entry and keeps nothing that was answered', async () => {
    const { put, sent, store, outbox } = bench();
    await Promise.all([put('1'), put('2'), put('3')]);
    await outbox.flush();
    expect(sent).toEqual(['1', '2', '3']);
    expect(store.kept.size).toBe(0);
    expect(outbox.snapshot()).toMatchObject({ entries: [], status: 'idle' });
  });

  it('without an answer keeps everything, tries again by itself, and does not overtake', async () => {
    const { put, sent, store, timers, outbox, answerWith } = bench();
    answerWith(() => unreachable());
    await put('1');
    await put('2');
    await outbox.flush();
    await settle();
    expect(outbox.snapshot().status).toBe('offline');
    expect(store.kept.size).toBe(2);
    answerWith(() => ({}));
    timers.at(-1)!();
    await outbox.flush();
    expect(sent).toEqual(['1', '2']);
  });

  it('a reload in the middle loses nothing: the next page sends what the store holds', async () => {
    const store = new MemoryStore();
    const before = bench({ store });
    before.answerWith(() => unreachable());
    await before.put('1');
    await before.put('2');
    await before.outbox.flush();
    const after = bench({ store });
    await after.outbox.open();
    await after.outbox.flush();
    expect(after.sent).toEqual(['1', '2']);
  });

  it('a refusal stops its lane with its words; other lanes go on', async () => {
    const { put, sent, outbox, answerWith } = bench();
    answerWith(({ email }) => (email === '1' ? refusal(409) : {}));
    await put('1', 'visit a');
    await put('2', 'visit a');
    await put('3', 'visit b');
    await outbox.flush();
    expect(sent).toEqual(['3']);
    expect(outbox.snapshot().entries).toMatchObject([{ title: '1', state: 'refused', problem: { detail: 'because' } }, { title: '2', state: 'waiting' }]);
  });

  it('a refused entry can be sent again, or set aside so that its lane goes on; it goes away only when thrown away', async () => {
    const { put, sent, outbox, store, answerWith } = bench();
    answerWith(({ email }) => (email === '1' ? refusal(409) : {}));
    const first = await put('1');
    await put('2');
    await outbox.flush();
    await outbox.discard(first.seq);
    expect(store.kept.has(first.seq)).toBe(true);
    await outbox.setAside(first.seq);
    expect(sent).toEqual(['2']);
    expect(store.kept.get(first.seq)?.state).toBe('aside');
    await outbox.discard(first.seq);
    expect(store.kept.size).toBe(0);
  });

  it.each([['an ended session', 401, 'NotSignedIn' as const, 'signed-out'], ['an overloaded server', 429, 'TooMany' as const, 'offline'], ['a server in trouble', 500, 'Internal' as const, 'offline']])('%s refuses nothing: all is kept', async (_, status, problem, state) => {
    const { put, outbox, answerWith } = bench();
    answerWith(() => new ProblemError(problem, { title: '', status, detail: '' }));
    await put('1');
    await outbox.flush();
    expect(outbox.snapshot()).toMatchObject({ status: state, entries: [{ state: 'waiting' }] });
  });

  it('never sends under another person: what they left waits for them', async () => {
    const store = new MemoryStore();
    const first = bench({ store });
    first.answerWith(() => unreachable());
    await first.put('1');
    await first.outbox.flush();
    const second = bench({ store, owner: () => 'a/2' });
    await second.outbox.open();
    await second.outbox.flush();
    expect(second.sent).toEqual([]);
    expect(store.kept.size).toBe(1);
  });

  it('says so when the device is full, and does not pretend to have kept it', async () => {
    const { put, store, outbox } = bench();
    store.isFull = true;
    await expect(put('1')).rejects.toBeInstanceOf(OutboxFull);
    expect(outbox.snapshot().entries).toEqual([]);
  });

  it('what is entered while the tab gives back its turn is sent without a further occasion', async () => {
    const { put, sent, outbox } = bench({ alone: async (work) => { await work(); await settle(); } });
    outbox.onSent((entry) => { if (entry.title === '1') void put('2'); });
    await put('1');
    for (let i = 0; i < 5; i++) await settle();
    expect(sent).toEqual(['1', '2']);
  });

  it('tells listeners the answer of each entry', async () => {
    const { put, outbox, answerWith } = bench();
    answerWith(() => ({ verdict: 'fail' }));
    const heard: unknown[] = [];
    outbox.onSent((entry, answer) => heard.push([entry.title, answer]));
    await put('1');
    await outbox.flush();
    expect(heard).toEqual([['1', { verdict: 'fail' }]]);
  });

  it('whatever answers are lost on the way, each lane arrives whole and in order', async () => {
    let runs = 0;
    await fc.assert(fc.asyncProperty(fc.array(fc.tuple(fc.constantFrom('a', 'b', 'c'), fc.array(fc.boolean(), { maxLength: 3 })), { minLength: 1, maxLength: 12 }), async (entries) => {
      runs += 1;
      const { put, outbox, timers, answerWith } = bench();
      const arrived: string[] = [];
      const losses = new Map(entries.map(([, lost], i) => [String(i), [...lost]]));
      answerWith(({ email }) => {
        // The server takes it; its answer may be lost. A second arrival of the same is answered as the first was.
        const isLost = losses.get(email)!.pop() ?? false;
        if (!arrived.includes(email)) arrived.push(email);
        return isLost ? unreachable() : {};
      });
      for (const [i, [lane]] of entries.entries()) await put(String(i), lane);
      for (let i = 0; i < 60 && outbox.snapshot().entries.length > 0; i++) { await outbox.flush(); timers.splice(0).forEach((run) => run()); await settle(); }
      expect(outbox.snapshot().entries).toEqual([]);
      for (const lane of ['a', 'b', 'c']) {
        const own = entries.flatMap(([one], i) => (one === lane ? [String(i)] : []));
        expect(arrived.filter((id) => own.includes(id))).toEqual(own);
      }
    }), { seed: 20270301, numRuns: 60 });
    expect(runs).toBeGreaterThanOrEqual(60);
  });

  it('what is sent hours later says what the phone’s clock says then; what was done keeps its own moment', async () => {
    const seen: unknown[] = [];
    let now = new Date('2027-03-01T09:00:00Z');
    const outbox = new Outbox(new MemoryStore(), async (_, input) => { seen.push(input); return {}; }, () => (now.getUTCHours() < 14 ? null : 'a/1'), { now: () => now, later: () => 0, cancel: () => undefined });
    const signedIn = new Outbox(new MemoryStore(), async (_, input) => { if (now.getUTCHours() < 14) throw unreachable(); seen.push(input); return {}; }, () => 'a/1', { now: () => now, later: () => 0, cancel: () => undefined });
    await expect(outbox.enqueue(routes.openVisit, { visitId: 'v', id: 'x' }, { title: '', lane: 'v' })).rejects.toThrow('nobody is signed in');
    await signedIn.enqueue(routes.openVisit, { visitId: 'v', id: 'x', deviceClockAt: now.toISOString(), deviceClockNow: now.toISOString() }, { title: '', lane: 'v' });
    await signedIn.flush();
    now = new Date('2027-03-01T14:00:00Z');
    await signedIn.flush();
    expect(seen).toEqual([{ visitId: 'v', id: 'x', deviceClockAt: '2027-03-01T09:00:00.000Z', deviceClockNow: '2027-03-01T14:00:00.000Z' }]);
  });

  it('a screen that waits hears what came of it: taken, refused and not kept, or waiting here', async () => {
    const { outbox, store, answerWith } = bench();
    const see = (email: string) => outbox.enqueueAndSee(routes.signIn, { email, password: 'x' }, { title: email, lane: 'v1' });
    answerWith(({ email }) => (email === 'no' ? refusal(409) : email === 'later' ? unreachable() : { ok: email }));
    expect(await see('yes')).toEqual({ how: 'taken', answer: { ok: 'yes' } });
    expect(await see('no')).toMatchObject({ how: 'refused', problem: { detail: 'because' } });
    expect(store.kept.size).toBe(0);
    expect(await see('later')).toEqual({ how: 'waiting' });
    expect(await see('yes')).toEqual({ how: 'waiting' });
    expect([...store.kept.values()].map((entry) => entry.title)).toEqual(['later', 'yes']);
    answerWith(() => ({}));
    await outbox.flush();
    expect(outbox.snapshot().taken.map(({ entry }) => entry.title)).toEqual(['yes', 'later', 'yes']);
  });

  it('a screen behind a refused entry of its lane is told that it waits', async () => {
    const { outbox, put, answerWith } = bench();
    answerWith(({ email }) => (email === '1' ? refusal(409) : {}));
    await put('1');
    await outbox.flush();
    expect(await outbox.enqueueAndSee(routes.signIn, { email: '2', password: 'x' }, { title: '2', lane: 'v1' })).toEqual({ how: 'waiting' });
  });

  it('waits longer after each failure, at most a minute', () => {
    expect([1, 2, 3, 6, 20].map(pauseAfter)).toEqual([2000, 4000, 8000, 60_000, 60_000]);
  });

  it('nothing is next when all is refused, aside, or of another person', () => {
    const entry = (seq: number, more: Partial<OutboxEntry>): OutboxEntry => ({ seq, owner: 'a/1', route: 'x', input: {}, title: '', lane: 'l', at: '', tries: 0, state: 'waiting', problem: null, ...more });
    expect(nextToSend([entry(1, { state: 'aside' }), entry(2, { owner: 'a/2' }), entry(3, { state: 'refused' }), entry(4, {})], 'a/1')).toBeNull();
    expect(nextToSend([entry(5, {}), entry(4, {})], 'a/1')?.seq).toBe(4);
  });
});
