import { Refusal, type ProgrammeRetired, type RetireProgramme } from '@bellround/contracts';
import { applicationsToEnd, endApplications, programmeBodies } from '@bellround/database';
import type { Programme } from '@bellround/programmes';
import type { BulkAct } from '../perform.js';
import { refreshSites } from '../standing/steps.js';
import { filterOf, fleetRefreshLater, givenDay, noteBulk, REFRESH_AT_ONCE } from './steps.js';

/** Ends a programme's version on systems after `lastDay`, or only counts (dryRun). What was owed until then stays judged. */
export const retireProgramme: BulkAct<RetireProgramme, ProgrammeRetired> = async (ctx, input) => {
  const [row] = await programmeBodies(ctx.bulk, [input.programmeId]);
  if (!row) throw new Refusal('NotFound', 'There is no programme by that id.');
  const lastDay = givenDay(input.lastDay, 'lastDay');
  const ending = await applicationsToEnd(ctx.bulk, input.programmeId, filterOf(input.systems), lastDay);
  const sites = [...new Set(ending.map((one) => one.siteId))];
  const duties = ending.reduce((sum, one) => sum + one.duties, 0);
  const standingReady = !input.dryRun && sites.length <= REFRESH_AT_ONCE;
  if (!input.dryRun && ending.length > 0) {
    await endApplications(ctx.bulk, ending.map((one) => one.id), lastDay);
    if (standingReady) await refreshSites({ tx: ctx.bulk, now: ctx.now }, sites);
    else await fleetRefreshLater(ctx);
    await noteBulk(ctx, { act: 'retire-programme', about: 'programme', id: input.programmeId, summary: `${(row.body as Programme).title} ended on ${ending.length} systems after ${lastDay}: ${duties} duties` });
  }
  return { dryRun: input.dryRun, lastDay, systems: ending.length, sites: sites.length, duties, standingReady };
};
