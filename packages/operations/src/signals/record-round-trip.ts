import { Refusal, type RecordRoundTrip, type RoundTripRecorded, type RoundTripStep, type Severity } from '@bellround/contracts';
import { checkDefinition } from '@bellround/programmes';
import { closeBySignal, deficiencyOf, isToldOf, openBook, raiseOrUpdate, settleCheck, writeBook, type Book } from '../deficiency-book.js';
import type { Act, Ctx } from '../perform.js';
import { appendLeaves, checkEntry, type LedgerEntry } from '../proof/steps.js';
import { refreshSite } from '../standing/steps.js';
import { later, note, own } from '../steps.js';
import { addVisitFact, bodyDigest, factGivenBefore, lockVisit } from '../visits/steps.js';
import { isByStation, roundTripOf, type CheckRecord, type Tripped } from './steps.js';

/** A further check that corrects the one that stands, as the comparison makes it. */
interface Correction { readonly check: CheckRecord; readonly of: Tripped }
interface Settling { readonly ctx: Ctx; readonly book: Book; readonly corrections: Correction[]; readonly kindOfSystem: ReadonlyMap<string, string>; readonly raisedIds: string[]; readonly closedIds: string[] }

/**
 * Records the comparison of what was tripped with what was heard. SIG-OP-2: what did not arrive is not proven: a further check
 * that says so corrects the good one, and a later right one answers it. Wrong text, zone, path, kind or account and lateness become
 * deficiencies of their own. A right signal after them closes them. Recording it again after more history was read settles what changed.
 */
export const recordRoundTrip: Act<RecordRoundTrip, RoundTripRecorded> = async (ctx, input) => {
  const visit = await lockVisit(ctx, input.visitId);
  const digest = bodyDigest(ctx, input);
  if (await factGivenBefore(ctx, input.id, digest)) return { roundTrip: (await roundTripOf(ctx, visit)).shown, raised: [], closedDeficiencyIds: [], correctedCheckIds: [] };
  const { tripped, shown } = await roundTripOf(ctx, visit);
  if (shown.events.length === 0) throw new Refusal('WrongState', 'No event of the station for the time of this visit was taken yet. Take its history first: an empty list would make every step a silent one.');
  const settled = await settleSteps(ctx, tripped, shown.steps);
  const counts: Record<string, number> = {};
  for (const step of shown.steps) counts[step.verdict] = (counts[step.verdict] ?? 0) + 1;
  if (shown.unexplained.length > 0) counts['unexplained'] = shown.unexplained.length;
  if (shown.twice.length > 0) counts['twice'] = shown.twice.length;
  const steps = shown.steps.map(({ checkId, verdict, eventId, delayS }) => ({ checkId, verdict, eventId, delayS }));
  const fact = await addVisitFact(ctx, { id: input.id, visitId: visit.id, kind: 'round-trip', at: ctx.now, detail: { digest, counts, offsetS: shown.offsetS, steps, unexplained: shown.unexplained } });
  await refreshSite(ctx, visit.siteId);
  await later(ctx, 'standing-refresh', { siteId: visit.siteId });
  await note(ctx, { act: 'record-round-trip', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `Round trip at ${visit.site.name}: ${Object.entries(counts).map(([name, n]) => `${n} ${name.replaceAll('-', ' ')}`).join(', ')}` });
  await appendLeaves(ctx, [...settled.entries, fact]);
  return { roundTrip: (await roundTripOf(ctx, visit)).shown, raised: settled.raised, closedDeficiencyIds: settled.closed, correctedCheckIds: settled.corrected };
};

interface Settled { readonly entries: LedgerEntry[]; readonly raised: { id: string; title: string; severity: Severity }[]; readonly closed: string[]; readonly corrected: string[] }

/** What every step means, told in memory and written at once, however many steps. */
async function settleSteps(ctx: Ctx, tripped: readonly Tripped[], steps: readonly RoundTripStep[]): Promise<Settled> {
  const of = new Map(tripped.map((one) => [one.root.id, one]));
  const systems = await ctx.tx.db.system.findMany({ where: { ...own(ctx), id: { in: [...new Set(tripped.map((one) => one.root.systemId))] } }, select: { id: true, kind: true } });
  // What was not received fails from now on, so a later good one of the same subject may answer it.
  const silent = new Set(steps.filter((step) => step.verdict === 'not-received').map((step) => step.checkId));
  const book = await openBook(ctx, tripped.map(({ root }) => (silent.has(root.id) ? { ...root, verdict: 'fail' } : root)), { isRecorded: true });
  const settling: Settling = { ctx, book, corrections: [], kindOfSystem: new Map(systems.map((one) => [one.id, one.kind])), raisedIds: [], closedIds: [] };
  for (const step of steps) settleStep(settling, step, of.get(step.checkId)!);
  const written = await writeCorrections(ctx, settling.corrections);
  const entries = await writeBook(settling.book);
  const raised = [...new Set(settling.raisedIds)].map((id) => deficiencyOf(settling.book, id)).map(({ id, title, severity }) => ({ id, title, severity: severity as Severity }));
  return { entries: [...written, ...entries], raised, closed: settling.closedIds, corrected: settling.corrections.map((one) => one.check.id) };
}

function settleStep(settling: Settling, step: RoundTripStep, tripped: Tripped): void {
  const { now, root } = tripped;
  if (step.verdict === 'pending') return;
  if (step.verdict === 'not-received') {
    if (now.verdict !== 'pass' && now.verdict !== 'marginal') return;
    correct(settling, tripped, { verdict: 'fail', byStation: true, reason: `Not received: tripped ${now.performedAt.toISOString()}, nothing of zone ${step.zone} reached the station within its history. ${now.reason}` });
    return;
  }
  // Heard after all, in a history that was read later: what stood before the silence stands again.
  if (isByStation(now) && now.verdict === 'fail') correct(settling, tripped, { verdict: root.verdict, byStation: false, reason: `${root.reason} The station's history, read later, holds its arrival: ${step.words}` });
  if (step.verdict === 'right') settling.closedIds.push(...closeBySignal(settling.book, root, `Right signal: ${step.words}`));
  else raise(settling, step, root);
}

const WHAT: Record<string, { severity: Severity; title: (step: RoundTripStep) => string }> = {
  'wrong-text': { severity: 'non-critical', title: (step) => `Station's data: wrong text for zone ${step.zone}` },
  'wrong-zone': { severity: 'critical', title: (step) => `Arrives as another zone than ${step.zone}` },
  'wrong-account': { severity: 'critical', title: () => 'Arrives under another account' },
  'wrong-kind': { severity: 'critical', title: () => 'Arrives as another kind of alarm' },
  'wrong-path': { severity: 'non-critical', title: () => 'Arrives by another path' },
  late: { severity: 'critical', title: (step) => `Arrives later than ${step.limitS} s` },
};

function raise({ book, raisedIds }: Settling, step: RoundTripStep, root: CheckRecord): void {
  const what = WHAT[step.verdict];
  if (!what) return;
  const checkKind = `signal/${step.verdict}/${root.checkKind}`;
  // The same finding of the same step is told once, however often the comparison is recorded.
  if (isToldOf(book, root, checkKind)) return;
  raisedIds.push(raiseOrUpdate(book, root, { checkKind, severity: what.severity, title: `${what.title(step)}: ${step.subjectName}`, words: step.words }));
}

function correct({ ctx, book, corrections, kindOfSystem, raisedIds, closedIds }: Settling, of: Tripped, to: { verdict: string; byStation: boolean; reason: string }): void {
  const { now, root, subjectName } = of;
  const check: CheckRecord = {
    ...now, id: ctx.newId(), bodyDigest: ctx.sha256(`${now.id}:${to.verdict}:${to.reason}`), judgement: { ...(now.judgement as object), byStation: to.byStation }, verdict: to.verdict, reason: to.reason, recordedAt: ctx.now, recordedBy: ctx.who.userId, correctsId: now.id,
    evidence: to.byStation ? now.evidence : root.evidence, notes: 'From the comparison with what the station heard', excuseCode: to.verdict === 'excused' ? root.excuseCode : null, overruleReason: to.byStation ? null : root.overruleReason,
  };
  corrections.push({ check, of });
  const settled = settleCheck(book, check, { definition: checkDefinition(check.checkKind)!, systemKind: kindOfSystem.get(check.systemId)!, subjectName, otherPaths: 0, findings: [], responses: [] });
  raisedIds.push(...settled.raisedIds);
  closedIds.push(...settled.closedIds);
}

/** Corrections with the readings of what they correct; both stay visible. */
async function writeCorrections(ctx: Ctx, corrections: readonly Correction[]): Promise<LedgerEntry[]> {
  if (corrections.length === 0) return [];
  const { db } = ctx.tx;
  const found = await db.reading.findMany({ where: { ...own(ctx), checkId: { in: corrections.map(({ of }) => of.root.id) } } });
  const readings = corrections.flatMap(({ check, of }) => found.filter((reading) => reading.checkId === of.root.id).map((reading) => ({ ...reading, checkId: check.id })));
  await db.check.createMany({ data: corrections.map(({ check }) => ({ ...check, judgement: check.judgement as object })) });
  if (readings.length > 0) await db.reading.createMany({ data: readings });
  return corrections.map(({ check }) => checkEntry({ ...check, readings: readings.filter((reading) => reading.checkId === check.id) }));
}
