import type { Act } from '../perform.js';
import { promotedModel, scoreAndWrite, todayOf } from './steps.js';

/** Scores one site again, after its facts changed. Its place in the fleet waits for the night. */
export const scoreOneSite: Act<{ siteId: string }, { scored: number }> = async (ctx, input) => {
  const { id, model } = await promotedModel(ctx);
  return id === null ? { scored: 0 } : { scored: await scoreAndWrite(ctx, [input.siteId], id, model, await todayOf(ctx)) };
};
