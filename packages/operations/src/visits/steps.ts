import { Refusal, type HoldRow, type PlanChange, type PutBackRow, type RoundChange, type VisitOwed, type VisitRow } from '@bellround/contracts';
import { countingChecksOfVisit, creditsInVisit, lapsesOf, lockVisitRow, metByOf } from '@bellround/database';
import { checkDefinition, type Programme } from '@bellround/programmes';
import { canonicalJson, type JsonValue } from '@bellround/proof';
import { isGood, retestKindOf } from '../deficiencies/steps.js';
import { subjectNames } from '../installed.js';
import type { Ctx } from '../perform.js';
import { factEntry, type LedgerEntry } from '../proof/steps.js';
import { dayText, dayTextOrNull, dbDay, grouped, localDayOf, own } from '../steps.js';

type Db = Ctx['tx']['db'];
type Found<K extends 'visit' | 'hold' | 'check' | 'putBack'> = NonNullable<Awaited<ReturnType<Db[K]['findFirst']>>>;
export type Visit = Found<'visit'> & { site: NonNullable<Awaited<ReturnType<Db['site']['findFirst']>>> };
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
  const duties = await db.duty.findMany({ where: { ...own(ctx), visitDuties: { some: { visitId } } }, include: { application: { select: { programmeId: true } } } });
  const dutyIds = duties.map((duty) => duty.id);
  const [credited, closed] = [grouped(await creditsInVisit(ctx.tx, visitId, dutyIds), (row) => row.dutyId), grouped(await metByOf(ctx.tx, dutyIds), (row) => row.dutyId)];
  const checkIds = new Set((await db.check.findMany({ where: { ...own(ctx), visitId }, select: { id: true } })).map((check) => check.id));
  const programmes = await db.programme.findMany({ where: { ...own(ctx), id: { in: [...new Set(duties.map((duty) => duty.application.programmeId))] } }, select: { id: true, body: true } });
  const meets = new Map(programmes.flatMap(({ id, body }) => ((body as unknown as Partial<Programme>).rules ?? []).map((rule) => [`${id}:${rule.key}`, rule.meets] as const)));
  const met = new Map<string, string>();
  for (const duty of duties) {
    const closing = closed.get(duty.id)?.find((window) => checkIds.has(window.metBy))?.metBy;
    const isShare = (duty.cadence as { kind?: string }).kind === 'share';
    const credits = credited.get(duty.id) ?? [];
    const kinds = new Set(credits.map((credit) => credit.checkKind));
    const isWhole = !isShare && kinds.size > 0 && (meets.get(`${duty.application.programmeId}:${duty.ruleKey}`) !== 'all' || duty.checkKinds.every((kind) => kinds.has(kind)));
    if (closing) met.set(duty.id, closing);
    else if (isWhole) met.set(duty.id, credits.at(-1)!.checkId);
  }
  return met;
}

/** VIS-10. Of a part that was taken out nothing is owed any more. What stands between the visit and its close, and what stays owed after it. */
export async function visitOwed(ctx: Ctx, visit: Visit): Promise<VisitOwed> {
  const { db } = ctx.tx;
  const met = await metDuties(ctx, visit.id);
  const duties = await db.duty.findMany({ where: { ...own(ctx), visitDuties: { some: { visitId: visit.id } }, id: { notIn: [...met.keys()] }, OR: [{ validTo: null }, { validTo: { gte: dbDay(localDayOf(visit.openedAt ?? ctx.now, visit.site.timeZone)) } }] } });
  const lapses = await lapsesOf(ctx.tx, duties.map((duty) => duty.id));
  const deficiencies = await db.deficiency.findMany({ where: { ...own(ctx), state: 'open', visits: { some: { visitId: visit.id } } } });
  const counting = await countingChecksOfVisit(ctx.tx, visit.id);
  const all = await db.check.findMany({ where: { ...own(ctx), visitId: visit.id } });
  const names = await subjectNames(ctx, [...duties, ...all]);
  const nameOf = (row: { subjectId: string; subjectKind: string }) => names.get(row.subjectId) ?? row.subjectKind;
  const holds = await holdRows(ctx, { visitId: visit.id });
  const out = await db.putBack.findMany({ where: { ...own(ctx), visitId: visit.id, putBackAt: null, handedTo: null }, orderBy: { takenOutAt: 'asc' } });
  const dutyMinutes = duties.map((duty) => ({ id: duty.id, title: duty.title, subjectName: nameOf(duty), minutes: duty.minutes, lapses: lapses.get(duty.id) ?? null }));
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

export interface Needs { readonly title: string; readonly skills: readonly string[]; readonly licences: readonly string[] }

export type Technician = NonNullable<Awaited<ReturnType<typeof technicianOf>>>;

/** The technician with licences, or NotFound. */
export async function technicianOf(ctx: Ctx, technicianId: string) {
  const technician = await ctx.tx.db.technician.findUnique({ where: { companyId_id: { ...own(ctx), id: technicianId } }, include: { licences: true } });
  if (!technician) throw new Refusal('NotFound', 'There is no technician by that id.');
  return technician;
}

/** VIS-4. Refuses with NotLicensed, in words, when the technician lacks a skill or a licence on that day; a licence without an end can't be told valid. */
export async function requireQualified(ctx: Ctx, technicianId: string, needs: readonly Needs[], day: string): Promise<void> {
  refuseUnqualified(await technicianOf(ctx, technicianId), needs, day);
}

export function refuseUnqualified(technician: Technician, needs: readonly Needs[], day: string): void {
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

/** Publications looked back at for changes that a technician has not seen; older ones no longer say anything of the days ahead. */
const CHANGES_BACK_DAYS = 21;

/** What was published since and touches this technician's days from `today` on, newest first, as long as it was not seen. */
export async function unseenChanges(ctx: Ctx, technicianId: string, today: string): Promise<RoundChange[]> {
  const publications = await ctx.tx.db.publication.findMany({
    where: { ...own(ctx), at: { gte: new Date(ctx.now.getTime() - CHANGES_BACK_DAYS * 86_400_000) }, seen: { none: { technicianId } } }, select: { id: true, at: true, byName: true, replacedPlanId: true, changes: true }, orderBy: { at: 'desc' }, take: 20 });
  return publications.map((one): RoundChange => ({
    publicationId: one.id, at: one.at.toISOString(), byName: one.byName, first: one.replacedPlanId === null,
    lines: (one.changes as unknown as PlanChange[]).flatMap((change): RoundChange['lines'] => {
      const spot = (at: PlanChange['from']) => (at === null ? null : { day: at.day, startMin: at.startMin, withName: at.technicianName });
      const [had, has] = [change.from?.technicianId === technicianId, change.to?.technicianId === technicianId];
      if (!had && !has) return [];
      if (![change.from, change.to].some((at) => at !== null && at.day >= today)) return [];
      return [{ visitId: change.visitId, siteName: change.siteName, kind: had && has ? 'moved' : has ? 'came' : 'gone', was: spot(change.from), now: spot(change.to) }];
    }),
  })).filter((one) => one.lines.length > 0);
}
