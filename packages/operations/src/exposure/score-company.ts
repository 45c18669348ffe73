import { openSitesAfter, rankExposure } from '@bellround/database';
import type { Act } from '../perform.js';
import { note } from '../steps.js';
import { BATCH, promotedModel, scoreAndWrite, todayOf } from './steps.js';

/** Scores the next batch of the company's sites. Called until `next` is null; the last call ranks the fleet. */
export const scoreCompany: Act<{ afterSiteId: string | null }, { scored: number; next: string | null }> = async (ctx, input) => {
  const { id, model } = await promotedModel(ctx);
  if (id === null) return { scored: 0, next: null };
  const ids = await openSitesAfter(ctx.tx, input.afterSiteId, BATCH);
  const scored = await scoreAndWrite(ctx, ids, id, model, await todayOf(ctx));
  if (ids.length === BATCH) return { scored, next: ids.at(-1)! };
  await rankExposure(ctx.tx);
  await note(ctx, { act: 'score-exposure', about: 'exposure', summary: 'Exposure of every site was scored again' });
  return { scored, next: null };
};
