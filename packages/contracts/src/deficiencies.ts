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
});
export type DeficiencyRow = z.infer<typeof DeficiencyRow>;

export const DeficiencyFactRow = z.object({ id: Id, kind: z.string(), at: Instant, recordedAt: Instant, byName: z.string().nullable(), checkId: Id.nullable(), words: z.string(), detail: z.record(z.string(), z.unknown()) });
export type DeficiencyFactRow = z.infer<typeof DeficiencyFactRow>;

export const DeficiencyView = z.object({
  deficiency: DeficiencyRow, facts: z.array(DeficiencyFactRow),
  /** where the due day comes from */
  dueRule: z.string(),
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
  planRetest: route({ name: 'planRetest', method: 'POST', path: '/api/deficiencies/plan-retest', summary: 'Make one retest visit for deficiencies of one site', may: 'plan', input: PlanRetest, output: z.object({ visitId: Id, title: z.string(), serviceMin: z.int(), day: LocalDay.nullable() }), problems: ['NotFound', 'IdReused', 'WrongState'] }),
};
