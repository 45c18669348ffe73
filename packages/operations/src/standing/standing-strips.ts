import type { SiteStrips, StripsAsked } from '@bellround/contracts';
import { blackoutFacts } from '@bellround/database';
import type { Act } from '../perform.js';
import { stripLanes, stripStretch } from '../reports/steps.js';
import { asOfDay } from './steps.js';

/** Proof strips of some sites, in the order asked: what comes into sight of a scrolling list. Unknown ids have no lanes. */
export const standingStrips: Act<StripsAsked, SiteStrips> = async (ctx, input) => {
  const { asOf } = await asOfDay(ctx, input.asOf);
  const lanes = await stripLanes(ctx.tx, input.siteIds, asOf);
  const pauses = (await blackoutFacts(ctx.tx, input.siteIds)).filter((row) => row.kind === 'suspended');
  return {
    asOf, ...stripStretch(asOf),
    sites: input.siteIds.map((siteId) => ({ siteId, lanes: lanes.get(siteId) ?? [], pauses: pauses.filter((row) => row.siteId === siteId).map(({ from, to, authority }) => ({ from, to, by: authority })) })),
  };
};
