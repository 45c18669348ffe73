import { Refusal, type ApplyProgramme, type ProgrammeApplied } from '@bellround/contracts';
import { endApplications, endDuties, insertApplications, insertDuties, liveDuties, programmeBodies, systemsToLay, type LiveDuty, type NewApplication, type NewDuty, type SystemToLay } from '@bellround/database';
import type { DutySpec, Programme } from '@bellround/programmes';
import { addDays, type LocalDate } from '@bellround/recurrence';
import type { BulkAct, BulkCtx } from '../perform.js';
import { refreshSites } from '../standing/steps.js';
import { filterOf, fleetRefreshLater, givenDay, layingOf, noteBulk, REFRESH_AT_ONCE } from './steps.js';

const SYSTEMS_AT_ONCE = 1000;
const NAMED_SKIPS = 200;

/** What one batch of systems writes. */
interface Batch { applications: NewApplication[]; duties: NewDuty[]; endApplications: string[]; endDuties: string[] }

interface Tally extends Omit<ProgrammeApplied, 'sites' | 'byRule' | 'skippedBecause' | 'standingReady'> {
  siteIds: Set<string>;
  rules: Map<string, { title: string; duties: number; minutes: number }>;
  reasons: Map<string, number>;
}

const keyOf = (duty: { ruleKey: string; subjectId: string }): string => `${duty.ruleKey} ${duty.subjectId}`;

/** Cadences as text that is the same for the same cadence, whatever the order of its parts. */
function cadenceText(value: unknown): string {
  if (value === null || typeof value !== 'object') return JSON.stringify(value) ?? '';
  if (Array.isArray(value)) return `[${value.map(cadenceText).join(',')}]`;
  return `{${Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)).map(([name, part]) => `${name}:${cadenceText(part)}`).join(',')}}`;
}

function addDuty(ctx: BulkCtx, batch: Batch, tally: Tally, system: SystemToLay, applicationId: string, spec: DutySpec): void {
  const { units: _, ...rest } = spec;
  batch.duties.push({ ...rest, id: ctx.newId(), applicationId, siteId: system.siteId, systemId: system.id });
  if (spec.basisOn === null) tally.duties.cantTell += 1;
  const rule = tally.rules.get(spec.ruleKey) ?? { title: spec.title, duties: 0, minutes: 0 };
  tally.rules.set(spec.ruleKey, { ...rule, duties: rule.duties + 1, minutes: rule.minutes + spec.minutes });
}

function skip(tally: Tally, system: SystemToLay, reason: string): void {
  tally.skipped += 1;
  tally.reasons.set(reason, (tally.reasons.get(reason) ?? 0) + 1);
  if (tally.skippedSystems.length < NAMED_SKIPS) tally.skippedSystems.push({ systemId: system.id, systemName: system.name, siteId: system.siteId, siteName: system.siteName, reason });
}

function layBatch(ctx: BulkCtx, input: { programmeId: string; programme: Programme; from: LocalDate }, systems: readonly SystemToLay[], held: ReadonlyMap<string, LiveDuty[]>, tally: Tally): Batch {
  const batch: Batch = { applications: [], duties: [], endApplications: [], endDuties: [] };
  for (const system of systems) {
    const laying = layingOf(input.programmeId, input.programme, system, input.from);
    if (laying.kind === 'skip') {
      skip(tally, system, laying.reason);
      continue;
    }
    const before = new Map((system.application ? held.get(system.application.id) ?? [] : []).map((duty) => [keyOf(duty), duty]));
    const wanted = new Set(laying.specs.map(keyOf));
    const gone = [...before.values()].filter((duty) => !wanted.has(keyOf(duty)));
    const fresh = laying.specs.filter((spec) => !before.has(keyOf(spec)));
    if (laying.kind === 'update' && gone.length + fresh.length === 0) {
      skip(tally, system, `stands on it already, from ${system.application?.validFrom ?? ''}`);
      continue;
    }
    const same = laying.specs.filter((spec) => before.has(keyOf(spec)));
    const moved = laying.kind === 'update' ? [] : same.filter((spec) => cadenceText(before.get(keyOf(spec))?.cadence) !== cadenceText(spec.cadence));
    tally.systems += 1;
    tally.siteIds.add(system.siteId);
    tally.duties.added += fresh.length;
    tally.duties.moved += moved.length;
    tally.duties.kept += same.length - moved.length;
    tally.duties.removed += gone.length;
    const applicationId = laying.kind === 'update' ? laying.applicationId : ctx.newId();
    if (laying.kind === 'lay') batch.applications.push({ id: applicationId, systemId: system.id });
    if (laying.kind === 'lay' && laying.ends !== null) batch.endApplications.push(laying.ends);
    if (laying.kind === 'update') batch.endDuties.push(...gone.map((duty) => duty.id));
    for (const spec of laying.kind === 'update' ? fresh : laying.specs) addDuty(ctx, batch, tally, system, applicationId, spec);
  }
  return batch;
}

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
  const tally: Tally = {
    dryRun: input.dryRun, from, systems: 0, duties: { added: 0, moved: 0, removed: 0, kept: 0, cantTell: 0 }, skipped: 0, skippedSystems: [],
    siteIds: new Set(), rules: new Map(), reasons: new Map(),
  };
  const filter = { programmeKey: programme.key, ...filterOf(input.systems) };
  for (let after: string | null = null; ;) {
    const systems: SystemToLay[] = await systemsToLay(ctx.bulk, filter, from, after, SYSTEMS_AT_ONCE);
    const applied = systems.flatMap((system) => (system.application ? [system.application.id] : []));
    const held = new Map<string, LiveDuty[]>();
    for (const duty of applied.length === 0 ? [] : await liveDuties(ctx.bulk, applied, from)) held.set(duty.applicationId, [...(held.get(duty.applicationId) ?? []), duty]);
    const batch = layBatch(ctx, { programmeId: input.programmeId, programme, from }, systems, held, tally);
    if (!input.dryRun) await write(ctx, input.programmeId, from, batch);
    if (systems.length < SYSTEMS_AT_ONCE) break;
    after = systems.at(-1)!.id;
  }
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

async function write(ctx: BulkCtx, programmeId: string, from: LocalDate, batch: Batch): Promise<void> {
  const dayBefore = addDays(from, -1);
  if (batch.endApplications.length > 0) await endApplications(ctx.bulk, batch.endApplications, dayBefore);
  if (batch.endDuties.length > 0) await endDuties(ctx.bulk, batch.endDuties, dayBefore);
  if (batch.applications.length > 0) await insertApplications(ctx.bulk, programmeId, from, ctx.now, ctx.who.userId, batch.applications);
  if (batch.duties.length > 0) await insertDuties(ctx.bulk, from, batch.duties);
}
