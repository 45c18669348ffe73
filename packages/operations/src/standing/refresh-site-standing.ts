import type { Act } from '../perform.js';
import { note } from '../steps.js';
import { refreshSite, type Refreshed } from './steps.js';

/** Refreshes one site's windows and credits. */
export const refreshSiteStanding: Act<{ siteId: string }, Refreshed> = async (ctx, input) => {
  const done = await refreshSite(ctx, input.siteId);
  if (done.dutiesWritten > 0) {
    await note(ctx, { act: 'refresh-standing', about: 'standing', siteId: input.siteId, summary: `Standing recomputed: ${done.dutiesWritten} duties, ${done.windowsWritten} windows, ${done.creditsWritten} credits` });
  }
  return done;
};
