import { forgetTravelRows, lockTravel } from '@bellround/database';
import type { Act } from '../perform.js';
import { note } from '../steps.js';

/** Forgets all travel by road, so that the next plan asks anew (another service, another kind of vehicle). */
export const forgetRoadTimes: Act<Record<string, never>, { forgotten: number }> = async (ctx) => {
  await lockTravel(ctx.tx);
  const forgotten = await forgetTravelRows(ctx.tx);
  await note(ctx, { act: 'forget-road-times', about: 'week', summary: `Road times from ${forgotten} places were forgotten` });
  return { forgotten };
};
