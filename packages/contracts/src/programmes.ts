import { z } from 'zod';
import { Id, Instant, LocalDay, PageInput, QueryFlag, pageOf } from './basics.js';
import { route } from './route.js';

/** One rule of a programme as screens show it; the full rule is in the programme's body. */
export const RuleRow = z.object({
  key: z.string(), title: z.string(), subject: z.string(), cadenceKind: z.string(), cadence: z.string(), checkKinds: z.array(z.string()), meets: z.string(), mandated: z.boolean(), by: z.string(),
  minutes: z.int(), skills: z.array(z.string()), licences: z.array(z.string()), remotely: z.boolean(), sounds: z.boolean(), minEvidence: z.string(),
  clause: z.string(), provenance: z.string(),
});
export type RuleRow = z.infer<typeof RuleRow>;

const summary = {
  key: z.string(), version: z.int(), title: z.string(), regimeKind: z.string(), regime: z.string(), edition: z.string(), systemKinds: z.array(z.string()),
  caution: z.string(), source: z.string(), checkedOn: LocalDay.nullable(), rules: z.array(RuleRow),
};

export const LibraryProgramme = z.object({ ...summary, adoptedId: Id.nullable(), adoptedVersion: z.int().nullable() });
export type LibraryProgramme = z.infer<typeof LibraryProgramme>;

export const ProgrammeRow = z.object({
  id: Id, key: z.string(), version: z.int(), title: z.string(), regime: z.string(), systemKinds: z.array(z.string()), ruleCount: z.int(), createdAt: Instant,
  latest: z.boolean(), systems: z.int(), duties: z.int(),
});
export type ProgrammeRow = z.infer<typeof ProgrammeRow>;

/** What one version does to the rules of the one before. */
export const ProgrammeDiffShown = z.object({
  added: z.array(z.string()), removed: z.array(z.string()), moves: z.array(z.string()),
  changed: z.array(z.object({ ruleKey: z.string(), part: z.string(), before: z.string(), after: z.string() })),
});
export type ProgrammeDiffShown = z.infer<typeof ProgrammeDiffShown>;

export const ProgrammeShown = z.object({
  ...summary, id: Id, createdAt: Instant, systems: z.int(), duties: z.int(),
  /** the whole programme, to be edited and saved as a new version */
  body: z.looseObject({}),
  versions: z.array(z.object({ id: Id, version: z.int(), createdAt: Instant })),
  changes: ProgrammeDiffShown.nullable(),
});
export type ProgrammeShown = z.infer<typeof ProgrammeShown>;

export const AdoptProgramme = z.strictObject({ id: Id, libraryKey: z.string().min(1).max(80) });
export const SaveProgramme = z.strictObject({
  id: Id,
  /** packages/programmes checks it; its version is given by the house */
  body: z.looseObject({}),
  /** the version this was edited from; refused when a newer one exists */
  basedOn: Id.nullable().default(null),
  dryRun: z.boolean().default(false),
});
export type SaveProgramme = z.infer<typeof SaveProgramme>;
export const ProgrammeSaved = z.object({ id: Id, key: z.string(), version: z.int(), dryRun: z.boolean(), changes: ProgrammeDiffShown.nullable() });
export type ProgrammeSaved = z.infer<typeof ProgrammeSaved>;

/** Which systems: all that fit, or these; narrowed by client where given. */
export const SystemChoice = z.strictObject({
  systemIds: z.array(Id).min(1).max(5000).optional(), siteIds: z.array(Id).min(1).max(5000).optional(), clientId: Id.optional(),
  kinds: z.array(z.enum(['intrusion', 'fire', 'panic', 'co', 'environmental'])).min(1).optional(),
  /** only systems on which a version of the same programme is laid: a change of those, and no new ones */
  laidOnly: z.boolean().optional(),
});
export type SystemChoice = z.infer<typeof SystemChoice>;

export const ApplyProgramme = z.strictObject({
  programmeId: Id, systems: SystemChoice.default({}),
  /** first day on which the duties are owed */
  from: LocalDay,
  dryRun: z.boolean().default(false),
});
export type ApplyProgramme = z.infer<typeof ApplyProgramme>;

/** Duties of one rule that a change adds, moves (other dates), removes or leaves. */
const RuleCount = z.object({ ruleKey: z.string(), title: z.string(), added: z.int(), moved: z.int(), removed: z.int(), kept: z.int() });
export type RuleCount = z.infer<typeof RuleCount>;

export const SkippedSystem = z.object({ systemId: Id, systemName: z.string(), siteId: Id, siteName: z.string(), reason: z.string() });
export const ProgrammeApplied = z.object({
  dryRun: z.boolean(), from: LocalDay,
  /** systems on which it is laid, newly or in a new version or for parts added since */
  systems: z.int(), sites: z.int(),
  duties: z.object({
    added: z.int(),
    /** owed before under another version, with other dates now */
    moved: z.int(), removed: z.int(), kept: z.int(),
    /** of those added or moved: nothing is known to count from, so they begin as can't tell */
    cantTell: z.int(),
  }),
  /** what becomes of the fleet's duties, rule by rule; `duties` and `minutes` are of those owed newly or anew */
  byRule: z.array(RuleCount.extend({ duties: z.int(), minutes: z.int() })),
  skipped: z.int(),
  skippedBecause: z.array(z.object({ reason: z.string(), systems: z.int() })),
  /** at most 200 of them by name */
  skippedSystems: z.array(SkippedSystem),
  /** false: the windows follow in the background */
  standingReady: z.boolean(),
});
export type ProgrammeApplied = z.infer<typeof ProgrammeApplied>;

export const RetireProgramme = z.strictObject({
  programmeId: Id, systems: SystemChoice.default({}),
  /** last day on which the duties are owed; what was owed until then stays in the history */
  lastDay: LocalDay, dryRun: z.boolean().default(false),
});
export type RetireProgramme = z.infer<typeof RetireProgramme>;
export const ProgrammeRetired = z.object({
  dryRun: z.boolean(), lastDay: LocalDay, systems: z.int(), sites: z.int(),
  duties: z.object({
    /** retiring adds and moves nothing: 0, said so that the count reads as that of laying */
    added: z.int(), moved: z.int(), removed: z.int(),
    /** owed by the same systems under other programmes after the last day */
    kept: z.int(),
  }),
  byRule: z.array(RuleCount),
  /** systems that owe nothing at all after the last day; at most 200 by name */
  bare: z.int(), bareSystems: z.array(z.object({ systemId: Id, systemName: z.string(), siteId: Id, siteName: z.string() })),
  standingReady: z.boolean(),
});
export type ProgrammeRetired = z.infer<typeof ProgrammeRetired>;

export const ApplicationRow = z.object({
  applicationId: Id, systemId: Id, systemName: z.string(), systemKind: z.string(), siteId: Id, siteName: z.string(), clientName: z.string(),
  version: z.int(), validFrom: LocalDay, validTo: LocalDay.nullable(), duties: z.int(),
});
export type ApplicationRow = z.infer<typeof ApplicationRow>;

/** One occurrence of a duty as the proof strip draws it. */
export const WindowShown = z.object({
  n: z.int(), opens: LocalDay, due: LocalDay, lapses: LocalDay, governsFrom: LocalDay, governsTo: LocalDay.nullable(), metOn: LocalDay.nullable(), metBy: Id.nullable(),
  outcome: z.enum(['on-time', 'late', 'missed']).nullable(), lateDays: z.int(), carried: z.enum(['proven', 'lapsed', 'cant-tell']), why: z.string(),
});
export type WindowShown = z.infer<typeof WindowShown>;

/** A check of a duty's subject: credited, or why not. */
export const DutyCheckRow = z.object({
  checkId: Id, checkKind: z.string(), performedOn: LocalDay, verdict: z.string(), evidence: z.string(), source: z.string(), by: z.string().nullable(), subject: z.string(),
  credited: z.boolean(),
  /** number of the window it met; null when it met none */
  metWindow: z.int().nullable(), words: z.string(),
});
export type DutyCheckRow = z.infer<typeof DutyCheckRow>;

export const DutyShown = z.object({
  id: Id, title: z.string(), regime: z.string(), mandated: z.boolean(), standing: z.string(), asOf: LocalDay,
  siteId: Id, siteName: z.string(), systemId: Id, systemName: z.string(), subjectKind: z.string(), subjectId: Id, subject: z.string(),
  cadence: z.string(), why: z.string(), basisOn: LocalDay.nullable(), validFrom: LocalDay, validTo: LocalDay.nullable(),
  checkKinds: z.array(z.string()), meets: z.string(), minutes: z.int(), skills: z.array(z.string()), licences: z.array(z.string()), remotely: z.boolean(), sounds: z.boolean(),
  minEvidence: z.string(), by: z.string(), clause: z.string(), provenance: z.string(), caution: z.string(),
  programmeId: Id, programmeTitle: z.string(), programmeVersion: z.int(),
  windows: z.array(WindowShown), checks: z.array(DutyCheckRow),
  /** what is owed on return from a suspension */
  onReturn: z.enum(['continue', 'check']),
  /** a share of a population: this period's part of it, by name */
  share: z.object({ periodFrom: LocalDay, periodTo: LocalDay, cycleFrom: LocalDay, cycleTo: LocalDay, units: z.int(), needed: z.int(), done: z.array(z.string()), next: z.array(z.string()) }).nullable(),
});
export type DutyShown = z.infer<typeof DutyShown>;

export const programmesRoutes = {
  programmeLibrary: route({ name: 'programmeLibrary', method: 'GET', path: '/api/programme-library', summary: 'Programmes that ship, each with its source and caution', may: 'read', input: z.strictObject({}), output: z.object({ caution: z.string(), rows: z.array(LibraryProgramme) }) }),
  listProgrammes: route({ name: 'listProgrammes', method: 'GET', path: '/api/programmes', summary: 'Programmes this company adopted, by version', may: 'read', input: z.strictObject({ search: z.string().trim().max(200).optional(), allVersions: QueryFlag.default(false) }), output: z.object({ rows: z.array(ProgrammeRow) }) }),
  showProgramme: route({ name: 'showProgramme', method: 'GET', path: '/api/programmes/:programmeId', summary: 'One version of a programme, its rules and what it changed', may: 'read', input: z.strictObject({ programmeId: Id }), output: ProgrammeShown, problems: ['NotFound'] }),
  adoptProgramme: route({ name: 'adoptProgramme', method: 'POST', path: '/api/programmes/adopt', summary: 'Adopt a programme of the library as it stands', may: 'plan', input: AdoptProgramme, output: ProgrammeSaved, problems: ['NotFound', 'IdReused'] }),
  saveProgramme: route({ name: 'saveProgramme', method: 'POST', path: '/api/programmes', summary: 'Save an edited programme as a new version, or only show what it would change', may: 'plan', input: SaveProgramme, output: ProgrammeSaved, problems: ['BadInput', 'NotFound', 'IdReused', 'Stale'] }),
  applyProgramme: route({ name: 'applyProgramme', method: 'POST', path: '/api/programmes/:programmeId/apply', summary: 'Lay a programme on systems from a day on; with dryRun only count what would happen', may: 'plan', input: ApplyProgramme, output: ProgrammeApplied, problems: ['NotFound', 'BadInput'] }),
  retireProgramme: route({ name: 'retireProgramme', method: 'POST', path: '/api/programmes/:programmeId/retire', summary: 'End a programme on systems after a day; its history stays', may: 'plan', input: RetireProgramme, output: ProgrammeRetired, problems: ['NotFound'] }),
  programmeSystems: route({ name: 'programmeSystems', method: 'GET', path: '/api/programmes/:programmeId/systems', summary: 'Systems on which a programme is laid', may: 'read', input: PageInput.extend({ programmeId: Id }), output: pageOf(ApplicationRow), problems: ['NotFound'] }),
  showDuty: route({ name: 'showDuty', method: 'GET', path: '/api/duties/:dutyId', summary: 'One duty: its windows, why each lies where it lies, and the checks credited or not', may: 'read', input: z.strictObject({ dutyId: Id, asOf: LocalDay.optional() }), output: DutyShown, problems: ['NotFound'] }),
};
