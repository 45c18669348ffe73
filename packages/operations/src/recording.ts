import { applyOverrule, isExcusable, judge, OverruleRefused, readingProblems, responseOutcomes, type CheckDefinition, type EvidenceGrade, type Judgement, type ResponseOutcome } from '@bellround/acceptance';
import { holdCover, Refusal, type CheckBody, type CheckRecorded, type CheckRow, type Severity } from '@bellround/contracts';
import { creditsOfChecks } from '@bellround/database';
import { checkDefinition } from '@bellround/programmes';
import type { Check } from './deficiencies/steps.js';
import { openBook, settleCheck, writeBook, type Judged } from './deficiency-book.js';
import { checkFactsOf, dropsOf, fits, installedAt, receiverOf, subjectsOf, type Installed, type Subject } from './installed.js';
import type { Ctx } from './perform.js';
import { appendLeaves, checkEntry } from './proof/steps.js';
import { watchDelayed } from './signals/steps.js';
import { refreshSite } from './standing/steps.js';
import { dayText, dbDay, grouped, later, localDayOf, note, own } from './steps.js';
import { bodyDigest, doneAt, needsOfVisit, refuseUnqualified, requireOpen, technicianOf, type Needs, type Technician, type Visit } from './visits/steps.js';

// How checks are judged and recorded, one or a whole batch. Shared by the acts that record; no act.


type Db = Ctx['tx']['db'];
type Found<K extends 'hold' | 'instrument' | 'reading'> = NonNullable<Awaited<ReturnType<Db[K]['findFirst']>>>;
type Hold = Found<'hold'>;
type Reading = Found<'reading'>;

/** One check as it was sent; a correction names the check it corrects and stands at that one's moment. */
export interface Sent { readonly body: CheckBody; readonly correcting?: { readonly id: string; readonly performedAt: Date } }

/** All that judging the checks of one request looks at, loaded once however many they are. */
interface Bench {
  readonly visit: Visit;
  readonly at: Installed;
  readonly subjects: ReadonlyMap<string, Subject>;
  readonly holds: readonly Hold[];
  readonly needs: readonly (Needs & { checkKinds: string[] })[];
  readonly instruments: ReadonlyMap<string, Found<'instrument'>>;
  readonly technician: Technician | null;
}

async function benchOf(ctx: Ctx, visit: Visit, at: Installed, sent: readonly Sent[]): Promise<Bench> {
  const { db } = ctx.tx;
  const holds = await db.hold.findMany({ where: { ...own(ctx), visitId: visit.id }, orderBy: { openedAt: 'asc' } });
  const needs = await needsOfVisit(ctx, visit.id);
  const instrumentIds = [...new Set(sent.flatMap(({ body }) => body.instrumentId ?? []))];
  const instruments = instrumentIds.length === 0 ? [] : await db.instrument.findMany({ where: { ...own(ctx), id: { in: instrumentIds } } });
  const technicianId = ctx.who.technicianId ?? visit.technicianId;
  const technician = technicianId === null || needs.every((need) => need.licences.length === 0) ? null : await technicianOf(ctx, technicianId);
  return { visit, at: { ...at, drops: new Map([...at.drops, ...dropsOf(at, marginsSent(ctx, visit, sent))]) }, subjects: new Map(subjectsOf(at).map((subject) => [`${subject.kind}:${subject.id}`, subject])), holds, needs, instruments: new Map(instruments.map((one) => [one.id, one])), technician };
}

/** The margins of one sending: each knows of the others, in whatever order they stand. */
function marginsSent(ctx: Ctx, visit: Visit, sent: readonly Sent[]) {
  return sent.flatMap(({ body, correcting }) => {
    const { levelDbm, noiseDbm } = body.readings;
    if (body.checkKind !== 'wireless-margin' || body.outcome === 'not-done' || typeof levelDbm !== 'number' || typeof noiseDbm !== 'number') return [];
    return [{ checkId: body.id, subjectId: body.subjectId, performedOn: localDayOf(correcting?.performedAt ?? doneAt(ctx, body), visit.site.timeZone), levelDbm, noiseDbm }];
  });
}

const badInput = (path: string, message: string): Refusal => new Refusal('BadInput', `${path}: ${message}`, { errors: [{ path, message }] });

/** VIS-5. The hold that makes this check safe at that moment, or HoldRequired in the words the technician must hear. */
function holdFor(bench: Bench, subject: Subject, at: Date): Hold | null {
  const live = bench.at.accounts.filter((account) => account.status !== 'cancelled').map((account) => account.id);
  const held = bench.holds.map((hold) => ({ ...hold, openedAt: hold.openedAt.toISOString(), untilAt: hold.untilAt.toISOString(), closedAt: hold.closedAt?.toISOString() ?? null }));
  const cover = holdCover(held, subject, live, at.toISOString());
  if (cover.isCovered) return bench.holds.find((hold) => hold.id === cover.hold?.id) ?? null;
  const accountIds = subject.accountId !== null ? [subject.accountId] : live;
  throw new Refusal('HoldRequired', `live - will dispatch: a signal now is a real alarm. At ${at.toISOString()} ${cover.why}. Put the account on test, or extend the hold with the station, then do it.`, { data: { accountIds, endedAt: cover.last?.untilAt ?? null, subject: subject.name, part: subject.systemKind } });
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

/** A check judged and ready to be written, with what it takes out of normal and what it means. */
interface Draft { readonly check: Check; readonly readings: readonly Reading[]; readonly takesOut: readonly string[]; readonly judged: Judged; readonly awaited: readonly ResponseOutcome[]; readonly accountNumber: string | null; readonly summary: string }

/**
 * Records checks in the order given: each judged here from what is known of its subject or refused on its own, then all written at
 * once with readings, put-back items, deficiencies, credits, follow-up and, last, the ledger: a fixed number of statements, however
 * many checks. One that was recorded before with the same body is left alone (VIS-3). The caller has locked the visit.
 */
export async function recordAll(ctx: Ctx, visit: Visit, sent: readonly Sent[]): Promise<Map<string, Refusal>> {
  const before = await ctx.tx.db.check.findMany({ where: { ...own(ctx), id: { in: sent.map(({ body }) => body.id) } }, select: { id: true, bodyDigest: true } });
  const given = new Map(before.map((check) => [check.id, check.bodyDigest]));
  const refused = new Map<string, Refusal>();
  if (sent.every(({ body, correcting }) => given.get(body.id) === checkDigest(ctx, visit.id, body, correcting?.id ?? null))) return refused;
  const bench = await benchOf(ctx, visit, await installedAt(ctx, visit.site, visit.id), sent);
  const drafts: Draft[] = [];
  for (const one of sent) {
    try {
      const digest = checkDigest(ctx, visit.id, one.body, one.correcting?.id ?? null);
      if (isGivenBefore(given, one.body.id, digest)) continue;
      drafts.push(draftOf(ctx, bench, one, digest));
      given.set(one.body.id, digest);
    } catch (error) {
      // Nothing is written yet, so the others stand.
      if (!(error instanceof Refusal)) throw error;
      refused.set(one.body.id, error);
    }
  }
  if (drafts.length > 0) await writeDrafts(ctx, visit, drafts);
  return refused;
}

/** VIS-3. Same id and body: recorded before, also when the visit is closed by now. Another body or another visit: IdReused. */
function isGivenBefore(given: ReadonlyMap<string, string>, id: string, digest: string): boolean {
  const before = given.get(id);
  if (before !== undefined && before !== digest) throw new Refusal('IdReused', 'This id was already used for another check, or for this one with other content. What was recorded stands; make a new id for a further check.');
  return before !== undefined;
}

function draftOf(ctx: Ctx, bench: Bench, { body: input, correcting }: Sent, digest: string): Draft {
  // A correction speaks of what was done then, so it stands at the corrected check's moment.
  const at = correcting?.performedAt ?? doneAt(ctx, input);
  const correctsId = correcting?.id ?? null;
  const { visit } = bench;
  const isLate = visit.state !== 'open' && visit.openedAt !== null && visit.closedAt !== null && at >= visit.openedAt && at <= visit.closedAt && input.deviceClockAt !== undefined;
  // VIS-7. Done while the visit was open and only delivered after: kept, marked late, and counted; nothing that was entered is lost.
  if (!isLate && correctsId === null) requireOpen(visit);
  const { definition, subject } = whatIsChecked(bench, input);
  const isTried = input.outcome === 'judged' || (input.outcome === 'excused' && Object.keys(input.readings).length > 0);
  const hold = definition.needsHold && isTried && correctsId === null ? holdFor(bench, subject, at) : null;
  const day = localDayOf(at, visit.site.timeZone);
  if (definition.licensed && input.outcome !== 'not-done' && bench.technician) refuseUnqualified(bench.technician, bench.needs.filter((need) => need.checkKinds.includes(definition.key)).map((need) => ({ ...need, skills: [] })), day);
  const instrument = input.instrumentId === null ? null : bench.instruments.get(input.instrumentId) ?? null;
  if (input.instrumentId !== null && !instrument) throw badInput('instrumentId', 'there is no instrument by that id');
  const facts = { ...checkFactsOf(bench.at, subject), ...(instrument ? { instrument: { name: `${instrument.kind} ${instrument.serial}`, ...(instrument.calibratedTo ? { calibratedUntil: dayText(instrument.calibratedTo) } : {}) } } : {}) };
  const problems = readingProblems(definition, input.readings, day, facts);
  if (problems.length > 0) throw new Refusal('BadInput', problems.map((problem) => problem.words).join(' '), { errors: problems.map((problem) => ({ path: `readings.${problem.reading}`, message: problem.words })) });
  const computed = judge(definition, input.readings, facts, day);
  const outcome = outcomeOf(input, definition, computed);
  const responses = isTried && input.responses ? answeredResponses(definition, input.responses, (ctx.now.getTime() - at.getTime()) / 1000) : [];
  const check: Check = {
    ...own(ctx), id: input.id, bodyDigest: digest, visitId: visit.id, siteId: visit.siteId, systemId: subject.systemId, subjectKind: subject.kind, subjectId: subject.id, checkKind: definition.key,
    performedOn: dbDay(day), performedAt: at, deviceClockAt: input.deviceClockAt ? new Date(input.deviceClockAt) : null, recordedAt: ctx.now, technicianId: ctx.who.technicianId ?? visit.technicianId, recordedBy: ctx.who.userId,
    verdict: outcome.verdict, computedVerdict: outcome.computed === null ? null : outcome.computed.applicable ? outcome.computed.verdict : 'not-applicable', reason: outcome.reason, marginValue: computed.margin?.value ?? null, marginUnit: computed.margin?.unit ?? null,
    limitSource: computed.limitSource ?? null, overruleReason: outcome.overruleReason, excuseCode: outcome.excuseCode, evidence: outcome.evidence, source: 'field', holdId: hold?.id ?? null, correctsId, notes: input.notes,
    judgement: { notes: [...computed.notes], missing: [...computed.missing], applicable: computed.applicable, reliable: computed.reliable, phoneVerdict: input.phoneVerdict, ...(responses.length > 0 ? { responses: responses.map(({ response, verdict, words }) => ({ what: response.what, where: response.where, verdict, words })) } : {}), ...(isLate ? { late: true } : {}) },
  };
  return {
    check, readings: definition.readings.flatMap((reading) => readingRow(check, input.readings[reading.key], reading.key, reading.unit, instrument?.id ?? null, outcome.reliable)), takesOut: [...(isTried ? definition.disturbs : []), ...input.alsoOut],
    judged: { definition, systemKind: subject.systemKind, subjectName: subject.room === null ? subject.name : `${subject.name}, ${subject.room}`, otherPaths: bench.at.paths.filter((path) => path.systemId === subject.systemId && path.id !== subject.id).length, findings: outcome.computed?.findings ?? [], responses, ...fellTogether(bench.at, subject, definition, outcome.computed) },
    awaited: correctsId === null ? responses.filter((_, n) => input.responses?.[n] != null) : [], accountNumber: bench.at.accounts.find((account) => account.id === subject.accountId)?.number ?? null, summary: `${definition.title} on ${subject.name}: ${outcome.verdict}`,
  };
}

/** DEF-9. The receiver on which a margin that fell with others is raised, and those others with the check that read each. */
function fellTogether(at: Installed, subject: Subject, definition: CheckDefinition, computed: Judgement | null): Pick<Judged, 'together'> {
  if (!computed?.findings.some((finding) => finding.code === 'receiver-drop')) return {};
  const { key, name, deviceId } = receiverOf(at, subject.id);
  const others = [...at.drops].filter(([id, drop]) => id !== subject.id && drop.receiver === key).map(([id, drop]) => ({ deviceId: id, checkId: drop.checkId }));
  const noise = checkDefinition('receiver-noise')!;
  return { together: { others, title: deviceId === null ? `${definition.title}: receiver of ${name}: margins fell together` : `${noise.title}: ${name}: margins fell together`, on: deviceId === null ? null : { deviceId, checkKind: noise.key } } };
}

function whatIsChecked(bench: Bench, input: CheckBody): { definition: CheckDefinition; subject: Subject } {
  const definition = checkDefinition(input.checkKind);
  if (!definition) throw badInput('checkKind', `'${input.checkKind}' is no check of the catalogue`);
  const subject = bench.subjects.get(`${input.subjectKind}:${input.subjectId}`);
  if (!subject) throw badInput('subjectId', `there is no ${input.subjectKind} by that id at this site`);
  if (!fits(definition, subject)) throw badInput('checkKind', `'${definition.title}' is not done on ${subject.name} (${subject.deviceKind ?? subject.kind})`);
  return { definition, subject };
}

async function writeDrafts(ctx: Ctx, visit: Visit, drafts: readonly Draft[]): Promise<void> {
  const { db } = ctx.tx;
  const subjectIds = drafts.flatMap(({ judged: { together } }) => (together ? [...together.others.map((one) => one.deviceId), ...(together.on ? [together.on.deviceId] : [])] : []));
  const book = await openBook(ctx, drafts.map((draft) => draft.check), { subjectIds });
  await db.check.createMany({ data: drafts.map(({ check }) => ({ ...check, judgement: check.judgement as object })) });
  const readings = drafts.flatMap((draft) => draft.readings);
  if (readings.length > 0) await db.reading.createMany({ data: readings });
  await takeOut(ctx, visit.id, drafts);
  for (const { check, judged } of drafts) settleCheck(book, check, judged);
  const settled = await writeBook(book);
  await watchDelayed(ctx, drafts.map(({ check, awaited, accountNumber }) => ({ check, outcomes: awaited, accountNumber })));
  await refreshSite(ctx, visit.siteId);
  await later(ctx, 'standing-refresh', { siteId: visit.siteId });
  await note(ctx, { act: 'record-check', about: 'visit', id: visit.id, siteId: visit.siteId, summary: drafts.length === 1 ? drafts[0]!.summary : `${drafts.length} checks: ${drafts.slice(0, 3).map((one) => one.summary).join('; ')}${drafts.length > 3 ? ' ...' : ''}` });
  await appendLeaves(ctx, [...drafts.map(({ check, readings: own }) => checkEntry({ ...check, readings: own })), ...settled]);
}

/** What came of the expected responses. Only the station's may still come after the person has said 'not seen'; what the site or the control unit does not show then, it does not show. */
function answeredResponses(definition: CheckDefinition, answers: NonNullable<CheckBody['responses']>, sinceS: number): ResponseOutcome[] {
  const given = definition.expectedResponses.map((_, at) => { const answer = answers[at] ?? null; return answer?.answer === 'seen' ? { answer: answer.answer, ...(answer.afterS === undefined ? {} : { afterS: answer.afterS }) } : answer; });
  const over = responseOutcomes(definition, given, Infinity);
  return responseOutcomes(definition, given, sinceS).map((outcome, at) => (outcome.response.where === 'station' ? outcome : over[at]!));
}

export const checkDigest = (ctx: Ctx, visitId: string, input: CheckBody, correctsId: string | null): string => bodyDigest(ctx, { ...input, visitId, correctsId });

function readingRow(check: Check, value: number | boolean | string | null | undefined, key: string, unit: string, instrumentId: string | null, reliable: boolean): Reading[] {
  if (value === undefined || value === null) return [];
  const measured = typeof value === 'number' && instrumentId !== null;
  return [{ companyId: check.companyId, checkId: check.id, key, unit: unit || null, number: typeof value === 'number' ? value : null, flag: typeof value === 'boolean' ? value : null, text: typeof value === 'string' ? value : null, instrumentId: measured ? instrumentId : null, reliable: measured ? reliable : null }];
}

/** Adds to the put-back list what is not on it already. */
async function takeOut(ctx: Ctx, visitId: string, drafts: readonly Draft[]): Promise<void> {
  if (drafts.every((draft) => draft.takesOut.length === 0)) return;
  const there = await ctx.tx.db.putBack.findMany({ where: { ...own(ctx), visitId, putBackAt: null, handedTo: null }, select: { what: true } });
  const out = new Set(there.map((row) => row.what));
  const fresh = drafts.flatMap(({ check, takesOut }) => takesOut.filter((what) => !out.has(what) && out.add(what)).map((what) => ({ ...own(ctx), id: ctx.newId(), visitId, what, takenOutAt: check.performedAt, byCheckId: check.id })));
  if (fresh.length > 0) await ctx.tx.db.putBack.createMany({ data: fresh });
}

export function checkRow(check: Check & { readings: readonly { key: string; unit: string | null; number: number | null; flag: boolean | null; text: string | null; instrumentId: string | null; reliable: boolean | null }[] }): CheckRow {
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
  const checks = await db.check.findMany({ where: { ...own(ctx), id: { in: [...ids] } }, include: { readings: true } });
  const credited = grouped(await creditsOfChecks(ctx.tx, checks.map((check) => check.id)), (row) => row.checkId);
  const facts = await db.deficiencyFact.findMany({ where: { ...own(ctx), checkId: { in: [...ids] } }, orderBy: { id: 'asc' }, include: { deficiency: true } });
  const out = await db.putBack.findMany({ where: { ...own(ctx), byCheckId: { in: [...ids] } }, orderBy: { id: 'asc' } });
  return new Map(checks.map((check) => {
    const row = checkRow(check);
    const mine = facts.filter((fact) => fact.checkId === check.id);
    return [check.id, {
      check: row,
      deficiencies: mine.filter((fact) => fact.kind !== 'retest-passed' && fact.kind !== 'joined').map(({ kind, deficiency }) => ({ id: deficiency.id, title: deficiency.title, severity: deficiency.severity as Severity, dueOn: dayText(deficiency.dueOn), how: kind })),
      closedDeficiencyIds: mine.filter((fact) => fact.kind === 'retest-passed').map((fact) => fact.deficiencyId),
      creditedDutyIds: (credited.get(check.id) ?? []).map((credit) => credit.dutyId), putBack: out.filter((item) => item.byCheckId === check.id).map((item) => ({ id: item.id, what: item.what })),
      phoneDiffers: row.judgement.phoneVerdict != null && row.judgement.phoneVerdict !== row.computedVerdict,
    }];
  }));
}
