import { refreshStatistics, siteStretches, turnedStretches, type SiteStretch } from '@bellround/database';
import type { Act } from '../perform.js';

/** Cuts a sweep into stretches of about so many duties: all sites, or (`turned`) those duties alone that the calendar turned. */
export const standingStretches: Act<{ sites: number; duties: number; turned: boolean }, { stretches: SiteStretch[] }> = async (ctx, input) => {
  if (input.turned) return { stretches: await turnedStretches(ctx.tx, input.duties, ctx.now) };
  // Before a whole run: after an import the planner's idea of the fleet is stale, and stale ideas cost minutes.
  await refreshStatistics(ctx.tx);
  return { stretches: await siteStretches(ctx.tx, input.sites) };
};
