import type { CheckDefinition, Finding, ResponseOutcome } from '@bellround/acceptance';
import { DEFICIENCY_DUE_DAYS, Refusal, type DeficiencyRow, type DeficiencyView, type Severity } from '@bellround/contracts';
import { lockDeficiencyRows } from '@bellround/database';
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

const FINDING_SEVERITY: Readonly<Record<Finding['code'], Severity>> = {
  'date-missing': 'observation', 'capacity-short': 'critical', 'replace-due': 'non-critical', 'step-change': 'non-critical', trend: 'observation', 'over-loud': 'critical',
};

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

/** Appends one fact to a deficiency's history; the ledger entry is for the caller to append last. */
export async function addFact(ctx: Ctx, fact: { id?: string; deficiencyId: string; kind: string; at?: Date; checkId?: string | null; words: string; detail?: Record<string, unknown> }): Promise<LedgerEntry> {
  const row = await ctx.tx.db.deficiencyFact.create({ data: {
    ...own(ctx), id: fact.id ?? ctx.newId(), deficiencyId: fact.deficiencyId, kind: fact.kind, at: fact.at ?? ctx.now, recordedAt: ctx.now, byId: ctx.who.userId, checkId: fact.checkId ?? null,
    words: fact.words, detail: (fact.detail ?? {}) as object,
  } });
  return factEntry('deficiency-fact', row);
}

const responseKind = (checkKind: string, at: number | string): string => `${checkKind}/response-${at}`;

export interface Settled { entries: LedgerEntry[]; raisedIds: string[]; closedIds: string[] }

interface Judged { readonly definition: CheckDefinition; readonly systemKind: string; readonly subjectName: string; readonly otherPaths: number; readonly findings: readonly Finding[]; readonly responses: readonly ResponseOutcome[] }

/**
 * What a new check means for deficiencies, DEF-1..5: a failure raises one, adds to it or reopens it; a finding raises one of
 * its own; a good retest of the same kind and subject closes what is open. Nothing else ever closes one.
 */
export async function settleDeficiencies(ctx: Ctx, check: Check, judged: Judged): Promise<Settled> {
  const settled: Settled = { entries: [], raisedIds: [], closedIds: [] };
  const settings = (await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId }, select: { settings: true } })).settings;
  const raise = async (checkKind: string, severity: Severity, title: string, words: string) => {
    const done = await raiseOrUpdate(ctx, check, { checkKind, severity, title, words, dueDays: dueRule(settings, severity).days });
    settled.entries.push(...done.entries);
    settled.raisedIds.push(done.id);
  };
  const title = `${judged.definition.title}: ${judged.subjectName}`;
  if (check.verdict === 'fail') await raise(check.checkKind, severityOf(judged.definition, judged.systemKind, judged.otherPaths), title, check.reason);
  if (check.verdict === 'not-done') return settled;
  for (const finding of judged.findings) await raise(`${check.checkKind}/${finding.code}`, FINDING_SEVERITY[finding.code], `${title}: ${finding.code.replace('-', ' ')}`, finding.words);
  for (const [at, outcome] of judged.responses.entries()) if (outcome.isDeficiency) await raise(responseKind(check.checkKind, at), 'critical', `${title}: ${outcome.response.what} at the ${outcome.response.where} ${outcome.verdict === 'late' ? 'too late' : 'did not come'}`, outcome.words);
  if (isGood(check)) {
    const closed = await closeByRetest(ctx, check, judged);
    settled.entries.push(...closed.entries);
    settled.closedIds.push(...closed.closedIds);
  }
  return settled;
}

/** DEF-1. Raises a deficiency of this subject and kind of check, or adds the failure to the one there is; reopens a closed one. */
export async function raiseOrUpdate(ctx: Ctx, check: Check, what: { checkKind: string; severity: Severity; title: string; words: string; dueDays: number }): Promise<{ id: string; entries: LedgerEntry[] }> {
  const { db } = ctx.tx;
  const before = await db.deficiency.findFirst({ where: { ...own(ctx), subjectId: check.subjectId, checkKind: what.checkKind }, orderBy: [{ raisedAt: 'desc' }, { id: 'desc' }] });
  const fact = { at: check.performedAt, checkId: check.id, words: what.words };
  if (!before) {
    const id = ctx.newId();
    await db.deficiency.create({ data: {
      ...own(ctx), id, siteId: check.siteId, systemId: check.systemId, subjectKind: check.subjectKind, subjectId: check.subjectId, checkKind: what.checkKind, severity: what.severity,
      title: what.title, state: 'open', raisedAt: check.performedAt, raisedByCheckId: check.id, dueOn: addDays(check.performedOn, what.dueDays),
    } });
    return { id, entries: [await addFact(ctx, { ...fact, deficiencyId: id, kind: 'raised', detail: { severity: what.severity, dueDays: what.dueDays } }), ...await closedAlready(ctx, id, check, what.checkKind)] };
  }
  const closing = before.closedByCheckId === null ? null : await db.check.findUnique({ where: { companyId_id: { ...own(ctx), id: before.closedByCheckId } } });
  const isAnswered = before.state === 'closed' && closing !== null && isRetry(closing, check);
  const isAcceptedStill = before.state === 'accepted' && before.acceptedUntil !== null && before.acceptedUntil >= check.performedOn;
  if (before.state === 'open' || isAcceptedStill || isAnswered) {
    return { id: before.id, entries: [await addFact(ctx, { ...fact, deficiencyId: before.id, kind: 'seen-again', ...(isAnswered ? { detail: { answeredBy: closing!.id } } : {}) })] };
  }
  await db.deficiency.update({ where: { companyId_id: { ...own(ctx), id: before.id } }, data: { state: 'open', closedAt: null, closedByCheckId: null, acceptedUntil: null, severity: what.severity, dueOn: addDays(check.performedOn, what.dueDays) } });
  return { id: before.id, entries: [await addFact(ctx, { ...fact, deficiencyId: before.id, kind: 'reopened', detail: { severity: what.severity, dueDays: what.dueDays, was: before.state } })] };
}

/** Checks may arrive out of order: the retest of this very failure may be here before it. */
async function closedAlready(ctx: Ctx, id: string, failed: Check, checkKind: string): Promise<LedgerEntry[]> {
  if (checkKind !== failed.checkKind) return [];
  const later = await ctx.tx.db.check.findMany({ where: { ...own(ctx), subjectId: failed.subjectId, checkKind, performedAt: { gt: failed.performedAt }, id: { not: failed.id } }, orderBy: { performedAt: 'asc' } });
  const retest = later.find((check) => isGood(check) && isRetry(check, failed));
  return retest ? [await close(ctx, id, retest)] : [];
}

async function close(ctx: Ctx, id: string, retest: Check): Promise<LedgerEntry> {
  await ctx.tx.db.deficiency.update({ where: { companyId_id: { ...own(ctx), id } }, data: { state: 'closed', closedAt: retest.performedAt, closedByCheckId: retest.id, acceptedUntil: null } });
  return addFact(ctx, { deficiencyId: id, kind: 'retest-passed', at: retest.performedAt, checkId: retest.id, words: retest.reason });
}

/** DEF-3. A good check of the same kind on the same subject closes what it answers; several at once, if they are of its kind. */
async function closeByRetest(ctx: Ctx, check: Check, { findings, responses }: Pick<Judged, 'findings' | 'responses'>): Promise<{ entries: LedgerEntry[]; closedIds: string[] }> {
  const { db } = ctx.tx;
  // DEF-4. A response that was missed is closed by its being seen, not by a good reading beside it.
  const isSeen = (kind: string) => !kind.startsWith(responseKind(check.checkKind, '')) || responses.some((outcome, at) => outcome.verdict === 'seen' && kind === responseKind(check.checkKind, at));
  const found = findings.map((finding) => `${check.checkKind}/${finding.code}`);
  const waiting = await db.deficiency.findMany({ where: { ...own(ctx), subjectId: check.subjectId, state: { in: ['open', 'accepted'] }, OR: [{ checkKind: check.checkKind }, { checkKind: { startsWith: `${check.checkKind}/` } }] }, include: { facts: { where: { kind: { in: ['raised', 'seen-again', 'reopened'] }, checkId: { not: null } } } } });
  await lockDeficiencyRows(ctx.tx, waiting.map((one) => one.id));
  const failures = await db.check.findMany({ where: { ...own(ctx), id: { in: waiting.flatMap((one) => one.facts.map((fact) => fact.checkId!)) } } });
  const of = new Map(failures.map((failure) => [failure.id, failure]));
  const corrected = check.correctsId;
  const closedIds: string[] = [];
  const entries: LedgerEntry[] = [];
  for (const one of waiting.filter((candidate) => !found.includes(candidate.checkKind) && isSeen(candidate.checkKind))) {
    const isAnswered = one.facts.every((fact) => fact.checkId === corrected || isRetry(check, of.get(fact.checkId!)!));
    if (!isAnswered) continue;
    entries.push(await close(ctx, one.id, check));
    closedIds.push(one.id);
  }
  return { entries, closedIds };
}

/**
 * SIG-OP-3. A right signal after them closes what the station had wrong or had not heard of this subject; nothing else does,
 * neither a good check without its arrival nor a word that it was mended.
 */
export async function closeBySignal(ctx: Ctx, check: Check, words: string): Promise<{ entries: LedgerEntry[]; closedIds: string[] }> {
  const { db } = ctx.tx;
  const waiting = await db.deficiency.findMany({ where: { ...own(ctx), subjectId: check.subjectId, state: { in: ['open', 'accepted'] }, checkKind: { startsWith: 'signal/', endsWith: `/${check.checkKind}` } }, include: { facts: { where: { kind: { in: ['raised', 'seen-again', 'reopened'] } } } } });
  await lockDeficiencyRows(ctx.tx, waiting.map((one) => one.id));
  const answered = waiting.filter((one) => one.facts.every((fact) => fact.at < check.performedAt));
  const entries: LedgerEntry[] = [];
  for (const one of answered) entries.push(await close(ctx, one.id, { ...check, reason: words }));
  return { entries, closedIds: answered.map((one) => one.id) };
}

/** What was said to be missing had arrived: closed by the check that provoked it, with the words of the arrival. */
export async function closeAsHeard(ctx: Ctx, deficiencyId: string, check: Check, words: string): Promise<LedgerEntry[]> {
  await lockDeficiencyRows(ctx.tx, [deficiencyId]);
  const row = await ctx.tx.db.deficiency.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: deficiencyId } } });
  return row.state === 'closed' ? [] : [await close(ctx, row.id, { ...check, reason: words })];
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

/** Rows as screens show them, with names, age and whether they are overdue today at their site. */
export async function deficiencyRows(ctx: Ctx, rows: readonly Deficiency[]): Promise<DeficiencyRow[]> {
  const { db } = ctx.tx;
  const sites = new Map((await db.site.findMany({ where: { ...own(ctx), id: { in: [...new Set(rows.map((row) => row.siteId))] } }, select: { id: true, name: true, timeZone: true } })).map((site) => [site.id, site]));
  const systems = new Map((await db.system.findMany({ where: { ...own(ctx), id: { in: [...new Set(rows.map((row) => row.systemId))] } }, select: { id: true, name: true } })).map((system) => [system.id, system.name]));
  const names = await subjectNames(ctx, rows);
  const waiting = await db.visitDeficiency.findMany({ where: { ...own(ctx), deficiencyId: { in: rows.map((row) => row.id) }, visit: { state: { in: ['wanted', 'planned', 'published', 'open'] } } }, select: { deficiencyId: true, visitId: true } });
  const visitOf = new Map(waiting.map((row) => [row.deficiencyId, row.visitId]));
  return rows.map((row) => {
    const site = sites.get(row.siteId)!;
    const today = localDayOf(ctx.now, site.timeZone);
    const hasLapsedAcceptance = row.state === 'accepted' && row.acceptedUntil !== null && dayText(row.acceptedUntil) < today;
    const end = row.closedAt ?? ctx.now;
    return {
      id: row.id, siteId: row.siteId, siteName: site.name, systemId: row.systemId, systemName: systems.get(row.systemId) ?? '', subjectKind: row.subjectKind, subjectId: row.subjectId,
      subjectName: names.get(row.subjectId) ?? row.subjectKind, checkKind: row.checkKind, severity: row.severity as Severity, title: row.title,
      state: (hasLapsedAcceptance ? 'open' : row.state) as DeficiencyRow['state'], raisedAt: row.raisedAt.toISOString(), raisedByCheckId: row.raisedByCheckId, dueOn: dayText(row.dueOn),
      closedAt: row.closedAt?.toISOString() ?? null, closedByCheckId: row.closedByCheckId, acceptedUntil: dayTextOrNull(row.acceptedUntil),
      ageDays: Math.max(0, Math.floor((end.getTime() - row.raisedAt.getTime()) / 86_400_000)),
      overdue: (row.state === 'open' && dayText(row.dueOn) < today) || hasLapsedAcceptance, visitId: visitOf.get(row.id) ?? null,
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
    visits: row.visits.map(({ visit }) => ({ id: visit.id, title: visit.title, state: visit.state, day: dayTextOrNull(visit.day) })),
  };
}

/** Today at the site of a deficiency. */
export async function todayAtSite(ctx: Ctx, siteId: string): Promise<string> {
  const site = await ctx.tx.db.site.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: siteId } }, select: { timeZone: true } });
  return localDayOf(ctx.now, site.timeZone);
}

export { addDays };
