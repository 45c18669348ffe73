import { z } from 'zod';
import { Id, Instant, LocalDay, PageInput, pageOf } from './basics.js';
import { route } from './route.js';

/** By what is impaired, worst first; the formal word stands beside its plain effect on screens. */
export const Severity = z.enum(['impairment', 'critical', 'non-critical', 'observation']);
export type Severity = z.infer<typeof Severity>;
export const DeficiencyState = z.enum(['open', 'closed', 'accepted']);

/** Days from the failure to the day by which it must be closed. Company rule; a company sets its own under settings. */
export const DEFICIENCY_DUE_DAYS: Readonly<Record<Severity, number>> = { impairment: 1, critical: 7, 'non-critical': 30, observation: 180 };

export const DeficiencyRow = z.object({
  id: Id, siteId: Id, siteName: z.string(), systemId: Id, systemName: z.string(), subjectKind: z.string(), subjectId: Id, subjectName: z.string(), checkKind: z.string(),
  severity: Severity, title: z.string(), state: DeficiencyState, raisedAt: Instant, raisedByCheckId: Id, dueOn: LocalDay, closedAt: Instant.nullable(), closedByCheckId: Id.nullable(), acceptedUntil: LocalDay.nullable(),
  /** whole days since it was raised, until it was closed or until now */
  ageDays: z.int(), overdue: z.boolean(),
  /** the retest visit that waits for it, if any */
  visitId: Id.nullable(),
  /** what protects the site until it is mended: the newest measure, over when its end has passed */
  interim: z.object({ factId: Id, words: z.string(), by: z.string(), untilAt: Instant, over: z.boolean() }).nullable(),
  /** an impairment of a life-safety system: by when the authority must have been told, and whether it was */
  clock: z.object({ tellBy: Instant, toldAt: Instant.nullable(), over: z.boolean(), rule: z.string() }).nullable(),
  /** pictures on record of it */
  photos: z.int(),
});
export type DeficiencyRow = z.infer<typeof DeficiencyRow>;

/** What a severity is due by at this company, and where that comes from. */
export const IMPAIRMENT_TELL_HOURS = 4;
/** Said before any measure meanwhile, whatever it is. */
export const INTERIM_CAUTION = 'A measure meanwhile does not mend anything and is no approval. Who may stay in the building, and who must watch it, is for the authority and licensed practice to say; if people cannot be warned, they must not stay.';
/** The longest that one measure may be given for, days (company rule): after that somebody looks again. */
export const INTERIM_MOST_DAYS = 31;

export const DeficiencyFactRow = z.object({ id: Id, kind: z.string(), at: Instant, recordedAt: Instant, byName: z.string().nullable(), checkId: Id.nullable(), words: z.string(), detail: z.record(z.string(), z.unknown()) });
export type DeficiencyFactRow = z.infer<typeof DeficiencyFactRow>;

export const DeficiencyView = z.object({
  deficiency: DeficiencyRow, facts: z.array(DeficiencyFactRow),
  /** where the due day comes from */
  dueRule: z.string(),
  /** pictures, oldest first; `place` only where whoever took it wanted it kept */
  photos: z.array(z.object({ factId: Id, attachmentId: Id, words: z.string(), at: Instant, byName: z.string().nullable(), place: z.object({ lat: z.number(), lon: z.number() }).nullable() })),
  /** said before anything is done about it, worst first */
  cautions: z.array(z.string()),
  visits: z.array(z.object({ id: Id, title: z.string(), state: z.string(), day: LocalDay.nullable() })),
});
export type DeficiencyView = z.infer<typeof DeficiencyView>;

const words = (least: number, message: string) => z.string().trim().min(least, { error: message }).max(2000);
const name = z.string().trim().min(2, { error: 'must be a name of at least 2 characters' }).max(120);

export const AcceptDeficiency = z.strictObject({ deficiencyId: Id, id: Id, acceptedBy: name, words: words(10, 'must say what is accepted and why, in at least 10 characters'), until: LocalDay });
export type AcceptDeficiency = z.infer<typeof AcceptDeficiency>;
export const RegradeDeficiency = z.strictObject({ deficiencyId: Id, id: Id, severity: Severity, reason: words(5, 'must say why') });
export type RegradeDeficiency = z.infer<typeof RegradeDeficiency>;
export const ToldOf = z.strictObject({ deficiencyId: Id, id: Id, to: name, capacity: z.string().trim().max(120).default(''), how: z.enum(['in-person', 'call', 'message', 'letter', 'email']), words: words(3, 'must say what was told') });
export type ToldOf = z.infer<typeof ToldOf>;
export const PartsNeeded = z.strictObject({ deficiencyId: Id, id: Id, words: words(2, 'must name the part'), state: z.enum(['needed', 'ordered', 'in-van', 'fitted']).default('needed') });
export type PartsNeeded = z.infer<typeof PartsNeeded>;
export const InterimMeasure = z.strictObject({ deficiencyId: Id, id: Id, words: words(5, 'must say what protects the site meanwhile'), by: name, untilAt: Instant });
export type InterimMeasure = z.infer<typeof InterimMeasure>;
/** Where a picture was taken, kept beside it and never in it, and only when whoever took it wants so. */
export const PicturePlace = z.strictObject({ lat: z.number().min(-90).max(90), lon: z.number().min(-180).max(180) });
const photo = { id: Id, attachmentId: Id, words: z.string().trim().max(400).default(''), place: PicturePlace.nullable().default(null), deviceClockAt: Instant.optional(), deviceClockNow: Instant.optional() };
export const PhotoOfDeficiency = z.strictObject({ deficiencyId: Id, ...photo });
export type PhotoOfDeficiency = z.infer<typeof PhotoOfDeficiency>;
/** A phone without a network does not know the deficiency that its check will raise: the picture is of the check. */
export const PhotoOfCheck = z.strictObject({ checkId: Id, ...photo });
export type PhotoOfCheck = z.infer<typeof PhotoOfCheck>;
export const PlanRetest = z.strictObject({ id: Id, deficiencyIds: z.array(Id).min(1).max(50), day: LocalDay.optional(), startMin: z.int().min(0).max(1439).optional(), technicianId: Id.optional() });
export type PlanRetest = z.infer<typeof PlanRetest>;

export const DeficiencySummary = z.object({ severity: Severity, open: z.int(), overdue: z.int(), oldestDays: z.int().nullable() });

export const deficienciesRoutes = {
  listDeficiencies: route({ name: 'listDeficiencies', method: 'GET', path: '/api/deficiencies', summary: 'Deficiencies, soonest due first', may: 'read',
    input: PageInput.extend({ state: z.enum(['open', 'closed', 'accepted', 'all']).default('open'), severity: Severity.optional(), siteId: Id.optional(), overdue: z.enum(['true', 'false']).optional() }),
    output: pageOf(DeficiencyRow).extend({ summary: z.array(DeficiencySummary) }) }),
  showDeficiency: route({ name: 'showDeficiency', method: 'GET', path: '/api/deficiencies/:deficiencyId', summary: 'One deficiency with all of its history', may: 'read', input: z.strictObject({ deficiencyId: Id }), output: DeficiencyView, problems: ['NotFound'] }),
  acceptDeficiency: route({ name: 'acceptDeficiency', method: 'POST', path: '/api/deficiencies/:deficiencyId/accept', summary: 'Accept it knowingly until a day, by name', may: 'own', input: AcceptDeficiency, output: DeficiencyView, problems: ['NotFound', 'IdReused', 'WrongState'] }),
  regradeDeficiency: route({ name: 'regradeDeficiency', method: 'POST', path: '/api/deficiencies/:deficiencyId/regrade', summary: 'Give it another severity, with the reason', may: 'plan', input: RegradeDeficiency, output: DeficiencyView, problems: ['NotFound', 'IdReused', 'WrongState'] }),
  toldOf: route({ name: 'toldOf', method: 'POST', path: '/api/deficiencies/:deficiencyId/told', summary: 'Somebody was told of it', may: 'work', input: ToldOf, output: DeficiencyView, problems: ['NotFound', 'IdReused'] }),
  partsNeeded: route({ name: 'partsNeeded', method: 'POST', path: '/api/deficiencies/:deficiencyId/parts', summary: 'A part it needs, and where that part is', may: 'work', input: PartsNeeded, output: DeficiencyView, problems: ['NotFound', 'IdReused'] }),
  interimMeasure: route({ name: 'interimMeasure', method: 'POST', path: '/api/deficiencies/:deficiencyId/interim', summary: 'What protects the site until it is mended: what, by whom, until when', may: 'work', input: InterimMeasure, output: DeficiencyView, problems: ['NotFound', 'IdReused', 'WrongState', 'BadInput'] }),
  photoOfDeficiency: route({ name: 'photoOfDeficiency', method: 'POST', path: '/api/deficiencies/:deficiencyId/photos', summary: 'A picture of it, uploaded before', may: 'work', input: PhotoOfDeficiency, output: DeficiencyView, problems: ['NotFound', 'IdReused'] }),
  photoOfCheck: route({ name: 'photoOfCheck', method: 'POST', path: '/api/checks/:checkId/photos', summary: 'A picture of a check, uploaded before; it stands on what that check raised', may: 'work', input: PhotoOfCheck, output: z.object({ deficiencyIds: z.array(Id) }), problems: ['NotFound', 'IdReused', 'WrongState'] }),
  planRetest: route({ name: 'planRetest', method: 'POST', path: '/api/deficiencies/plan-retest', summary: 'Make one retest visit for deficiencies of one site', may: 'plan', input: PlanRetest, output: z.object({ visitId: Id, title: z.string(), serviceMin: z.int(), day: LocalDay.nullable() }), problems: ['NotFound', 'IdReused', 'WrongState'] }),
};
