import type { Job } from '@bellround/contracts';
import type { z } from 'zod';

/** What each queue's processor is: the declared job and one thin handler that calls acts. */
export interface Processor<P extends z.ZodType = z.ZodType> {
  readonly job: Job<P>;
  readonly concurrency?: number;
  handle(payload: z.output<P>): Promise<void>;
}

/** Token of what main.ts builds and every processor gets. */
export const WORKSHOP = 'bellround:workshop';
