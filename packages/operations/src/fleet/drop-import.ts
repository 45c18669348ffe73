import { Refusal, type ImportRunDetail } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { importRunDetail } from './steps.js';

/** Drops a previewed file: it can no longer be kept. Twice is harmless. Throws NotFound, WrongState. */
export const dropImport: Act<{ runId: string }, ImportRunDetail> = async (ctx, { runId }) => {
  const run = await importRunDetail(ctx.tx, runId);
  if (run.state === 'kept') throw new Refusal('WrongState', 'This file was kept; its rows are in your fleet.');
  if (run.state === 'dropped') return run;
  await ctx.tx.db.importRun.update({ where: { companyId_id: { ...own(ctx), id: runId } }, data: { state: 'dropped', endedAt: ctx.now } });
  await note(ctx, { act: 'drop-import', about: 'import', id: runId, summary: `Preview of ${run.fileName} dropped` });
  return importRunDetail(ctx.tx, runId);
};
