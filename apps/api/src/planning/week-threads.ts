import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import { Refusal } from '@bellround/contracts';
import type { Compute, WeekTaskName } from '@bellround/operations';
import type { ThreadAnswer, ThreadTask } from './week-thread.js';

const MOST_THREADS = 4;

interface Waiting { resolve(value: unknown): void; reject(error: Error): void }
interface Thread { worker: Worker; waiting: Map<number, Waiting> }

/**
 * Threads that compute the dispatcher's questions, started at once and kept, since a fresh one has to load and warm its code. A
 * question goes to the thread with fewest before it. A thread that dies fails what it held and is replaced.
 */
export function openThreads(count = Math.max(1, Math.min(MOST_THREADS, availableParallelism() - 1)), script = new URL('./week-thread.js', import.meta.url)): { compute: Compute; close(): Promise<void> } {
  let closed = false;
  let next = 0;
  const threads: Thread[] = Array.from({ length: count }, () => start());

  function start(): Thread {
    const thread: Thread = { worker: new Worker(script), waiting: new Map() };
    thread.worker.unref();
    thread.worker.on('message', (answer: ThreadAnswer) => {
      const one = thread.waiting.get(answer.id);
      thread.waiting.delete(answer.id);
      if (answer.kind === 'done') one?.resolve(answer.value);
      else one?.reject(answer.refusal ? new Refusal(answer.refusal.problem, answer.refusal.detail, answer.refusal.more) : new Error(answer.message));
    });
    thread.worker.on('error', (error) => { for (const one of thread.waiting.values()) one.reject(error as Error); thread.waiting.clear(); });
    thread.worker.on('exit', (code) => {
      for (const one of thread.waiting.values()) one.reject(new Error(`the thread that computed this ended with code ${code}`));
      if (!closed) threads[threads.indexOf(thread)] = start();
    });
    return thread;
  }

  const compute = (name: WeekTaskName, input: unknown) => new Promise<unknown>((resolve, reject) => {
    const thread = threads.toSorted((a, b) => a.waiting.size - b.waiting.size)[0]!;
    const id = next++;
    thread.waiting.set(id, { resolve, reject });
    thread.worker.postMessage({ id, name, input } satisfies ThreadTask);
  });
  return { compute: compute as Compute, close: async () => { closed = true; await Promise.all(threads.map((thread) => thread.worker.terminate())); } };
}
