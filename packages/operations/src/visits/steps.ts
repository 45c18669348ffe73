import { applyOverrule, isExcusable, judge, OverruleRefused, readingProblems, responseOutcomes, type CheckDefinition, type EvidenceGrade, type Judgement, type ResponseOutcome } from '@bellround/acceptance';
import { holdCover, Refusal, type CheckBody, type CheckRecorded, type CheckRow, type HoldRow, type PutBackRow, type Severity, type VisitOwed, type VisitRow } from '@bellround/contracts';
import { countingChecksOfVisit, lockVisitRow } from '@bellround/database';
import { checkDefinition, type Programme } from '@bellround/programmes';
import { canonicalJson, type JsonValue } from '@bellround/proof';
import { isGood, retestKindOf, settleDeficiencies } from '../deficiencies/steps.js';
import { checkFactsOf, fits, subjectNames, subjectsOf, type Installed, type Subject } from '../installed.js';
import type { Ctx } from '../perform.js';
import { appendLeaves, checkEntry, factEntry, type LedgerEntry } from '../proof/steps.js';
import { watchDelayed } from '../signals/steps.js';
import { refreshSite } from '../standing/steps.js';
import { dayText, dayTextOrNull, dbDay, later, localDayOf, note, own } from '../steps.js';

type Db = Ctx['tx']['db'];
type Found<K extends 'visit' | 'hold' | 'check' | 'putBack'> = NonNullable<Awaited<ReturnType<Db[K]['findFirst']>>>;
export type Visit = Found<'visit'> & { site: NonNullable<Awaited<ReturnType<Db['site']['findFirst']>>> };
type Hold = Found<'hold'>;
interface Clock { readonly deviceClockAt?: string | undefined; readonly deviceClockNow?: string | undefined }

// ── when, and the same again ────────────────────────────────────────────────

/**
 * When something was done (VIS-2). The phone's clock only measures how long ago it was: its reading then is moved by the
 * difference between the house's clock and the phone's now. Never later than now.
 */
export function doneAt(ctx: Pick<Ctx, 'now'>, { deviceClockAt, deviceClockNow }: Clock): Date {
  if (deviceClockAt === undefined) return ctx.now;
  const offset = deviceClockNow === undefined ? 0 : ctx.now.getTime() - new Date(deviceClockNow).getTime();
  return new Date(Math.min(ctx.now.getTime(), new Date(deviceClockAt).getTime() + offset));
}

/** Digest of what was asked, without what changes at each sending. */
export function bodyDigest(ctx: Pick<Ctx, 'sha256'>, input: object): string {
  const { deviceClockNow: _, ...body } = input as Record<string, unknown>;
  return ctx.sha256(canonicalJson(JSON.parse(JSON.stringify(body)) as JsonValue));
}

/** True when this fact of a visit was recorded before with the same body; another body is IdReused. */
export async function factGivenBefore(ctx: Ctx, id: string, digest: string): Promise<boolean> {
  const before = await ctx.tx.db.visitFact.findUnique({ where: { companyId_id: { ...own(ctx), id } } });
  if (before && (before.detail as { digest?: string }).digest !== digest) throw new Refusal('IdReused', 'This id was already used for something else. Make a new id.');
  return before !== null;
}

export async function addVisitFact(ctx: Ctx, fact: { id?: string; visitId: string; kind: string; at: Date; detail: Record<string, unknown> }): Promise<LedgerEntry> {
  if (ctx.who.userId === null) throw new Refusal('NotAllowed', 'Only a signed-in person works a visit.');
  return factEntry('visit-fact', await ctx.tx.db.visitFact.create({ data: { ...own(ctx), id: fact.id ?? ctx.newId(), visitId: fact.visitId, kind: fact.kind, at: fact.at, recordedAt: ctx.now, byId: ctx.who.userId, detail: fact.detail as object } }));
}

// ── the visit, its holds and what is out of normal ──────────────────────────

/** The visit and its site, locked until the act ends: two phones, or one sending twice, wait here. */
export async function lockVisit(ctx: Ctx, visitId: string): Promise<Visit> {
  if (!(await lockVisitRow(ctx.tx, visitId))) throw new Refusal('NotFound', 'There is no visit by that id.');
  return ctx.tx.db.visit.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: visitId } }, include: { site: true } });
}

export function requireOpen(visit: Visit): void {
  if (visit.state === 'open') return;
  const ended = visit.state === 'closed' || visit.state === 'stopped' || visit.state === 'cancelled' || visit.state === 'no-access';
  throw new Refusal('VisitClosed', ended ? `The visit is ${visit.state}${visit.closedAt ? ` since ${visit.closedAt.toISOString()}` : ''}; make a new visit for further work.` : 'The visit is not started yet; start it first.', { data: { state: visit.state } });
}

export async function visitRows(ctx: Ctx, visits: readonly Visit[]): Promise<VisitRow[]> {
  const ids = [...new Set(visits.flatMap((visit) => visit.technicianId ?? []))];
  const names = new Map((await ctx.tx.db.technician.findMany({ where: { ...own(ctx), id: { in: ids } }, select: { id: true, name: true } })).map((one) => [one.id, one.name]));
  return visits.map((visit) => ({
    id: visit.id, siteId: visit.siteId, siteName: visit.site.name, address: visit.site.address, timeZone: visit.site.timeZone, kind: visit.kind, state: visit.state as VisitRow['state'], title: visit.title,
    serviceMin: visit.serviceMin, parentId: visit.parentId, day: dayTextOrNull(visit.day), startMin: visit.startMin, technicianId: visit.technicianId,
    technicianName: visit.technicianId === null ? null : names.get(visit.technicianId) ?? null, openedAt: visit.openedAt?.toISOString() ?? null, closedAt: visit.closedAt?.toISOString() ?? null,
  }));
}

/** The answer of acts that change a visit: the visit as it is now and what is still owed. */
export async function visitAndOwed(ctx: Ctx, visitId: string): Promise<{ visit: VisitRow; owed: VisitOwed }> {
  const visit = await ctx.tx.db.visit.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: visitId } }, include: { site: true } });
  return { visit: (await visitRows(ctx, [visit]))[0]!, owed: await visitOwed(ctx, visit) };
}

export async function holdRows(ctx: Ctx, where: { visitId: string } | { closedAt: null } | { id: string }): Promise<HoldRow[]> {
  const holds = await ctx.tx.db.hold.findMany({ where: { ...own(ctx), ...where }, orderBy: { openedAt: 'asc' }, include: { account: true, visit: { include: { site: true } } } });
  const people = new Map((await ctx.tx.db.user.findMany({ where: { ...own(ctx), id: { in: holds.map((hold) => hold.openedBy) } }, select: { id: true, name: true } })).map((user) => [user.id, user.name]));
  return holds.map((hold) => ({
    id: hold.id, visitId: hold.visitId, accountId: hold.accountId, accountNumber: hold.account.number, siteId: hold.visit.siteId, siteName: hold.visit.site.name, timeZone: hold.visit.site.timeZone, parts: hold.parts,
    stationReference: hold.stationReference, operatorName: hold.operatorName, openedAt: hold.openedAt.toISOString(), untilAt: hold.untilAt.toISOString(), openedBy: people.get(hold.openedBy) ?? '',
    closedAt: hold.closedAt?.toISOString() ?? null, closeConfirmedBy: hold.closeConfirmedBy, signalsReceived: hold.signalsReceived,
  }));
}

export function putBackRow(row: Found<'putBack'>): PutBackRow {
  return { id: row.id, what: row.what, takenOutAt: row.takenOutAt.toISOString(), byCheckId: row.byCheckId, putBackAt: row.putBackAt?.toISOString() ?? null, handedTo: row.handedTo, handedReason: row.handedReason };
}

// ── what is met and what is owed ────────────────────────────────────────────

/** VIS-8. Duties of the visit that its own checks met, each with the check that did. All kinds of an 'all' rule must have been done; a share is met when its window is. */
export async function metDuties(ctx: Ctx, visitId: string): Promise<Map<string, string>> {
  const { db } = ctx.tx;
  const duties = await db.duty.findMany({ where: { ...own(ctx), visitDuties: { some: { visitId } } }, include: { application: { select: { programmeId: true } }, credits: { where: { check: { visitId } }, include: { check: { select: { id: true, checkKind: true } } } }, windows: { where: { metBy: { not: null } }, select: { metBy: true } } } });
  const checkIds = new Set((await db.check.findMany({ where: { ...own(ctx), visitId }, select: { id: true } })).map((check) => check.id));
  const programmes = await db.programme.findMany({ where: { ...own(ctx), id: { in: [...new Set(duties.map((duty) => duty.application.programmeId))] } }, select: { id: true, body: true } });
  const meets = new Map(programmes.flatMap(({ id, body }) => ((body as unknown as Partial<Programme>).rules ?? []).map((rule) => [`${id}:${rule.key}`, rule.meets] as const)));
  const met = new Map<string, string>();
  for (const duty of duties) {
    const closing = duty.windows.find((window) => checkIds.has(window.metBy!))?.metBy;
    const isShare = (duty.cadence as { kind?: string }).kind === 'share';
    const kinds = new Set(duty.credits.map((credit) => credit.check.checkKind));
    const isWhole = !isShare && kinds.size > 0 && (meets.get(`${duty.application.programmeId}:${duty.ruleKey}`) !== 'all' || duty.checkKinds.every((kind) => kinds.has(kind)));
    if (closing) met.set(duty.id, closing);
    else if (isWhole) met.set(duty.id, duty.credits.at(-1)!.check.id);
  }
  return met;
}

/** VIS-10. Of a part that was taken out nothing is owed any more. What stands between the visit and its close, and what stays owed after it. */
export async function visitOwed(ctx: Ctx, visit: Visit): Promise<VisitOwed> {
  const { db } = ctx.tx;
  const met = await metDuties(ctx, visit.id);
  const duties = await db.duty.findMany({ where: { ...own(ctx), visitDuties: { some: { visitId: visit.id } }, id: { notIn: [...met.keys()] }, OR: [{ validTo: null }, { validTo: { gte: dbDay(localDayOf(visit.openedAt ?? ctx.now, visit.site.timeZone)) } }] }, include: { windows: { where: { governsTo: null }, select: { lapses: true }, orderBy: { n: 'desc' }, take: 1 } } });
  const deficiencies = await db.deficiency.findMany({ where: { ...own(ctx), state: 'open', visits: { some: { visitId: visit.id } } } });
  const counting = await countingChecksOfVisit(ctx.tx, visit.id);
  const all = await db.check.findMany({ where: { ...own(ctx), visitId: visit.id } });
  const names = await subjectNames(ctx, [...duties, ...all]);
  const nameOf = (row: { subjectId: string; subjectKind: string }) => names.get(row.subjectId) ?? row.subjectKind;
  const holds = await holdRows(ctx, { visitId: visit.id });
  const out = await db.putBack.findMany({ where: { ...own(ctx), visitId: visit.id, putBackAt: null, handedTo: null }, orderBy: { takenOutAt: 'asc' } });
  const dutyMinutes = duties.map((duty) => ({ id: duty.id, title: duty.title, subjectName: nameOf(duty), minutes: duty.minutes, lapses: dayTextOrNull(duty.windows[0]?.lapses ?? null) }));
  const deficiencyMinutes = deficiencies.map((one) => ({ id: one.id, title: one.title, minutes: checkDefinition(retestKindOf(one.checkKind))?.minutes ?? 10 }));
  return {
    duties: dutyMinutes, deficiencies: deficiencyMinutes, minutes: [...dutyMinutes, ...deficiencyMinutes].reduce((sum, one) => sum + one.minutes, 0),
    excused: excusedStillOwed(counting).map((check) => ({ checkId: check.id, checkKind: check.checkKind, subjectName: nameOf(check), excuseCode: check.excuseCode ?? '' })),
    contradicted: contradicted(all, counting).map((check) => ({ checkKind: check.checkKind, subjectName: nameOf(check), words: `Good and failed were both recorded; both are kept, and it is treated as not good until it is tried again.` })),
    holdsOpen: holds.filter((hold) => hold.closedAt === null), putBack: out.map(putBackRow), liveProofMissing: await isLiveProofMissing(ctx, visit.id, holds),
  };
}

type Counting = Awaited<ReturnType<typeof countingChecksOfVisit>>[number];

/** Excused 'in this visit' and not done well since. */
function excusedStillOwed(counting: readonly Counting[]): Counting[] {
  const isAgain = (one: Counting) => checkDefinition(one.checkKind)?.excusable.find((excuse) => excuse.code === one.excuseCode)?.owedAgain === 'this-visit';
  const last = new Map<string, Counting>();
  for (const check of counting) if (check.verdict !== 'not-done') last.set(`${check.subjectId}:${check.checkKind}`, check);
  return [...last.values()].filter((check) => check.verdict === 'excused' && isAgain(check));
}

/** Good checks that a failure contradicts, one for each subject and kind that nothing good stands for. */
function contradicted(all: readonly Found<'check'>[], counting: readonly Counting[]): Found<'check'>[] {
  const standing = new Set(counting.map((check) => check.id));
  const good = new Set(counting.filter((check) => isGood(check)).map((check) => `${check.subjectId}:${check.checkKind}`));
  const corrected = new Set(all.flatMap((check) => check.correctsId ?? []));
  const hidden = all.filter((check) => isGood(check) && !standing.has(check.id) && !corrected.has(check.id) && !good.has(`${check.subjectId}:${check.checkKind}`));
  return [...new Map(hidden.map((check) => [`${check.subjectId}:${check.checkKind}`, check])).values()];
}

/** One real signal, seen by the station as live, after the last hold: a fact of its own, or the restoring check that says so. */
async function isLiveProofMissing(ctx: Ctx, visitId: string, holds: readonly HoldRow[]): Promise<boolean> {
  if (holds.length === 0) return false;
  const ended = holds.map((hold) => hold.closedAt).sort().at(-1);
  if (holds.some((hold) => hold.closedAt === null) || !ended) return true;
  const since = new Date(ended);
  if (await ctx.tx.db.visitFact.findFirst({ where: { ...own(ctx), visitId, kind: 'live-proof', at: { gte: since } } })) return false;
  return !(await ctx.tx.db.check.findFirst({ where: { ...own(ctx), visitId, checkKind: 'restore-normal', verdict: 'pass', performedAt: { gte: since }, readings: { some: { key: 'liveSignal', flag: true } } } }));
}

// ── who may ─────────────────────────────────────────────────────────────────

interface Needs { readonly title: string; readonly skills: readonly string[]; readonly licences: readonly string[] }

/** VIS-4. Refuses with NotLicensed, in words, when the technician lacks a skill or a licence on that day; a licence without an end can't be told valid. */
export async function requireQualified(ctx: Ctx, technicianId: string, needs: readonly Needs[], day: string): Promise<void> {
  const technician = await ctx.tx.db.technician.findUnique({ where: { companyId_id: { ...own(ctx), id: technicianId } }, include: { licences: true } });
  if (!technician) throw new Refusal('NotFound', 'There is no technician by that id.');
  const on = dbDay(day);
  const valid = technician.licences.filter((licence) => licence.validTo !== null && licence.validTo >= on && (licence.validFrom === null || licence.validFrom <= on)).map((licence) => licence.kind);
  const faults = new Set<string>();
  for (const need of needs) {
    for (const skill of need.skills.filter((one) => !technician.skills.includes(one))) faults.add(`skill ${skill}`);
    if (need.licences.length > 0 && !need.licences.some((one) => valid.includes(one))) {
      const ended = technician.licences.find((licence) => need.licences.includes(licence.kind));
      faults.add(`licence ${need.licences.join(' or ')}${ended ? ended.validTo ? ` (last valid day ${dayText(ended.validTo)})` : ' (its last valid day is not known)' : ''}`);
    }
  }
  if (faults.size > 0) throw new Refusal('NotLicensed', `${technician.name} lacks on ${day}: ${[...faults].join('; ')}. Somebody who has it must do this visit.`, { data: { technician: technician.name, day, lacks: [...faults] } });
}

export async function needsOfVisit(ctx: Ctx, visitId: string): Promise<(Needs & { checkKinds: string[] })[]> {
  return ctx.tx.db.duty.findMany({ where: { ...own(ctx), visitDuties: { some: { visitId } } }, select: { title: true, skills: true, licences: true, checkKinds: true } });
}

// ── recording checks ────────────────────────────────────────────────────────

/** All that judging the checks of one visit looks at, loaded once for a whole batch. */
export interface Bench { readonly visit: Visit; readonly at: Installed; readonly subjects: ReadonlyMap<string, Subject>; readonly holds: readonly Hold[]; readonly needs: readonly (Needs & { checkKinds: string[] })[] }

export async function benchOf(ctx: Ctx, visit: Visit, at: Installed): Promise<Bench> {
  const holds = await ctx.tx.db.hold.findMany({ where: { ...own(ctx), visitId: visit.id }, orderBy: { openedAt: 'asc' } });
  return { visit, at, subjects: new Map(subjectsOf(at).map((subject) => [`${subject.kind}:${subject.id}`, subject])), holds, needs: await needsOfVisit(ctx, visit.id) };
}

const badInput = (path: string, message: string): Refusal => new Refusal('BadInput', `${path}: ${message}`, { errors: [{ path, message }] });

/** VIS-3. Same id and body: recorded before, also when the visit is closed by now. Another body or another visit: IdReused. */
export async function givenBefore(ctx: Ctx, id: string, digest: string): Promise<boolean> {
  const before = await ctx.tx.db.check.findUnique({ where: { companyId_id: { ...own(ctx), id } }, select: { bodyDigest: true } });
  if (before && before.bodyDigest !== digest) throw new Refusal('IdReused', 'This id was already used for another check, or for this one with other content. What was recorded stands; make a new id for a further check.');
  return before !== null;
}

/** VIS-5. The hold that makes this check safe at that moment, or HoldRequired in the words the technician must hear. */
function holdFor(bench: Bench, subject: Subject, at: Date): Hold | null {
  const live = bench.at.accounts.filter((account) => account.status !== 'cancelled').map((account) => account.id);
  const held = bench.holds.map((hold) => ({ ...hold, openedAt: hold.openedAt.toISOString(), untilAt: hold.untilAt.toISOString(), closedAt: hold.closedAt?.toISOString() ?? null }));
  const cover = holdCover(held, subject, live, at.toISOString());
  if (cover.isCovered) return bench.holds.find((hold) => hold.id === cover.hold?.id) ?? null;
  const accountIds = subject.accountId !== null ? [subject.accountId] : live;
  throw new Refusal('HoldRequired', `live: this would be a real alarm. At ${at.toISOString()} ${cover.why}. Put the account on test, or extend the hold with the station, then do it.`, { data: { accountIds, endedAt: cover.last?.untilAt ?? null, subject: subject.name, part: subject.systemKind } });
}

interface Outcome { verdict: CheckRow['verdict']; computed: Judgement | null; reason: string; overruleReason: string | null; excuseCode: string | null; evidence: EvidenceGrade; reliable: boolean }

/** VIS-6. The verdict that stands: computed, overruled, excused, or not done; both values are kept. */
function outcomeOf(input: CheckBody, definition: CheckDefinition, computed: Judgement): Outcome {
  const reason = input.reason ?? '';
  const kept = { computed, overruleReason: null, excuseCode: null, evidence: computed.evidence, reliable: computed.reliable };
  if (input.outcome === 'not-done') {
    if (reason.length < 3) throw badInput('reason', 'must say why it was not tried');
    return { ...kept, computed: Object.keys(input.readings).length === 0 ? null : computed, verdict: 'not-done', reason };
  }
  if (input.outcome === 'excused') {
    const excuse = isExcusable(definition, computed, input.excuseCode ?? '');
    if (!excuse) throw badInput('excuseCode', `'${input.excuseCode ?? ''}' excuses nothing here; accepted for a check that did not pass: ${definition.excusable.map((one) => one.code).join(', ') || 'none for this kind of check'}`);
    return { ...kept, verdict: 'excused', excuseCode: excuse.code, reason: `Excused: ${excuse.words}. ${computed.reason}` };
  }
  if (input.overrule) {
    const overruled = overruleOf(input.overrule, computed);
    if (overruled.overrule) return { ...kept, verdict: overruled.verdict as CheckRow['verdict'], reason: computed.reason, overruleReason: overruled.overrule.reason || 'by the technician, downward' };
  }
  if (computed.verdict === 'not-enough-data') return { ...kept, verdict: 'not-done', reason: computed.reason };
  // An instrument that is not to be relied on proves nothing; what it shows as failed is still worth mending.
  if (!computed.reliable && computed.verdict !== 'fail') return { ...kept, verdict: 'not-done', reason: `Stored, not proven: ${computed.notes.at(-1) ?? 'the instrument is not to be relied on'} ${computed.reason}` };
  return { ...kept, verdict: computed.verdict, reason: computed.reason };
}

function overruleOf(overrule: NonNullable<CheckBody['overrule']>, computed: Judgement) {
  try {
    return applyOverrule(computed, overrule);
  } catch (error) {
    if (error instanceof OverruleRefused) throw badInput('overrule.reason', error.message);
    throw error;
  }
}

export interface Recorded { readonly id: string; readonly entries: readonly LedgerEntry[]; readonly summary: string }

/**
 * Appends one check: judged here from what is known of its subject, with readings, put-back items and deficiencies. The
 * caller has locked the visit; credits, ledger and follow-up are settled once for all checks of the request (settleRecorded).
 */
export async function recordOne(ctx: Ctx, bench: Bench, input: CheckBody, correcting: { id: string; performedAt: Date } | null = null): Promise<Recorded> {
  // A correction speaks of what was done then, so it stands at the corrected check's moment.
  const at = correcting?.performedAt ?? doneAt(ctx, input);
  const correctsId = correcting?.id ?? null;
  const isLate = bench.visit.state !== 'open' && bench.visit.openedAt !== null && bench.visit.closedAt !== null && at >= bench.visit.openedAt && at <= bench.visit.closedAt && input.deviceClockAt !== undefined;
  // VIS-7. Done while the visit was open and only delivered after: kept, marked late, and counted; nothing that was entered is lost.
  if (!isLate && correctsId === null) requireOpen(bench.visit);
  const definition = checkDefinition(input.checkKind);
  if (!definition) throw badInput('checkKind', `'${input.checkKind}' is no check of the catalogue`);
  const subject = bench.subjects.get(`${input.subjectKind}:${input.subjectId}`);
  if (!subject) throw badInput('subjectId', `there is no ${input.subjectKind} by that id at this site`);
  if (!fits(definition, subject)) throw badInput('checkKind', `'${definition.title}' is not done on ${subject.name} (${subject.deviceKind ?? subject.kind})`);
  const isTried = input.outcome === 'judged' || (input.outcome === 'excused' && Object.keys(input.readings).length > 0);
  const hold = definition.needsHold && isTried && correctsId === null ? holdFor(bench, subject, at) : null;
  const technicianId = ctx.who.technicianId ?? bench.visit.technicianId;
  const day = localDayOf(at, bench.visit.site.timeZone);
  if (definition.licensed && input.outcome !== 'not-done') {
    const needs = bench.needs.filter((need) => need.checkKinds.includes(definition.key)).map((need) => ({ ...need, skills: [] }));
    if (technicianId !== null && needs.length > 0) await requireQualified(ctx, technicianId, needs, day);
  }
  const instrument = input.instrumentId === null ? null : await ctx.tx.db.instrument.findUnique({ where: { companyId_id: { ...own(ctx), id: input.instrumentId } } });
  if (input.instrumentId !== null && !instrument) throw badInput('instrumentId', 'there is no instrument by that id');
  const facts = { ...checkFactsOf(bench.at, subject), ...(instrument ? { instrument: { name: `${instrument.kind} ${instrument.serial}`, ...(instrument.calibratedTo ? { calibratedUntil: dayText(instrument.calibratedTo) } : {}) } } : {}) };
  const problems = readingProblems(definition, input.readings, day, facts);
  if (problems.length > 0) throw new Refusal('BadInput', problems.map((problem) => problem.words).join(' '), { errors: problems.map((problem) => ({ path: `readings.${problem.reading}`, message: problem.words })) });
  const computed = judge(definition, input.readings, facts, day);
  const outcome = outcomeOf(input, definition, computed);
  const responses = isTried && input.responses ? answeredResponses(definition, input.responses, (ctx.now.getTime() - at.getTime()) / 1000) : [];
  const check = await ctx.tx.db.check.create({ include: { readings: true }, data: {
    ...own(ctx), id: input.id, bodyDigest: checkDigest(ctx, bench.visit.id, input, correctsId), visitId: bench.visit.id, siteId: bench.visit.siteId, systemId: subject.systemId, subjectKind: subject.kind, subjectId: subject.id, checkKind: definition.key,
    performedOn: dbDay(day), performedAt: at, deviceClockAt: input.deviceClockAt ? new Date(input.deviceClockAt) : null, recordedAt: ctx.now, technicianId, recordedBy: ctx.who.userId,
    verdict: outcome.verdict, computedVerdict: outcome.computed === null ? null : outcome.computed.applicable ? outcome.computed.verdict : 'not-applicable', reason: outcome.reason, marginValue: computed.margin?.value ?? null, marginUnit: computed.margin?.unit ?? null,
    limitSource: computed.limitSource, overruleReason: outcome.overruleReason, excuseCode: outcome.excuseCode, evidence: outcome.evidence, source: 'field', holdId: hold?.id ?? null, correctsId, notes: input.notes,
    judgement: { notes: [...computed.notes], missing: [...computed.missing], applicable: computed.applicable, reliable: computed.reliable, phoneVerdict: input.phoneVerdict, ...(responses.length > 0 ? { responses: responses.map(({ response, verdict, words }) => ({ what: response.what, where: response.where, verdict, words })) } : {}), ...(isLate ? { late: true } : {}) },
    readings: { createMany: { data: definition.readings.flatMap((reading) => readingRow(input.readings[reading.key], reading.key, reading.unit, instrument?.id ?? null, outcome.reliable)) } },
  } });
  await takeOut(ctx, bench.visit.id, check.id, at, [...(isTried ? definition.disturbs : []), ...input.alsoOut]);
  const otherPaths = bench.at.paths.filter((path) => path.systemId === subject.systemId && path.id !== subject.id).length;
  const settled = await settleDeficiencies(ctx, check, { definition, systemKind: subject.systemKind, subjectName: subject.room === null ? subject.name : `${subject.name}, ${subject.room}`, otherPaths, findings: outcome.computed?.findings ?? [], responses });
  if (correctsId === null) await watchDelayed(ctx, check, responses.filter((_, n) => input.responses?.[n] != null), bench.at.accounts.find((account) => account.id === subject.accountId)?.number ?? null);
  return { id: check.id, entries: [checkEntry(check), ...settled.entries], summary: `${definition.title} on ${subject.name}: ${outcome.verdict}` };
}

/** What came of the expected responses. Only the station's may still come after the person has said 'not seen'; what the site or the control unit does not show then, it does not show. */
function answeredResponses(definition: CheckDefinition, answers: NonNullable<CheckBody['responses']>, sinceS: number): ResponseOutcome[] {
  const given = definition.expectedResponses.map((_, at) => { const answer = answers[at] ?? null; return answer?.answer === 'seen' ? { answer: answer.answer, ...(answer.afterS === undefined ? {} : { afterS: answer.afterS }) } : answer; });
  const over = responseOutcomes(definition, given, Infinity);
  return responseOutcomes(definition, given, sinceS).map((outcome, at) => (outcome.response.where === 'station' ? outcome : over[at]!));
}

export const checkDigest = (ctx: Ctx, visitId: string, input: CheckBody, correctsId: string | null): string => bodyDigest(ctx, { ...input, visitId, correctsId });

function readingRow(value: number | boolean | string | null | undefined, key: string, unit: string, instrumentId: string | null, reliable: boolean) {
  if (value === undefined || value === null) return [];
  const measured = typeof value === 'number' && instrumentId !== null;
  return [{ key, unit: unit || null, number: typeof value === 'number' ? value : null, flag: typeof value === 'boolean' ? value : null, text: typeof value === 'string' ? value : null, instrumentId: measured ? instrumentId : null, reliable: measured ? reliable : null }];
}

/** Adds to the put-back list what is not on it already. */
async function takeOut(ctx: Ctx, visitId: string, checkId: string, at: Date, what: readonly string[]): Promise<void> {
  if (what.length === 0) return;
  const there = await ctx.tx.db.putBack.findMany({ where: { ...own(ctx), visitId, what: { in: [...what] }, putBackAt: null, handedTo: null }, select: { what: true } });
  const fresh = [...new Set(what)].filter((one) => !there.some((row) => row.what === one));
  if (fresh.length > 0) await ctx.tx.db.putBack.createMany({ data: fresh.map((one) => ({ ...own(ctx), id: ctx.newId(), visitId, what: one, takenOutAt: at, byCheckId: checkId })) });
}

/** What follows all checks of one request: credits and windows of the site, one activity line, later work, and last the ledger. */
export async function settleRecorded(ctx: Ctx, visit: Visit, recorded: readonly Recorded[]): Promise<void> {
  if (recorded.length === 0) return;
  await refreshSite(ctx, visit.siteId);
  await later(ctx, 'standing-refresh', { siteId: visit.siteId });
  await note(ctx, { act: 'record-check', about: 'visit', id: visit.id, siteId: visit.siteId, summary: recorded.length === 1 ? recorded[0]!.summary : `${recorded.length} checks: ${recorded.slice(0, 3).map((one) => one.summary).join('; ')}${recorded.length > 3 ? ' ...' : ''}` });
  await appendLeaves(ctx, recorded.flatMap((one) => one.entries));
}

export function checkRow(check: Found<'check'> & { readings: readonly { key: string; unit: string | null; number: number | null; flag: boolean | null; text: string | null; instrumentId: string | null; reliable: boolean | null }[] }): CheckRow {
  return {
    id: check.id, visitId: check.visitId, systemId: check.systemId, subjectKind: check.subjectKind, subjectId: check.subjectId, checkKind: check.checkKind, performedOn: dayText(check.performedOn),
    performedAt: check.performedAt.toISOString(), deviceClockAt: check.deviceClockAt?.toISOString() ?? null, recordedAt: check.recordedAt.toISOString(), technicianId: check.technicianId, recordedBy: check.recordedBy,
    verdict: check.verdict as CheckRow['verdict'], computedVerdict: check.computedVerdict, reason: check.reason, marginValue: check.marginValue, marginUnit: check.marginUnit, limitSource: check.limitSource, overruleReason: check.overruleReason,
    excuseCode: check.excuseCode, evidence: check.evidence, holdId: check.holdId, correctsId: check.correctsId, notes: check.notes, judgement: check.judgement as CheckRow['judgement'],
    readings: [...check.readings].sort((a, b) => (a.key < b.key ? -1 : 1)).map((reading) => ({ key: reading.key, unit: reading.unit, value: reading.number ?? reading.flag ?? reading.text, instrumentId: reading.instrumentId, reliable: reading.reliable })),
  };
}

/** The answers to recorded checks, read back from what was written: the same for a first sending and for every later one. */
export async function answersOf(ctx: Ctx, ids: readonly string[]): Promise<Map<string, CheckRecorded>> {
  const { db } = ctx.tx;
  const checks = await db.check.findMany({ where: { ...own(ctx), id: { in: [...ids] } }, include: { readings: true, credits: { orderBy: { dutyId: 'asc' } } } });
  const facts = await db.deficiencyFact.findMany({ where: { ...own(ctx), checkId: { in: [...ids] } }, orderBy: { id: 'asc' }, include: { deficiency: true } });
  const out = await db.putBack.findMany({ where: { ...own(ctx), byCheckId: { in: [...ids] } }, orderBy: { id: 'asc' } });
  return new Map(checks.map(({ credits, ...check }) => {
    const row = checkRow(check);
    const mine = facts.filter((fact) => fact.checkId === check.id);
    return [check.id, {
      check: row,
      deficiencies: mine.filter((fact) => fact.kind !== 'retest-passed').map(({ kind, deficiency }) => ({ id: deficiency.id, title: deficiency.title, severity: deficiency.severity as Severity, dueOn: dayText(deficiency.dueOn), how: kind })),
      closedDeficiencyIds: mine.filter((fact) => fact.kind === 'retest-passed').map((fact) => fact.deficiencyId),
      creditedDutyIds: credits.map((credit) => credit.dutyId), putBack: out.filter((item) => item.byCheckId === check.id).map((item) => ({ id: item.id, what: item.what })),
      phoneDiffers: row.judgement.phoneVerdict != null && row.judgement.phoneVerdict !== row.computedVerdict,
    }];
  }));
}
