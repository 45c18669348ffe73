import type { SiteStanding } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { standingOfSite } from '../reports/steps.js';

/**
 * One site on a day: each duty with its windows and standing, who allowed a pause, deficiencies, visits and attempts. With
 * `knownOn` the windows are computed anew from the records that had been made by the end of that day.
 */
export const siteStanding: Act<{ siteId: string; asOf?: string | undefined; knownOn?: string | undefined }, SiteStanding> = standingOfSite;
