import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import { compareCost, mergeBest, weekBoardBytes, type CostTerm, type Progress, type WeekPlan, type WeekProblem } from '@bellround/planning';
import type { ThreadInput, ThreadMessage } from './solve-thread.js';

const MOST_THREADS = 8;

/** What open screens are told once a second; `cost` and `travelMin` are of the best plan so far, empty and null before there is one. */
export interface PlanTick { seconds: number; of: number; iterations: number; unplaced: number; travelMin: number | null; cost: readonly CostTerm[] }

/**
 * Searches in one thread per core, each with a seed of its own and going on from the best that any of them found, and answers the best plan. `cancelled` is asked about once a
 * second with the progress so far; when it says yes every thread ends with its best.
 */
export async function solveInThreads(problem: WeekProblem, options: { seed: number; seconds: number; threads?: number; onTick: (progress: PlanTick) => Promise<{ cancelled: boolean }> }): Promise<WeekPlan> {
  const threads = Math.max(1, Math.min(MOST_THREADS, options.threads ?? availableParallelism()));
  const stop = new SharedArrayBuffer(4);
  const board = threads > 1 ? { board: new SharedArrayBuffer(weekBoardBytes(problem)) } : {};
  const latest = new Map<number, Progress>();
  const began = Date.now();
  const runs = Array.from({ length: threads }, (_, index) => runThread({ problem, seed: options.seed + index * 7919, seconds: options.seconds, stop, ...board }, (progress) => latest.set(index, progress)));
  let asking = Promise.resolve();
  const timer = setInterval(() => {
    const seen = [...latest.values()];
    asking = asking.then(async () => {
      const best = seen.toSorted((a, b) => compareCost(a.cost, b.cost))[0];
      const { cancelled } = await options.onTick({
        seconds: (Date.now() - began) / 1000, of: options.seconds, iterations: seen.reduce((sum, one) => sum + one.iterations, 0), unplaced: best?.unplaced ?? problem.visits.length, travelMin: best?.travelMin ?? null, cost: best?.cost ?? [] });
      if (cancelled) Atomics.store(new Int32Array(stop), 0, 1);
    }).catch(() => undefined); // a database that does not answer for a second must not end the search
  }, 1000);
  try {
    return mergeBest(problem, await Promise.all(runs));
  } finally {
    clearInterval(timer);
    await asking;
  }
}

function runThread(input: ThreadInput, onProgress: (progress: Progress) => void): Promise<WeekPlan> {
  return new Promise((resolve, reject) => {
    const thread = new Worker(new URL('./solve-thread.js', import.meta.url), { workerData: input });
    thread.on('message', (message: ThreadMessage) => {
      if (message.kind === 'progress') onProgress(message.progress);
      else resolve(message.plan);
    });
    thread.on('error', reject);
    thread.on('exit', (code) => reject(new Error(`the planning thread ended with code ${code} before it had a plan`)));
  });
}
