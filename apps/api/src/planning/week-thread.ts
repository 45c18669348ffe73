import { parentPort } from 'node:worker_threads';
import { Refusal } from '@bellround/contracts';
import { WEEK_TASKS, type WeekTaskName } from '@bellround/operations';

export interface ThreadTask { id: number; name: WeekTaskName; input: unknown }
export type ThreadAnswer = { id: number; kind: 'done'; value: unknown }
  | { id: number; kind: 'failed'; message: string; refusal: Pick<Refusal, 'problem' | 'detail' | 'more'> | null };

/** One question after the other; a refusal goes back as one, so that the door words it as if it had been thrown there. */
parentPort?.on('message', ({ id, name, input }: ThreadTask) => {
  let answer: ThreadAnswer;
  try {
    answer = { id, kind: 'done', value: (WEEK_TASKS[name] as (given: unknown) => unknown)(input) };
  } catch (error) {
    answer = { id, kind: 'failed', message: (error as Error).message, refusal: error instanceof Refusal ? { problem: error.problem, detail: error.detail, more: error.more } : null };
  }
  parentPort?.postMessage(answer);
});
