import type { ImportRunDetail } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { importRunDetail } from './steps.js';

/** One upload with the problems kept of it. Throws NotFound. */
export const showImport: Act<{ runId: string }, ImportRunDetail> = (ctx, { runId }) => importRunDetail(ctx.tx, runId);
