import { refreshStatistics, siteStretches, type SiteStretch } from '@bellround/database';
import type { Act } from '../perform.js';

/** Cuts the fleet into stretches of sites for a sweep: all sites, or (`turned`) those with a duty that the calendar turned. */
export const standingStretches: Act<{ sites: number; turned: boolean }, { stretches: SiteStretch[] }> = async (ctx, input) => {
  // Before a whole run: after an import the planner's idea of the fleet is stale, and stale ideas cost minutes.
  if (!input.turned) await refreshStatistics(ctx.tx);
  return { stretches: await siteStretches(ctx.tx, input.sites, input.turned ? ctx.now : null) };
};
