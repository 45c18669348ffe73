import { Refusal, type ApplyProgramme, type ProgrammeApplied } from '@bellround/contracts';
import { programmeBodies } from '@bellround/database';
import type { Programme } from '@bellround/programmes';
import type { BulkAct } from '../perform.js';
import { refreshSites } from '../standing/steps.js';
import { emptyTally, filterOf, fleetRefreshLater, givenDay, layOnAll, noteBulk, REFRESH_AT_ONCE } from './steps.js';

/**
 * Lays a programme on systems from a day on, or only counts what that would do (dryRun). An older version of the same
 * programme ends the day before and keeps judging its past. Laying the same version again brings the duties up to date with
 * what was fitted or removed since, and otherwise changes nothing. Works in batches: memory does not grow with the fleet.
 */
export const applyProgramme: BulkAct<ApplyProgramme, ProgrammeApplied> = async (ctx, input) => {
  const [row] = await programmeBodies(ctx.bulk, [input.programmeId]);
  if (!row) throw new Refusal('NotFound', 'There is no programme by that id.');
  const programme = row.body as Programme;
  const from = givenDay(input.from, 'from');
  const tally = emptyTally(input.dryRun, from);
  await layOnAll(ctx, { programmeId: input.programmeId, programme, from, filter: filterOf(input.systems) }, tally);
  const sites = [...tally.siteIds];
  const standingReady = !input.dryRun && sites.length <= REFRESH_AT_ONCE;
  if (!input.dryRun && sites.length > 0) {
    if (standingReady) await refreshSites({ tx: ctx.bulk, now: ctx.now }, sites);
    else await fleetRefreshLater(ctx);
    await noteBulk(ctx, { act: 'apply-programme', about: 'programme', id: input.programmeId, summary: `${programme.title} (version ${programme.version}) laid on ${tally.systems} systems from ${from}: ${tally.duties.added} duties added, ${tally.duties.moved} moved, ${tally.duties.removed} removed` });
  }
  return {
    dryRun: tally.dryRun, from, systems: tally.systems, sites: sites.length, duties: tally.duties, skipped: tally.skipped, skippedSystems: tally.skippedSystems, standingReady,
    byRule: [...tally.rules].map(([ruleKey, rule]) => ({ ruleKey, ...rule })),
    skippedBecause: [...tally.reasons].map(([reason, systems]) => ({ reason, systems })).sort((a, b) => b.systems - a.systems),
  };
};
