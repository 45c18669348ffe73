import type { CheckDefinition, Finding } from '@bellround/acceptance';
import { DEFICIENCY_DUE_DAYS, INTERIM_CAUTION, Refusal, type DeficiencyRow, type DeficiencyView, type Severity } from '@bellround/contracts';
import { deficiencyExtras, lockDeficiencyRows, type DeficiencyExtra } from '@bellround/database';
import { companyRules, subjectNames } from '../installed.js';
import type { Ctx } from '../perform.js';
import { factEntry, type LedgerEntry } from '../proof/steps.js';
import { dayText, dayTextOrNull, localDayOf, own } from '../steps.js';

type Db = Ctx['tx']['db'];
export type Deficiency = NonNullable<Awaited<ReturnType<Db['deficiency']['findFirst']>>>;
export type Check = NonNullable<Awaited<ReturnType<Db['check']['findFirst']>>>;

const LIFE_SAFETY = ['fire', 'co', 'hold-up', 'medical', 'panic'];
const PATH_JUDGES = ['transmission-path', 'path-changeover', 'periodic-signal'];
const POWER_JUDGES = ['battery-on-load', 'supply-voltage'];

/**
 * Severity by what is impaired (DEF-2, company rule). A site that cannot report, or a life-safety detector that does not
 * act, is an impairment; power, a second path and an intrusion detector are critical; what only weakens is non-critical;
 * what is to be watched or a missing date is an observation.
 */
export function severityOf(definition: CheckDefinition, systemKind: string, otherPaths: number): Severity {
  const isLifeSafety = LIFE_SAFETY.includes(systemKind);
  if (PATH_JUDGES.includes(definition.judge)) return otherPaths === 0 || definition.judge === 'path-changeover' && isLifeSafety ? 'impairment' : 'critical';
  if (POWER_JUDGES.includes(definition.judge) || definition.key === 'mains-supply') return isLifeSafety ? 'impairment' : 'critical';
  if (definition.judge === 'sounder-level') return isLifeSafety ? 'impairment' : 'critical';
  if (definition.activation) return isLifeSafety ? 'impairment' : 'critical';
  if (definition.judge === 'end-of-life') return isLifeSafety ? 'critical' : 'non-critical';
  if (definition.judge === 'firmware' || definition.judge === 'background-sound' || definition.subject === 'site' && !definition.restores) return 'observation';
  return definition.restores ? 'impairment' : 'non-critical';
}

export const FINDING_SEVERITY: Readonly<Record<Finding['code'], Severity>> = {
  'date-missing': 'observation', 'capacity-short': 'critical', 'replace-due': 'non-critical', 'step-change': 'non-critical', 'receiver-drop': 'non-critical', trend: 'observation', 'over-loud': 'critical',
};

/** What fell and is still low is not mended because the next reading fell no further: only a pass closes these, never a marginal one. */
const CLOSED_BY_PASS: readonly Finding['code'][] = ['step-change', 'receiver-drop'];
export const isClosedByPassOnly = (checkKind: string): boolean => CLOSED_BY_PASS.some((code) => checkKind.endsWith(`/${code}`));

/** The day by which a deficiency must be closed: days by severity, of the company's settings or the house's defaults. */
export function dueRule(settings: unknown, severity: Severity): { days: number; words: string } {
  const own = companyRules(settings).deficiencyDueDays[severity];
  const days = typeof own === 'number' && own >= 0 ? own : DEFICIENCY_DUE_DAYS[severity];
  return { days, words: `${severity}: ${days} day${days === 1 ? '' : 's'} (company rule${own === undefined ? ', as delivered' : ''})` };
}

/** What retests a deficiency: its own kind of check; for one of the station's data or ears ('signal/what/check') the check that makes the signal anew. */
export function retestKindOf(checkKind: string): string {
  const parts = checkKind.split('/');
  return parts[0] === 'signal' ? parts[2] ?? 'signal' : parts[0]!;
}

const addDays = (dayOf: Date, days: number): Date => new Date(dayOf.getTime() + days * 86_400_000);

/** A good check answers a failed one when it came later, and from the same person or after the failure was known here (VIS-9). */
export function isRetry(good: Pick<Check, 'performedAt' | 'recordedBy'>, failed: Pick<Check, 'performedAt' | 'recordedAt' | 'recordedBy'>): boolean {
  return good.performedAt > failed.performedAt && (good.recordedBy === failed.recordedBy || good.performedAt > failed.recordedAt);
}

export const isGood = (check: Pick<Check, 'verdict' | 'evidence'>): boolean => (check.verdict === 'pass' || check.verdict === 'marginal') && check.evidence !== 'D';

export interface NewFact { id?: string; deficiencyId: string; kind: string; at?: Date; checkId?: string | null; words: string; detail?: Record<string, unknown> }

/** Appends facts to the history of deficiencies, in one statement; the ledger entries are for the caller to append last. */
export async function addFacts(ctx: Ctx, facts: readonly NewFact[]): Promise<LedgerEntry[]> {
  const rows = facts.map((fact) => ({
    ...own(ctx), id: fact.id ?? ctx.newId(), deficiencyId: fact.deficiencyId, kind: fact.kind, at: fact.at ?? ctx.now, recordedAt: ctx.now, byId: ctx.who.userId, checkId: fact.checkId ?? null,
    words: fact.words, detail: (fact.detail ?? {}) as object,
  }));
  if (rows.length > 0) await ctx.tx.db.deficiencyFact.createMany({ data: rows });
  return rows.map((row) => factEntry('deficiency-fact', row));
}

export async function addFact(ctx: Ctx, fact: NewFact): Promise<LedgerEntry> {
  return (await addFacts(ctx, [fact]))[0]!;
}

/** The deficiency by id, locked; NotFound for another company's as for none. */
export async function lockedDeficiency(ctx: Ctx, id: string): Promise<Deficiency> {
  await lockDeficiencyRows(ctx.tx, [id]);
  const row = await ctx.tx.db.deficiency.findUnique({ where: { companyId_id: { ...own(ctx), id } } });
  if (!row) throw new Refusal('NotFound', 'There is no deficiency by that id.');
  return row;
}

/** True when this fact was recorded before with the same body; another body is IdReused. */
export async function factGivenBefore(ctx: Ctx, factId: string, digest: string): Promise<boolean> {
  const before = await ctx.tx.db.deficiencyFact.findUnique({ where: { companyId_id: { ...own(ctx), id: factId } } });
  if (!before) return false;
  if ((before.detail as { digest?: string }).digest !== digest) throw new Refusal('IdReused', 'This id was already used for another fact. Make a new id for a new fact.');
  return true;
}

/** Said first of an impairment, wherever it is told. */
export const CAUTIONS_WHEN_IMPAIRED = [
  'People may not be warned. Whether they may stay, and who must watch, is for the authority and licensed practice to say.',
  'Tell the authority and the occupants before you leave; write down whom, and when.',
];

/** DEF-6. When a fire system's impairment must be known to the authority; a time of the authority's own prevails. */
function clockOf(row: Deficiency, systemKind: string, extra: DeficiencyExtra | undefined, tellHours: number, now: Date): DeficiencyRow['clock'] {
  if (row.severity !== 'impairment' || systemKind !== 'fire' || row.state === 'closed') return null;
  const since = extra?.since ?? row.raisedAt;
  const told = extra?.toldAuthorityAt && extra.toldAuthorityAt >= since ? extra.toldAuthorityAt : null;
  const tellBy = new Date(since.getTime() + tellHours * 3_600_000);
  return { tellBy: tellBy.toISOString(), toldAt: told?.toISOString() ?? null, over: told === null && tellBy <= now, rule: `the authority within ${tellHours} h of finding it (company rule after NFPA 101 9.6.1.6, out of service over 4 h in 24 h, as quoted; authorities differ, and theirs prevails)` };
}

function interimOf(row: Deficiency, extra: DeficiencyExtra | undefined, now: Date): DeficiencyRow['interim'] {
  const measure = extra?.interim;
  if (!measure || row.state === 'closed' || (extra.since !== null && new Date(measure.at) < extra.since)) return null;
  return { factId: measure.factId, words: measure.words, by: measure.by, untilAt: new Date(measure.untilAt).toISOString(), over: new Date(measure.untilAt) <= now };
}

/** A picture's detail for a fact of it; NotFound when it was not uploaded. */
export async function photoDetail(ctx: Ctx, input: { attachmentId: string; words: string; place: { lat: number; lon: number } | null }, about: string): Promise<{ digest: string; attachmentId: string; place?: { lat: number; lon: number } }> {
  if (!(await ctx.tx.db.attachment.findUnique({ where: { companyId_id: { ...own(ctx), id: input.attachmentId } }, select: { id: true } }))) throw new Refusal('NotFound', 'There is no picture by that id; upload it first.');
  return { digest: ctx.sha256(JSON.stringify([about, 'photo', input.attachmentId, input.words, input.place])), attachmentId: input.attachmentId, ...(input.place ? { place: input.place } : {}) };
}

/** Rows as screens show them, with names, age and whether they are overdue today at their site. */
export async function deficiencyRows(ctx: Ctx, rows: readonly Deficiency[]): Promise<DeficiencyRow[]> {
  const { db } = ctx.tx;
  const sites = new Map((await db.site.findMany({ where: { ...own(ctx), id: { in: [...new Set(rows.map((row) => row.siteId))] } }, select: { id: true, name: true, timeZone: true } })).map((site) => [site.id, site]));
  const systems = new Map((await db.system.findMany({ where: { ...own(ctx), id: { in: [...new Set(rows.map((row) => row.systemId))] } }, select: { id: true, name: true, kind: true } })).map((system) => [system.id, system]));
  const extras = new Map((await deficiencyExtras(ctx.tx, rows.map((row) => row.id))).map((extra) => [extra.deficiencyId, extra]));
  const { impairmentTellHours } = companyRules((await db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId }, select: { settings: true } })).settings);
  const names = await subjectNames(ctx, rows);
  const waiting = await db.visitDeficiency.findMany({ where: { ...own(ctx), deficiencyId: { in: rows.map((row) => row.id) }, visit: { state: { in: ['wanted', 'planned', 'published', 'open'] } } }, select: { deficiencyId: true, visitId: true } });
  const visitOf = new Map(waiting.map((row) => [row.deficiencyId, row.visitId]));
  return rows.map((row) => {
    const site = sites.get(row.siteId)!;
    const today = localDayOf(ctx.now, site.timeZone);
    const hasLapsedAcceptance = row.state === 'accepted' && row.acceptedUntil !== null && dayText(row.acceptedUntil) < today;
    const end = row.closedAt ?? ctx.now;
    return {
      id: row.id, siteId: row.siteId, siteName: site.name, systemId: row.systemId, systemName: systems.get(row.systemId)?.name ?? '', subjectKind: row.subjectKind, subjectId: row.subjectId,
      subjectName: names.get(row.subjectId) ?? row.subjectKind, checkKind: row.checkKind, severity: row.severity as Severity, title: row.title,
      state: (hasLapsedAcceptance ? 'open' : row.state) as DeficiencyRow['state'], raisedAt: row.raisedAt.toISOString(), raisedByCheckId: row.raisedByCheckId, dueOn: dayText(row.dueOn),
      closedAt: row.closedAt?.toISOString() ?? null, closedByCheckId: row.closedByCheckId, acceptedUntil: dayTextOrNull(row.acceptedUntil),
      ageDays: Math.max(0, Math.floor((end.getTime() - row.raisedAt.getTime()) / 86_400_000)),
      overdue: (row.state === 'open' && dayText(row.dueOn) < today) || hasLapsedAcceptance, visitId: visitOf.get(row.id) ?? null,
      interim: interimOf(row, extras.get(row.id), ctx.now), clock: clockOf(row, systems.get(row.systemId)?.kind ?? '', extras.get(row.id), impairmentTellHours, ctx.now), photos: extras.get(row.id)?.photos ?? 0,
    };
  });
}

/** One deficiency with all of its history, as its page shows it. */
export async function deficiencyView(ctx: Ctx, id: string): Promise<DeficiencyView> {
  const { db } = ctx.tx;
  const row = await db.deficiency.findUnique({ where: { companyId_id: { ...own(ctx), id } }, include: { facts: { orderBy: [{ recordedAt: 'asc' }, { id: 'asc' }] }, visits: { include: { visit: true } } } });
  if (!row) throw new Refusal('NotFound', 'There is no deficiency by that id.');
  const company = await db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId }, select: { settings: true } });
  const people = new Map((await db.user.findMany({ where: { ...own(ctx), id: { in: row.facts.flatMap((fact) => fact.byId ?? []) } }, select: { id: true, name: true } })).map((user) => [user.id, user.name]));
  return {
    deficiency: (await deficiencyRows(ctx, [row]))[0]!,
    facts: row.facts.map((fact) => {
      const { digest: _, ...detail } = fact.detail as Record<string, unknown>;
      return { id: fact.id, kind: fact.kind, at: fact.at.toISOString(), recordedAt: fact.recordedAt.toISOString(), byName: fact.byId === null ? null : people.get(fact.byId) ?? null, checkId: fact.checkId, words: fact.words, detail };
    }),
    dueRule: dueRule(company.settings, row.severity as Severity).words,
    photos: row.facts.filter((fact) => fact.kind === 'photo').map((fact) => {
      const detail = fact.detail as { attachmentId: string; place?: { lat: number; lon: number } };
      return { factId: fact.id, attachmentId: detail.attachmentId, words: fact.words, at: fact.at.toISOString(), byName: fact.byId === null ? null : people.get(fact.byId) ?? null, place: detail.place ?? null };
    }),
    cautions: row.state === 'closed' ? [] : [...(row.severity === 'impairment' ? CAUTIONS_WHEN_IMPAIRED : []), INTERIM_CAUTION],
    visits: row.visits.map(({ visit }) => ({ id: visit.id, title: visit.title, state: visit.state, day: dayTextOrNull(visit.day) })),
  };
}

/** Today at the site of a deficiency. */
export async function todayAtSite(ctx: Ctx, siteId: string): Promise<string> {
  const site = await ctx.tx.db.site.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: siteId } }, select: { timeZone: true } });
  return localDayOf(ctx.now, site.timeZone);
}

export { addDays };
