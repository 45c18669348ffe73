import type { SiteDetail } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { siteDetail } from './steps.js';

/** A site with everything installed there and everybody who belongs to it. Throws NotFound. */
export const showSite: Act<{ siteId: string }, SiteDetail> = (ctx, input) => siteDetail(ctx, input.siteId);
