import { Refusal, type ProgrammeDiffShown, type RuleRow, type SystemChoice } from '@bellround/contracts';
import { writeActivity, writeOutboxJob, type SystemToLay } from '@bellround/database';
import { diffProgrammes, dutiesFor, LIBRARY_CAUTION, programmeSchema, type DutySpec, type InstalledSystem, type Programme, type Rule } from '@bellround/programmes';
import { cadenceInWords, localDate, RecurrenceInputError, type Cadence, type LocalDate } from '@bellround/recurrence';
import type { BulkCtx, Ctx } from '../perform.js';
import { own } from '../steps.js';

/** Up to this many sites get their windows in the same act; beyond, the queue follows. */
export const REFRESH_AT_ONCE = 200;

export function ruleRow(rule: Rule): RuleRow {
  return {
    key: rule.key, title: rule.title, subject: rule.subject, cadence: cadenceInWords(rule.cadence as Cadence), checkKinds: rule.checkKinds, meets: rule.meets, mandated: rule.mandated, by: rule.by,
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
  return programme.caution.includes(LIBRARY_CAUTION) ? programme : { ...programme, caution: `${LIBRARY_CAUTION} ${programme.caution}`.slice(0, 1200) };
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
  return { systemIds: choice.systemIds, siteIds: choice.siteIds, clientId: choice.clientId, kinds: choice.kinds };
}

/** `note` and `later` of a streaming session. */
export async function noteBulk(ctx: BulkCtx, entry: { act: string; about: string; id: string | null; summary: string }): Promise<void> {
  await writeActivity(ctx.bulk, { id: ctx.newId(), at: ctx.now, actorId: ctx.who.userId, actorName: ctx.who.name, act: entry.act, subjectKind: entry.about, subjectId: entry.id, summary: entry.summary });
}

export async function fleetRefreshLater(ctx: BulkCtx): Promise<void> {
  await writeOutboxJob(ctx.bulk, 'fleet-refresh', own(ctx), ctx.now);
}
