import type { Act } from '../perform.js';
import { planInWeek } from './steps.js';

/** A plan and its week as they are now, for a question that is then computed outside any transaction. */
export const loadQuestion: Act<{ planId: string }, Awaited<ReturnType<typeof planInWeek>>> = (ctx, input) => planInWeek(ctx, input.planId);
