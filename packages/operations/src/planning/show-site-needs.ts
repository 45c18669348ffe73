import type { SiteNeeds } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { siteNeedsOf } from '../rounds-need.js';

/** What coming to a site takes. Throws NotFound. */
export const showSiteNeeds: Act<{ siteId: string }, SiteNeeds> = (ctx, { siteId }) => siteNeedsOf(ctx, siteId);
