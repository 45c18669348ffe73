import { Refusal, type RecordRoundTrip, type RoundTripRecorded, type RoundTripStep, type Severity } from '@bellround/contracts';
import { checkDefinition } from '@bellround/programmes';
import { closeBySignal, dueRule, raiseOrUpdate, settleDeficiencies } from '../deficiencies/steps.js';
import type { Act, Ctx } from '../perform.js';
import { appendLeaves, checkEntry, type LedgerEntry } from '../proof/steps.js';
import { refreshSite } from '../standing/steps.js';
import { later, note, own } from '../steps.js';
import { addVisitFact, bodyDigest, factGivenBefore, lockVisit } from '../visits/steps.js';
import { isByStation, roundTripOf, type CheckRecord, type Tripped } from './steps.js';

interface Done { readonly entries: LedgerEntry[]; readonly raised: { id: string; title: string; severity: Severity }[]; readonly closed: string[]; readonly corrected: string[] }

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
  const settings = (await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId }, select: { settings: true } })).settings;
  const done: Done = { entries: [], raised: [], closed: [], corrected: [] };
  const of = new Map(tripped.map((one) => [one.root.id, one]));
  // A right signal is looked up only where something of its device waits for one.
  const waiting = new Set((await ctx.tx.db.deficiency.findMany({ where: { ...own(ctx), siteId: visit.siteId, state: { in: ['open', 'accepted'] }, checkKind: { startsWith: 'signal/' } }, select: { subjectId: true } })).map((one) => one.subjectId));
  for (const step of shown.steps) await settleStep(ctx, done, step, of.get(step.checkId)!, { settings, waiting });
  const counts: Record<string, number> = {};
  for (const step of shown.steps) counts[step.verdict] = (counts[step.verdict] ?? 0) + 1;
  if (shown.unexplained.length > 0) counts['unexplained'] = shown.unexplained.length;
  if (shown.twice.length > 0) counts['twice'] = shown.twice.length;
  const steps = shown.steps.map(({ checkId, verdict, eventId, delayS }) => ({ checkId, verdict, eventId, delayS }));
  done.entries.push(await addVisitFact(ctx, { id: input.id, visitId: visit.id, kind: 'round-trip', at: ctx.now, detail: { digest, counts, offsetS: shown.offsetS, steps, unexplained: shown.unexplained } }));
  await refreshSite(ctx, visit.siteId);
  await later(ctx, 'standing-refresh', { siteId: visit.siteId });
  await note(ctx, { act: 'record-round-trip', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `Round trip at ${visit.site.name}: ${Object.entries(counts).map(([name, n]) => `${n} ${name.replaceAll('-', ' ')}`).join(', ')}` });
  await appendLeaves(ctx, done.entries);
  return { roundTrip: (await roundTripOf(ctx, visit)).shown, raised: done.raised, closedDeficiencyIds: done.closed, correctedCheckIds: done.corrected };
};

async function settleStep(ctx: Ctx, done: Done, step: RoundTripStep, tripped: Tripped, { settings, waiting }: { settings: unknown; waiting: ReadonlySet<string> }): Promise<void> {
  const { now, root } = tripped;
  if (step.verdict === 'pending') return;
  if (step.verdict === 'not-received') {
    if (now.verdict !== 'pass' && now.verdict !== 'marginal') return;
    await correct(ctx, done, tripped, { verdict: 'fail', byStation: true, reason: `Not received: tripped ${now.performedAt.toISOString()}, nothing of zone ${step.zone} reached the station within its history. ${now.reason}` });
    return;
  }
  // Heard after all, in a history that was read later: what stood before the silence stands again.
  if (isByStation(now) && now.verdict === 'fail') await correct(ctx, done, tripped, { verdict: root.verdict, byStation: false, reason: `${root.reason} The station's history, read later, holds its arrival: ${step.words}` });
  if (step.verdict === 'right') {
    if (!waiting.has(root.subjectId)) return;
    const closed = await closeBySignal(ctx, root, `Right signal: ${step.words}`);
    done.entries.push(...closed.entries);
    done.closed.push(...closed.closedIds);
    return;
  }
  await raise(ctx, done, step, root, settings);
}

const WHAT: Record<string, { severity: Severity; title: (step: RoundTripStep) => string }> = {
  'wrong-text': { severity: 'non-critical', title: (step) => `Station's data: wrong text for zone ${step.zone}` },
  'wrong-zone': { severity: 'critical', title: (step) => `Arrives as another zone than ${step.zone}` },
  'wrong-account': { severity: 'critical', title: () => 'Arrives under another account' },
  'wrong-kind': { severity: 'critical', title: () => 'Arrives as another kind of alarm' },
  'wrong-path': { severity: 'non-critical', title: () => 'Arrives by another path' },
  late: { severity: 'critical', title: (step) => `Arrives later than ${step.limitS} s` },
};

async function raise(ctx: Ctx, done: Done, step: RoundTripStep, root: CheckRecord, settings: unknown): Promise<void> {
  const what = WHAT[step.verdict];
  if (!what) return;
  const checkKind = `signal/${step.verdict}/${root.checkKind}`;
  // The same finding of the same step is told once, however often the comparison is recorded.
  if (await ctx.tx.db.deficiencyFact.findFirst({ where: { ...own(ctx), checkId: root.id, deficiency: { checkKind } } })) return;
  const title = `${what.title(step)}: ${step.subjectName}`;
  const raised = await raiseOrUpdate(ctx, root, { checkKind, severity: what.severity, title, words: step.words, dueDays: dueRule(settings, what.severity).days });
  done.entries.push(...raised.entries);
  done.raised.push({ id: raised.id, title, severity: what.severity });
}

/** A further check that corrects the one that stands; both stay visible. */
async function correct(ctx: Ctx, done: Done, { now, root, subjectName }: Tripped, to: { verdict: string; byStation: boolean; reason: string }): Promise<void> {
  const { db } = ctx.tx;
  const readings = await db.reading.findMany({ where: { ...own(ctx), checkId: root.id } });
  const id = ctx.newId();
  const check = await db.check.create({ include: { readings: true }, data: {
    ...now, id, bodyDigest: ctx.sha256(`${now.id}:${to.verdict}:${to.reason}`), judgement: { ...(now.judgement as object), byStation: to.byStation }, verdict: to.verdict, reason: to.reason, recordedAt: ctx.now, recordedBy: ctx.who.userId, correctsId: now.id,
    evidence: to.byStation ? now.evidence : root.evidence, notes: 'From the comparison with what the station heard', excuseCode: to.verdict === 'excused' ? root.excuseCode : null, overruleReason: to.byStation ? null : root.overruleReason,
    readings: { createMany: { data: readings.map(({ companyId: _, checkId: __, ...reading }) => reading) } },
  } });
  const definition = checkDefinition(check.checkKind)!;
  const system = await db.system.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: check.systemId } } });
  const settled = await settleDeficiencies(ctx, check, { definition, systemKind: system.kind, subjectName, otherPaths: 0, findings: [], responses: [] });
  done.entries.push(checkEntry(check), ...settled.entries);
  done.corrected.push(id);
  done.closed.push(...settled.closedIds);
  for (const raisedId of settled.raisedIds) {
    const row = await db.deficiency.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: raisedId } } });
    done.raised.push({ id: row.id, title: row.title, severity: row.severity as Severity });
  }
}
