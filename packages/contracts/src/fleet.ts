import { z } from 'zod';
import { Id, Instant, LocalDay, pageOf, PageInput, WeeklyHours } from './basics.js';
import { BLACKOUT_KINDS, CONTACT_ROLES, ENVIRONMENTS } from './fleet-words.js';
import { IMPORT_KIND_NAMES } from './import-kinds.js';
import { route } from './route.js';

// ── import and export ──────────────────────────────────────────────────────

export const ImportKindName = z.enum(IMPORT_KIND_NAMES, { error: `must be one of ${IMPORT_KIND_NAMES.join(', ')}` });
/** Station and day belong to the two lists only: `listedOn` is the day for which the list speaks. */
const ListParts = { station: z.string().trim().max(80).optional(), listedOn: LocalDay.optional() };
export const ImportUpload = z.strictObject({ kind: ImportKindName, runId: Id, fileName: z.string().trim().min(1).max(200), mode: z.enum(['preview', 'keep']), ...ListParts });
export type ImportUpload = z.infer<typeof ImportUpload>;

export const ImportProblemRow = z.object({ row: z.int(), column: z.string(), value: z.string(), problem: z.string(), accepted: z.string() });
export type ImportProblemRow = z.infer<typeof ImportProblemRow>;
/** One upload: what was read, what would change, what is held. `problems` holds the first thousand. */
export const ImportRunRow = z.object({
  id: Id, kind: ImportKindName, fileName: z.string(), state: z.enum(['previewed', 'kept', 'dropped']), startedAt: Instant, endedAt: Instant.nullable(),
  rowsRead: z.int(), rowsGood: z.int(), rowsHeld: z.int(), rowsNew: z.int(), rowsChanged: z.int(), rowsSame: z.int(),
});
export type ImportRunRow = z.infer<typeof ImportRunRow>;
export const ImportRunDetail = ImportRunRow.extend({ problems: z.array(ImportProblemRow), problemsTotal: z.int() });
export type ImportRunDetail = z.infer<typeof ImportRunDetail>;
/** Kinds that can be taken out as a file: all that the fleet and its people are made of. */
export const FleetExport = ImportKindName.exclude(['checks', 'station-list', 'invoice-list']);
export const FLEET_EXPORTS = FleetExport.options;
export const MOST_PROBLEMS_KEPT = 1000;

// ── sites ──────────────────────────────────────────────────────────────────

export const SiteRow = z.object({
  id: Id, key: z.string(), name: z.string(), clientName: z.string(), address: z.string(), locality: z.string().nullable(), occupancy: z.string(),
  timeZone: z.string(), systems: z.array(z.string()), accounts: z.array(z.string()), placed: z.boolean(), closedOn: LocalDay.nullable(),
});
export type SiteRow = z.infer<typeof SiteRow>;

const Contact = z.object({ id: Id, name: z.string(), roles: z.array(z.enum(CONTACT_ROLES)), email: z.string().nullable(), phone: z.string().nullable(), language: z.string().nullable(), validFrom: LocalDay, validTo: LocalDay.nullable() });
const Blackout = z.object({ id: Id, kind: z.enum(BLACKOUT_KINDS), fromDay: LocalDay, toDay: LocalDay.nullable(), reason: z.string(), authority: z.string() });
const Device = z.object({ id: Id, key: z.string(), kind: z.string(), link: z.string(), label: z.string(), room: z.string().nullable(), environment: z.enum(ENVIRONMENTS).nullable(), zone: z.int().nullable(), serial: z.string().nullable(), madeOn: LocalDay.nullable(), madeOnState: z.string(), installedOn: LocalDay.nullable(), removedOn: LocalDay.nullable() });
const Battery = z.object({ id: Id, key: z.string(), label: z.string(), deviceId: Id.nullable(), chemistry: z.string(), ratedMah: z.int().nullable(), nominalMv: z.int().nullable(), madeOn: LocalDay.nullable(), madeOnState: z.string(), fittedOn: LocalDay.nullable(), firstSeenOn: LocalDay.nullable(), removedOn: LocalDay.nullable() });
const Path = z.object({ id: Id, key: z.string(), rank: z.int(), technology: z.string(), label: z.string(), category: z.string().nullable(), supervisionS: z.int().nullable(), contractEndsOn: LocalDay.nullable(), technologyEndsOn: LocalDay.nullable(), removedOn: LocalDay.nullable() });
const System = z.object({
  id: Id, key: z.string(), kind: z.string(), name: z.string(), grade: z.string().nullable(), controlUnit: z.string().nullable(), installedOn: LocalDay.nullable(), retiredOn: LocalDay.nullable(), accountId: Id.nullable(),
  zones: z.array(z.object({ id: Id, number: z.int(), textOurs: z.string(), textPanel: z.string().nullable(), textStation: z.string().nullable() })),
  devices: z.array(Device), batteries: z.array(Battery), paths: z.array(Path),
});
export const SiteDetail = z.object({
  id: Id, key: z.string(), name: z.string(), address: z.string(), locality: z.string().nullable(), postcode: z.string().nullable(), lat: z.number().nullable(), lon: z.number().nullable(),
  timeZone: z.string(), occupancy: z.string(), sleepingRisk: z.boolean(), environment: z.enum(ENVIRONMENTS).nullable(), accessHours: z.array(WeeklyHours), noiseHours: z.array(WeeklyHours).nullable(), accessNotes: z.string().nullable(), notes: z.string().nullable(),
  takenOverOn: LocalDay.nullable(), closedOn: LocalDay.nullable(),
  /** changes with every edit; an edit names the one it was made from */
  version: z.string(),
  client: z.object({ id: Id, key: z.string(), name: z.string(), email: z.string().nullable(), phone: z.string().nullable() }),
  systems: z.array(System),
  accounts: z.array(z.object({ id: Id, station: z.string(), number: z.string(), status: z.string(), validFrom: LocalDay.nullable(), validTo: LocalDay.nullable() })),
  contacts: z.array(Contact), blackouts: z.array(Blackout),
});
export type SiteDetail = z.infer<typeof SiteDetail>;

const Note = z.string().trim().max(2000).nullable();
export const EditSite = z.strictObject({ siteId: Id, version: z.string(), accessHours: z.array(WeeklyHours).max(50), noiseHours: z.array(WeeklyHours).max(50).nullable(), accessNotes: Note, notes: Note, environment: z.enum(ENVIRONMENTS).nullable().optional() });
export type EditSite = z.infer<typeof EditSite>;
export const KeepContact = z.strictObject({
  siteId: Id, id: Id, name: z.string().trim().min(1).max(120), roles: z.array(z.enum(CONTACT_ROLES)), email: z.email({ error: 'must be an e-mail address' }).nullable().default(null),
  phone: z.string().trim().max(40).nullable().default(null), language: z.string().trim().max(20).nullable().default(null), validFrom: LocalDay, validTo: LocalDay.nullable().default(null),
}).refine((one) => one.validTo === null || one.validFrom <= one.validTo, { error: 'must be on or after the first day', path: ['validTo'] });
export type KeepContact = z.infer<typeof KeepContact>;
export const AddBlackout = z.strictObject({ siteId: Id, id: Id, kind: z.enum(BLACKOUT_KINDS), fromDay: LocalDay, toDay: LocalDay.nullable().default(null), reason: z.string().trim().min(1).max(300), authority: z.string().trim().min(1, { error: 'say who decided it' }).max(120) })
  .refine((one) => one.toDay === null || one.fromDay <= one.toDay, { error: 'must be on or after the first day', path: ['toDay'] });
export type AddBlackout = z.infer<typeof AddBlackout>;

export const fleetRoutes = {
  uploadImport: route({ name: 'uploadImport', method: 'POST', path: '/api/imports/:kind', summary: 'Upload a CSV file: preview it, or keep its good rows', may: 'plan', carries: 'upload', input: ImportUpload, output: ImportRunDetail, problems: ['ImportRefused', 'IdReused', 'Stale', 'WrongState', 'NotFound'] }),
  dropImport: route({ name: 'dropImport', method: 'POST', path: '/api/imports/:runId/drop', summary: 'Drop a previewed file', may: 'plan', input: z.strictObject({ runId: Id }), output: ImportRunDetail, problems: ['NotFound', 'WrongState'] }),
  listImports: route({ name: 'listImports', method: 'GET', path: '/api/imports', summary: 'Files that were uploaded, newest first', may: 'read', input: PageInput, output: pageOf(ImportRunRow) }),
  importRun: route({ name: 'importRun', method: 'GET', path: '/api/imports/:runId', summary: 'One upload with what was held and why', may: 'read', input: z.strictObject({ runId: Id }), output: ImportRunDetail, problems: ['NotFound'] }),
  importSample: route({ name: 'importSample', method: 'GET', path: '/api/imports/samples/:kind', summary: 'A sample file of this kind: one row, or the rows of a small invented company', may: 'read', carries: 'csv', input: z.strictObject({ kind: ImportKindName, of: z.enum(['one-row', 'small-company']).default('one-row') }), output: z.string() }),
  exportFleet: route({ name: 'exportFleet', method: 'GET', path: '/api/exports/:kind', summary: 'All rows of this kind as CSV, ready to be imported again', may: 'read', carries: 'csv', input: z.strictObject({ kind: FleetExport }), output: z.string() }),
  exportProblems: route({ name: 'exportProblems', method: 'GET', path: '/api/imports/:runId/problems.csv', summary: 'The held rows of an upload with their reasons, as CSV', may: 'read', carries: 'csv', input: z.strictObject({ runId: Id }), output: z.string(), problems: ['NotFound'] }),

  listSites: route({ name: 'listSites', method: 'GET', path: '/api/sites', summary: 'Sites by name, key, address, client or account number', may: 'read', input: PageInput.extend({ clientId: Id.optional() }), output: pageOf(SiteRow) }),
  site: route({ name: 'site', method: 'GET', path: '/api/sites/:siteId', summary: 'A site with client, systems, devices, batteries, paths, accounts and people', may: 'read', input: z.strictObject({ siteId: Id }), output: SiteDetail, problems: ['NotFound'] }),
  editSite: route({ name: 'editSite', method: 'POST', path: '/api/sites/:siteId/edit', summary: 'Change hours and notes of a site', may: 'plan', input: EditSite, output: SiteDetail, problems: ['NotFound', 'Stale'] }),
  keepContact: route({ name: 'keepContact', method: 'POST', path: '/api/sites/:siteId/contacts', summary: 'Add a person of the site, or change one', may: 'plan', input: KeepContact, output: SiteDetail, problems: ['NotFound', 'IdReused'] }),
  addBlackout: route({ name: 'addBlackout', method: 'POST', path: '/api/sites/:siteId/blackouts', summary: 'Add days on which the site is closed or must stay silent', may: 'plan', input: AddBlackout, output: SiteDetail, problems: ['NotFound', 'IdReused'] }),
  removeBlackout: route({ name: 'removeBlackout', method: 'POST', path: '/api/sites/:siteId/blackouts/:blackoutId/remove', summary: 'Take such days away again', may: 'plan', input: z.strictObject({ siteId: Id, blackoutId: Id }), output: SiteDetail, problems: ['NotFound'] }),
};

