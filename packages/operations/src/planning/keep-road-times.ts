import type { Act } from '../perform.js';
import { keepRoads, type RoadsFound } from '../road-travel.js';

/** Keeps minutes by road as a table service answered them; what was kept of other pairs stays. */
export const keepRoadTimes: Act<{ found: readonly RoadsFound[] }, void> = async (ctx, { found }) => {
  await keepRoads(ctx, found);
};
