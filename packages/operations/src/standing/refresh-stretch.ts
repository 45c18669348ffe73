import { mayBeLost, type SiteStretch } from '@bellround/database';
import type { BulkAct } from '../perform.js';
import { noteBulk } from '../programmes/steps.js';
import { refreshSites, type Refreshed } from './steps.js';

/** Refreshes the sites of one stretch, or the duties that it names. Run again it changes nothing. */
export const refreshStretch: BulkAct<SiteStretch & { rebuild: boolean }, Refreshed> = async (ctx, { sites, duties, rebuild }) => {
  await mayBeLost(ctx.bulk);
  const done = await refreshSites({ tx: ctx.bulk, now: ctx.now }, sites.split(' '), { rebuild, only: duties === null ? null : duties.split(' ') });
  if (done.dutiesWritten > 0) await noteBulk(ctx, { act: 'refresh-standing', about: 'standing', id: null, summary: `Windows of ${done.sites} sites recomputed; ${done.dutiesWritten} duties changed` });
  return done;
};
