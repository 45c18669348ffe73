import { Refusal, type ProgrammeRetired, type RetireProgramme, type RuleCount } from '@bellround/contracts';
import { applicationsToEnd, endApplications, programmeBodies, type EndingApplication } from '@bellround/database';
import type { Programme } from '@bellround/programmes';
import type { BulkAct } from '../perform.js';
import { refreshSites } from '../standing/steps.js';
import { filterOf, fleetRefreshLater, givenDay, NAMED_SYSTEMS, noteBulk, REFRESH_AT_ONCE } from './steps.js';

/**
 * Ends a programme's version on systems after `lastDay`, or only counts (dryRun): what is removed rule by rule, what the same
 * systems still owe under other programmes, and which of them would owe nothing. What was owed until then stays judged.
 */
export const retireProgramme: BulkAct<RetireProgramme, ProgrammeRetired> = async (ctx, input) => {
  const [row] = await programmeBodies(ctx.bulk, [input.programmeId]);
  if (!row) throw new Refusal('NotFound', 'There is no programme by that id.');
  const lastDay = givenDay(input.lastDay, 'lastDay');
  const ending = await applicationsToEnd(ctx.bulk, input.programmeId, filterOf(input.systems), lastDay);
  const sites = [...new Set(ending.map((one) => one.siteId))];
  const byRule = removedByRule(ending);
  const removed = byRule.reduce((sum, rule) => sum + rule.removed, 0);
  const kept = [...new Map(ending.map((one) => [one.systemId, one.otherDuties])).values()].reduce((sum, duties) => sum + duties, 0);
  const bare = [...new Map(ending.filter((one) => one.otherDuties === 0).map((one) => [one.systemId, one])).values()];
  const standingReady = !input.dryRun && sites.length <= REFRESH_AT_ONCE;
  if (!input.dryRun && ending.length > 0) {
    await endApplications(ctx.bulk, ending.map((one) => one.id), lastDay);
    if (standingReady) await refreshSites({ tx: ctx.bulk, now: ctx.now }, sites);
    else await fleetRefreshLater(ctx);
    await noteBulk(ctx, { act: 'retire-programme', about: 'programme', id: input.programmeId, summary: `${(row.body as Programme).title} ended on ${ending.length} systems after ${lastDay}: ${removed} duties removed; ${bare.length} systems owe nothing from then on` });
  }
  return {
    dryRun: input.dryRun, lastDay, systems: new Set(ending.map((one) => one.systemId)).size, sites: sites.length, duties: { added: 0, moved: 0, removed, kept }, byRule, standingReady,
    bare: bare.length, bareSystems: bare.slice(0, NAMED_SYSTEMS).map(({ systemId, systemName, siteId, siteName }) => ({ systemId, systemName, siteId, siteName })),
  };
};

function removedByRule(ending: readonly EndingApplication[]): RuleCount[] {
  const rules = new Map<string, RuleCount>();
  for (const { ruleKey, title, duties } of ending.flatMap((one) => one.rules)) {
    const held = rules.get(ruleKey);
    if (held) held.removed += duties;
    else rules.set(ruleKey, { ruleKey, title, added: 0, moved: 0, removed: duties, kept: 0 });
  }
  return [...rules.values()];
}
