import { parentPort, workerData } from 'node:worker_threads';
import { solve, type Progress, type WeekPlan, type WeekProblem } from '@bellround/planning';

export interface ThreadInput { problem: WeekProblem; seed: number; seconds: number; stop: SharedArrayBuffer; board?: SharedArrayBuffer }
export type ThreadMessage = { kind: 'progress'; progress: Progress } | { kind: 'done'; plan: WeekPlan };

/** One search in a thread of its own: the clock and the stop flag live here, not in the engine. */
function main(): void {
  const { problem, seed, seconds, stop, board } = workerData as ThreadInput;
  const flag = new Int32Array(stop);
  const began = performance.now();
  const used = () => (performance.now() - began) / 1000 / seconds;
  let told = 0;
  const plan = solve(problem, {
    seed, stop: { until: () => used() >= 1, fraction: used }, cancelled: () => Atomics.load(flag, 0) === 1, ...(board ? { board } : {}),
    onProgress: (progress) => {
      const now = performance.now();
      if (now - told < 500) return;
      told = now;
      parentPort?.postMessage({ kind: 'progress', progress } satisfies ThreadMessage);
    },
  });
  parentPort?.postMessage({ kind: 'done', plan } satisfies ThreadMessage);
}

main();
