import type { SiteReport } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { reportOfSite } from './steps.js';

/** One site's report, for a door that makes a paper of it. */
export const siteReport: Act<{ siteId: string; asOf?: string | undefined; months: number }, SiteReport> = reportOfSite;
