import { Refusal, type ProgrammeApplied, type ProgrammeDiffShown, type RuleRow, type SystemChoice } from '@bellround/contracts';
import {
  endApplications, endDuties, insertApplications, insertDuties, liveDuties, systemsToLay, writeActivity, writeOutboxJob,
  type LiveDuty, type NewApplication, type NewDuty, type SystemFilter, type SystemToLay,
} from '@bellround/database';
import { checkDefinition, diffProgrammes, dutiesFor, LIBRARY_CAUTION, programmeSchema, ruleFits, type DutySpec, type InstalledSystem, type Programme, type Rule } from '@bellround/programmes';
import { addDays, cadenceInWords, localDate, RecurrenceInputError, type Cadence, type LocalDate } from '@bellround/recurrence';
import type { BulkCtx, Ctx } from '../perform.js';
import { own } from '../steps.js';

/** Up to this many sites get their windows in the same act; beyond, the queue follows. */
export const REFRESH_AT_ONCE = 200;

export function ruleRow(rule: Rule): RuleRow {
  return {
    key: rule.key, title: rule.title, subject: rule.subject, cadenceKind: rule.cadence.kind, cadence: cadenceInWords(rule.cadence as Cadence), checkKinds: rule.checkKinds, meets: rule.meets, mandated: rule.mandated, by: rule.by,
    minutes: rule.minutes, skills: rule.skills, licences: rule.licences, remotely: rule.remotely, sounds: rule.sounds, minEvidence: rule.minEvidence,
    clause: rule.source.clause, provenance: rule.source.provenance,
  };
}

export function programmeSummary(programme: Programme) {
  return {
    key: programme.key, version: programme.version, title: programme.title, regimeKind: programme.regime.kind, regime: programme.regime.name, edition: programme.regime.edition,
    systemKinds: [...programme.systemKinds], caution: programme.caution, source: programme.source, checkedOn: programme.checkedOn, rules: programme.rules.map(ruleRow),
  };
}

const inWords = (value: unknown): string => (value === undefined || value === null ? 'nothing' : typeof value === 'string' ? value
  : isCadence(value) ? cadenceInWords(value) : Array.isArray(value) ? value.map(inWords).join(', ') || 'nothing' : typeof value === 'object' ? JSON.stringify(value) : String(value));

function isCadence(value: unknown): value is Cadence {
  return typeof value === 'object' && value !== null && 'kind' in value && !Array.isArray(value) && !('name' in value);
}

export function diffShown(before: Programme, after: Programme): ProgrammeDiffShown {
  const diff = diffProgrammes(before, after);
  return {
    added: diff.added.map((rule) => rule.title), removed: diff.removed.map((rule) => rule.title), moves: [...diff.moves],
    changed: diff.changed.map((change) => ({ ruleKey: change.ruleKey, part: change.part, before: inWords(change.before), after: inWords(change.after) })),
  };
}

/** Checks a programme's body as it came from outside. The library's caution always stands first. Throws BadInput naming each part. */
export function checkedProgramme(body: unknown): Programme {
  const given = programmeSchema.safeParse(body);
  if (!given.success) {
    throw new Refusal('BadInput', `The programme is not as it should be: ${given.error.issues[0]?.message ?? 'see errors'}.`,
      { errors: given.error.issues.slice(0, 50).map((issue) => ({ path: `body.${issue.path.map(String).join('.')}`, message: issue.message })) });
  }
  const programme = given.data;
  // A check that sounds makes its duty sound, whatever was entered: noise hours and cautions hang on it.
  const rules = programme.rules.map((rule) => (rule.sounds || !rule.checkKinds.some((kind) => checkDefinition(kind)?.sounds === true) ? rule : { ...rule, sounds: true }));
  const unfit = rules.flatMap((rule, at) => ruleFits(rule).map((message) => ({ path: `body.rules.${at}.checkKinds`, message })));
  if (unfit.length > 0) throw new Refusal('BadInput', `The programme is not as it should be: ${unfit[0]!.message}.`, { errors: unfit.slice(0, 50) });
  const caution = programme.caution.includes(LIBRARY_CAUTION) ? programme.caution : `${LIBRARY_CAUTION} ${programme.caution}`.slice(0, 1200);
  return { ...programme, rules, caution };
}

export async function programmeById(ctx: Pick<Ctx, 'tx' | 'who'>, programmeId: string) {
  const row = await ctx.tx.db.programme.findUnique({ where: { companyId_id: { ...own(ctx), id: programmeId } } });
  if (!row) throw new Refusal('NotFound', 'There is no programme by that id.');
  return { ...row, body: row.body as unknown as Programme };
}

/** As a date of the engine, or BadInput that names the field. */
export function givenDay(text: string, path: string): LocalDate {
  try {
    return localDate(text, path);
  } catch (error) {
    if (error instanceof RecurrenceInputError) throw new Refusal('BadInput', error.message, { errors: [{ path, message: error.message }] });
    throw error;
  }
}

export function installed(system: SystemToLay): InstalledSystem {
  return {
    id: system.id, siteId: system.siteId, kind: system.kind as InstalledSystem['kind'], grade: system.grade, installedOn: system.installedOn as LocalDate | null, monitored: system.monitored,
    devices: (system.devices ?? []) as unknown as InstalledSystem['devices'], paths: (system.paths ?? []) as unknown as InstalledSystem['paths'],
    batteries: (system.batteries ?? []) as unknown as InstalledSystem['batteries'],
  };
}

/** What becomes of one system when a programme is laid on it from a day on. */
export type Laying =
  | { kind: 'skip'; reason: string }
  /** newly, or in place of an older version (`ends`) */
  | { kind: 'lay'; ends: string | null; specs: DutySpec[] }
  /** the same version stands on it: what was fitted or taken away since is brought up to date */
  | { kind: 'update'; applicationId: string; specs: DutySpec[] };

export function layingOf(programmeId: string, programme: Programme, system: SystemToLay, from: LocalDate): Laying {
  const skip = (reason: string): Laying => ({ kind: 'skip', reason });
  const { application } = system;
  if (!programme.systemKinds.includes(system.kind as never)) return skip(`is a system of kind ${system.kind}; the programme is for ${programme.systemKinds.join(', ')}`);
  if (system.retiredOn !== null && system.retiredOn <= from) return skip('the system was retired before that day');
  if (system.siteClosedOn !== null && system.siteClosedOn <= from) return skip('the site was closed before that day');
  if (application && application.validFrom > from) return skip(`version ${application.version} begins on a later day already; retire that first`);
  const specs = dutiesFor(programme, installed(system), from);
  if (application?.programmeId === programmeId) return { kind: 'update', applicationId: application.id, specs };
  if (specs.length === 0) return skip('nothing is installed that a rule of the programme means');
  if (application && application.validFrom === from) return skip(`version ${application.version} begins on the same day; choose a later day`);
  return { kind: 'lay', ends: application?.id ?? null, specs };
}

/** Filter of the queries out of what was asked. */
export function filterOf(choice: SystemChoice) {
  return { systemIds: choice.systemIds, siteIds: choice.siteIds, clientId: choice.clientId, kinds: choice.kinds, laidOnly: choice.laidOnly };
}

/** `note` and `later` of a streaming session. */
export async function noteBulk(ctx: BulkCtx, entry: { act: string; about: string; id: string | null; summary: string }): Promise<void> {
  await writeActivity(ctx.bulk, { id: ctx.newId(), at: ctx.now, actorId: ctx.who.userId, actorName: ctx.who.name, act: entry.act, subjectKind: entry.about, subjectId: entry.id, summary: entry.summary });
}

export async function fleetRefreshLater(ctx: BulkCtx): Promise<void> {
  await writeOutboxJob(ctx.bulk, 'fleet-refresh', own(ctx), ctx.now);
}

// ── laying a programme, batch by batch ─────────────────────────────────────

const SYSTEMS_AT_ONCE = 1000;
/** Systems that an answer names at most. */
export const NAMED_SYSTEMS = 200;

/** What one batch of systems writes. */
interface Batch { applications: NewApplication[]; duties: NewDuty[]; endApplications: string[]; endDuties: string[] }

export interface Tally extends Omit<ProgrammeApplied, 'sites' | 'byRule' | 'skippedBecause' | 'standingReady'> {
  siteIds: Set<string>;
  rules: Map<string, { title: string; duties: number; minutes: number; added: number; moved: number; removed: number; kept: number }>;
  reasons: Map<string, number>;
}

const keyOf = (duty: { ruleKey: string; subjectId: string }): string => `${duty.ruleKey} ${duty.subjectId}`;

/** Cadences as text that is the same for the same cadence, whatever the order of its parts. */
function cadenceText(value: unknown): string {
  if (value === null || typeof value !== 'object') return JSON.stringify(value) ?? '';
  if (Array.isArray(value)) return `[${value.map(cadenceText).join(',')}]`;
  return `{${Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)).map(([name, part]) => `${name}:${cadenceText(part)}`).join(',')}}`;
}

/** The count of one rule; a rule that is gone is called by its key. */
function ruleCount(tally: Tally, ruleKey: string, title?: string) {
  const held = tally.rules.get(ruleKey);
  if (held) return held;
  const fresh = { title: title ?? ruleKey.replaceAll('-', ' '), duties: 0, minutes: 0, added: 0, moved: 0, removed: 0, kept: 0 };
  tally.rules.set(ruleKey, fresh);
  return fresh;
}

function addDuty(ctx: BulkCtx, batch: Batch, tally: Tally, system: SystemToLay, applicationId: string, spec: DutySpec): void {
  const { units: _, ...rest } = spec;
  batch.duties.push({ ...rest, id: ctx.newId(), applicationId, siteId: system.siteId, systemId: system.id });
  if (spec.basisOn === null) tally.duties.cantTell += 1;
  const rule = ruleCount(tally, spec.ruleKey, spec.title);
  rule.duties += 1;
  rule.minutes += spec.minutes;
}

function skip(tally: Tally, system: SystemToLay, reason: string): void {
  tally.skipped += 1;
  tally.reasons.set(reason, (tally.reasons.get(reason) ?? 0) + 1);
  if (tally.skippedSystems.length < NAMED_SYSTEMS) tally.skippedSystems.push({ systemId: system.id, systemName: system.name, siteId: system.siteId, siteName: system.siteName, reason });
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
    const moved = new Set(laying.kind === 'update' ? [] : same.filter((spec) => cadenceText(before.get(keyOf(spec))?.cadence) !== cadenceText(spec.cadence)));
    tally.systems += 1;
    tally.siteIds.add(system.siteId);
    tally.duties.added += fresh.length;
    tally.duties.moved += moved.size;
    tally.duties.kept += same.length - moved.size;
    tally.duties.removed += gone.length;
    for (const spec of fresh) ruleCount(tally, spec.ruleKey, spec.title).added += 1;
    for (const spec of same) ruleCount(tally, spec.ruleKey, spec.title)[moved.has(spec) ? 'moved' : 'kept'] += 1;
    for (const duty of gone) ruleCount(tally, duty.ruleKey, duty.title).removed += 1;
    const applicationId = laying.kind === 'update' ? laying.applicationId : ctx.newId();
    if (laying.kind === 'lay') batch.applications.push({ id: applicationId, systemId: system.id });
    if (laying.kind === 'lay' && laying.ends !== null) batch.endApplications.push(laying.ends);
    if (laying.kind === 'update') batch.endDuties.push(...gone.map((duty) => duty.id));
    for (const spec of laying.kind === 'update' ? fresh : laying.specs) addDuty(ctx, batch, tally, system, applicationId, spec);
  }
  return batch;
}

export function emptyTally(dryRun: boolean, from: LocalDate): Tally {
  return { dryRun, from, systems: 0, duties: { added: 0, moved: 0, removed: 0, kept: 0, cantTell: 0 }, skipped: 0, skippedSystems: [], siteIds: new Set(), rules: new Map(), reasons: new Map() };
}

/** Lays a programme on all systems that the filter lets through, in batches; memory does not grow with the fleet. */
export async function layOnAll(ctx: BulkCtx, input: { programmeId: string; programme: Programme; from: LocalDate; filter: Omit<SystemFilter, 'programmeKey'> }, tally: Tally): Promise<void> {
  const { programmeId, programme, from } = input;
  for (let after: string | null = null; ;) {
    const systems: SystemToLay[] = await systemsToLay(ctx.bulk, { ...input.filter, programmeKey: programme.key }, from, after, SYSTEMS_AT_ONCE);
    const applied = systems.flatMap((system) => (system.application ? [system.application.id] : []));
    const held = new Map<string, LiveDuty[]>();
    for (const duty of applied.length === 0 ? [] : await liveDuties(ctx.bulk, applied, from)) {
      const list = held.get(duty.applicationId);
      if (list) list.push(duty);
      else held.set(duty.applicationId, [duty]);
    }
    const batch = layBatch(ctx, { programmeId, programme, from }, systems, held, tally);
    if (!tally.dryRun) await write(ctx, programmeId, from, batch);
    if (systems.length < SYSTEMS_AT_ONCE) return;
    after = systems.at(-1)!.id;
  }
}

async function write(ctx: BulkCtx, programmeId: string, from: LocalDate, batch: Batch): Promise<void> {
  const dayBefore = addDays(from, -1);
  if (batch.endApplications.length > 0) await endApplications(ctx.bulk, batch.endApplications, dayBefore);
  if (batch.endDuties.length > 0) await endDuties(ctx.bulk, batch.endDuties, dayBefore);
  if (batch.applications.length > 0) await insertApplications(ctx.bulk, programmeId, from, ctx.now, ctx.who.userId, batch.applications);
  if (batch.duties.length > 0) await insertDuties(ctx.bulk, from, batch.duties);
}
