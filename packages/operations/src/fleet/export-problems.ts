import { csvLine, neutralised } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { importRunDetail } from './steps.js';

/** The held rows of an upload as CSV, for whoever mends the file. Throws NotFound. */
export const exportProblems: Act<{ runId: string }, string> = async (ctx, { runId }) => {
  const run = await importRunDetail(ctx.tx, runId);
  return csvLine(['row', 'column', 'value', 'problem', 'accepted'])
    + run.problems.map((one) => csvLine([String(one.row), one.column, neutralised(one.value), neutralised(one.problem), neutralised(one.accepted)])).join('');
};
