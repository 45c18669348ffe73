import { nextSites, refreshStatistics } from '@bellround/database';
import type { Act } from '../perform.js';
import { note } from '../steps.js';
import { refreshSites, type Refreshed } from './steps.js';

/**
 * Refreshes the next `limit` sites after `afterSiteId`, all of them or only those whose windows the calendar has changed.
 * Called until `next` is null, each call an act of its own, so that a fleet of any size needs neither one long transaction
 * nor much memory. `rebuild` compares with the tables themselves. A run broken off anywhere and begun again ends the same.
 */
export const refreshCompanyStanding: Act<{ afterSiteId: string | null; limit: number; staleOnly?: boolean; rebuild?: boolean }, Refreshed & { next: string | null }> = async (ctx, input) => {
  // the first batch of a whole run: after an import the planner's idea of the fleet is stale, and stale ideas cost minutes
  if (input.afterSiteId === null && !input.staleOnly) await refreshStatistics(ctx.tx);
  const siteIds = await nextSites(ctx.tx, input.afterSiteId, input.limit, input.staleOnly ?? false, ctx.now);
  const done = await refreshSites(ctx, siteIds, input.rebuild ? 'rebuild' : input.staleOnly ? 'turned' : 'changed');
  if (done.dutiesWritten > 0) await note(ctx, { act: 'refresh-standing', about: 'standing', summary: `Windows of ${done.sites} sites recomputed; ${done.dutiesWritten} duties changed` });
  return { ...done, next: siteIds.length < input.limit ? null : siteIds.at(-1) ?? null };
};
