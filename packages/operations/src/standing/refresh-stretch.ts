import { mayBeLost, sitesOfStretch, type SiteStretch } from '@bellround/database';
import type { BulkAct } from '../perform.js';
import { noteBulk } from '../programmes/steps.js';
import { refreshSites, type Refreshed, type RefreshHow } from './steps.js';

/** Refreshes the sites of one stretch, or (`how` turned) those of its duties that the calendar turned. Run again it changes nothing. */
export const refreshStretch: BulkAct<SiteStretch & { how: RefreshHow }, Refreshed> = async (ctx, input) => {
  await mayBeLost(ctx.bulk);
  const siteIds = await sitesOfStretch(ctx.bulk, input, input.how === 'turned' ? ctx.now : null);
  const done = await refreshSites({ tx: ctx.bulk, now: ctx.now }, siteIds, input.how);
  if (done.dutiesWritten > 0) await noteBulk(ctx, { act: 'refresh-standing', about: 'standing', id: null, summary: `Windows of ${done.sites} sites recomputed; ${done.dutiesWritten} duties changed` });
  return done;
};
