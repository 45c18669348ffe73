import { afterEach, describe, expect, it } from 'vitest';
import { openThreads } from './week-threads.js';

/** A thread that speaks as week-thread.ts does: 'places' answers its input, 'why' is refused, 'check' dies. */
const SCRIPT = new URL(`data:text/javascript,${encodeURIComponent(`
  import { parentPort, threadId } from 'node:worker_threads';
  parentPort.on('message', ({ id, name, input }) => {
    if (name === 'check') process.exit(3);
    if (name === 'why') return parentPort.postMessage({ id, kind: 'failed', message: 'x', refusal: { problem: 'NotFound', detail: 'no such visit', more: { data: { a: 1 } } } });
    if (name === 'move') return parentPort.postMessage({ id, kind: 'failed', message: 'a fault of ours', refusal: null });
    parentPort.postMessage({ id, kind: 'done', value: { input, threadId } });
  });`)}`);

let threads: ReturnType<typeof openThreads>;
afterEach(() => threads.close());
const ask = (name: string, input: unknown = {}) => (threads.compute as unknown as (name: string, input: unknown) => Promise<never>)(name, input);

describe('threads that compute the dispatcher\'s questions', () => {
  it('answers each asker what was asked, several at once, in more than one thread', async () => {
    threads = openThreads(2, SCRIPT);
    const answers = await Promise.all([0, 1, 2, 3, 4, 5].map((n) => ask('places', n))) as { input: number; threadId: number }[];
    expect(answers.map((one) => one.input)).toEqual([0, 1, 2, 3, 4, 5]);
    expect(new Set(answers.map((one) => one.threadId)).size).toBe(2);
  });

  it('brings a refusal back as one, and a fault as a fault', async () => {
    threads = openThreads(1, SCRIPT);
    await expect(ask('why')).rejects.toMatchObject({ name: 'Refusal', problem: 'NotFound', detail: 'no such visit', more: { data: { a: 1 } } });
    await expect(ask('move')).rejects.toMatchObject({ name: 'Error', message: 'a fault of ours' });
  });

  it('fails what a dead thread held, and goes on with a new one', async () => {
    threads = openThreads(1, SCRIPT);
    const lost = [ask('check'), ask('places')].map((one) => one.then(() => 'answered', (error: Error) => error.message));
    expect(await Promise.all(lost)).toEqual(['the thread that computed this ended with code 3', 'the thread that computed this ended with code 3']);
    expect(await ask('places', 7)).toMatchObject({ input: 7 });
  });
});
