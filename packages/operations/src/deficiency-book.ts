import type { CheckDefinition, Finding, ResponseOutcome } from '@bellround/acceptance';
import type { Severity } from '@bellround/contracts';
import { lockDeficienciesOf, writeDeficiencyStates } from '@bellround/database';
import { addDays, dueRule, FINDING_SEVERITY, isClosedByPassOnly, isGood, isRetry, severityOf, type Check, type Deficiency } from './deficiencies/steps.js';
import type { Ctx } from './perform.js';
import { factEntry, type LedgerEntry } from './proof/steps.js';
import { own } from './steps.js';

// What checks mean for deficiencies, DEF-1..5. The deficiencies of all subjects concerned are loaded once, checks are settled in
// the order in which they were done, and what came of it is written in three statements, however many checks. No act.

type Known = Pick<Check, 'id' | 'subjectId' | 'checkKind' | 'verdict' | 'evidence' | 'performedAt' | 'recordedAt' | 'recordedBy' | 'reason'>;
interface Failure { readonly at: Date; readonly checkId: string | null }
interface Entry { row: Deficiency; readonly failures: Failure[]; isNew: boolean; isChanged: boolean }
type FactRow = { companyId: string; id: string; deficiencyId: string; kind: string; at: Date; recordedAt: Date; byId: string | null; checkId: string | null; words: string; detail: Record<string, unknown> };

export interface Book {
  readonly ctx: Ctx;
  readonly settings: unknown;
  readonly bySubject: Map<string, Entry[]>;
  /** checks that facts and closings name */
  readonly checks: Map<string, Known>;
  /** checks that were recorded before the one being settled, of subjects and kinds that fail in this book */
  readonly recorded: Known[];
  readonly facts: FactRow[];
}

export interface Judged { readonly definition: CheckDefinition; readonly systemKind: string; readonly subjectName: string; readonly otherPaths: number; readonly findings: readonly Finding[]; readonly responses: readonly ResponseOutcome[]; readonly together?: Together }
/** DEF-9. A drop that is the receiver's: the devices that fell with this one, and the receiver with the check that proves it; null where none is known. */
export interface Together { readonly others: readonly { readonly deviceId: string; readonly checkId: string }[]; readonly title: string; readonly on: { readonly deviceId: string; readonly checkKind: string } | null }
export interface Settled { readonly raisedIds: string[]; readonly closedIds: string[] }

const FAILED = ['raised', 'seen-again', 'reopened'];

/**
 * Opens the book of the subjects of these checks, and of deficiencies by id, locked. Checks that are about to be settled are told
 * apart from `isRecorded` ones, of which every one may be the retest that answers a failure found only now; `subjectIds` are further
 * subjects whose deficiencies they may touch.
 */
export async function openBook(ctx: Ctx, checks: readonly Check[], { isRecorded = false, deficiencyIds = [], subjectIds: more = [] }: { isRecorded?: boolean; deficiencyIds?: readonly string[]; subjectIds?: readonly string[] } = {}): Promise<Book> {
  const { db } = ctx.tx;
  const subjectIds = [...new Set([...checks.map((check) => check.subjectId), ...more])];
  await lockDeficienciesOf(ctx.tx, subjectIds, deficiencyIds);
  const rows = await db.deficiency.findMany({ where: { ...own(ctx), OR: [{ subjectId: { in: subjectIds } }, { id: { in: [...deficiencyIds] } }] }, orderBy: [{ raisedAt: 'asc' }, { id: 'asc' }], include: { facts: { where: { kind: { in: FAILED } }, select: { at: true, checkId: true } } } });
  const named = rows.flatMap((row) => [...row.facts.flatMap((fact) => fact.checkId ?? []), ...(row.closedByCheckId === null ? [] : [row.closedByCheckId])]);
  const select = { id: true, subjectId: true, checkKind: true, verdict: true, evidence: true, performedAt: true, recordedAt: true, recordedBy: true, reason: true } as const;
  const known = named.length === 0 ? [] : await db.check.findMany({ where: { ...own(ctx), id: { in: [...new Set(named)] } }, select });
  const failing = checks.filter((check) => check.verdict === 'fail');
  const ids = new Set(checks.map((check) => check.id));
  const since = new Date(Math.min(...failing.map((check) => check.performedAt.getTime())));
  const later = failing.length === 0 ? [] : await db.check.findMany({ where: { ...own(ctx), subjectId: { in: [...new Set(failing.map((check) => check.subjectId))] }, checkKind: { in: [...new Set(failing.map((check) => check.checkKind))] }, performedAt: { gt: since } }, select });
  const settings = (await db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId }, select: { settings: true } })).settings;
  const bySubject = new Map<string, Entry[]>();
  for (const { facts, ...row } of rows) entriesOf(bySubject, row.subjectId).push({ row, failures: facts, isNew: false, isChanged: false });
  return { ctx, settings, bySubject, checks: new Map(known.map((check) => [check.id, check])), recorded: later.filter((check) => isRecorded || !ids.has(check.id)), facts: [] };
}

function entriesOf(bySubject: Map<string, Entry[]>, subjectId: string): Entry[] {
  const known = bySubject.get(subjectId);
  if (known) return known;
  const fresh: Entry[] = [];
  bySubject.set(subjectId, fresh);
  return fresh;
}

/** Everything of the book written; the ledger's entries in the order in which they came to be. */
export async function writeBook(book: Book): Promise<LedgerEntry[]> {
  const { db } = book.ctx.tx;
  const all = [...book.bySubject.values()].flat();
  const fresh = all.filter((entry) => entry.isNew).map((entry) => entry.row);
  if (fresh.length > 0) await db.deficiency.createMany({ data: fresh });
  await writeDeficiencyStates(book.ctx.tx, all.filter((entry) => entry.isChanged && !entry.isNew).map((entry) => entry.row));
  if (book.facts.length > 0) await db.deficiencyFact.createMany({ data: book.facts.map((fact) => ({ ...fact, detail: fact.detail as object })) });
  return book.facts.map((fact) => factEntry('deficiency-fact', fact));
}

function addFact(book: Book, fact: { deficiencyId: string; kind: string; at: Date; checkId: string | null; words: string; detail?: Record<string, unknown> }): void {
  const { ctx } = book;
  book.facts.push({ ...own(ctx), id: ctx.newId(), recordedAt: ctx.now, byId: ctx.who.userId, ...fact, detail: fact.detail ?? {} });
}

const responseKind = (checkKind: string, at: number | string): string => `${checkKind}/response-${at}`;

/**
 * What a new check means: a failure raises a deficiency, adds to it or reopens it; a finding raises one of its own; a good retest
 * of the same kind and subject closes what is open. Nothing else ever closes one.
 */
export function settleCheck(book: Book, check: Check, judged: Judged): Settled {
  const raisedIds: string[] = [];
  const raise = (checkKind: string, severity: Severity, title: string, words: string) => raisedIds.push(raiseOrUpdate(book, check, { checkKind, severity, title, words }));
  const title = `${judged.definition.title}: ${judged.subjectName}`;
  if (check.verdict === 'fail') raise(check.checkKind, severityOf(judged.definition, judged.systemKind, judged.otherPaths), title, check.reason);
  if (check.verdict !== 'not-done') {
    if (judged.together) raisedIds.push(raiseTogether(book, check, judged.together, judged.findings));
    for (const finding of judged.findings) if (finding.code !== 'receiver-drop') raise(`${check.checkKind}/${finding.code}`, FINDING_SEVERITY[finding.code], `${title}: ${finding.code.replace('-', ' ')}`, finding.words);
    for (const [at, outcome] of judged.responses.entries()) if (outcome.isDeficiency) raise(responseKind(check.checkKind, at), 'critical', `${title}: ${outcome.response.what} at the ${outcome.response.where} ${outcome.verdict === 'late' ? 'too late' : 'did not come'}`, outcome.words);
  }
  const closedIds = isGood(check) ? closeByRetest(book, check, judged) : [];
  book.recorded.push(check);
  return { raisedIds, closedIds };
}

/** DEF-9. One deficiency of the receiver for all that fell together; what this visit raised of single ones before the third was read is closed into it. */
function raiseTogether(book: Book, check: Check, together: Together, findings: readonly Finding[]): string {
  const isOpenDrop = ({ row }: Entry) => row.checkKind === `${check.checkKind}/receiver-drop` && row.state !== 'closed';
  // Where the receiver is not known it stands on one of the devices: that on which it stands already, else this one.
  const anchor = together.on ?? { deviceId: [check.subjectId, ...together.others.map((one) => one.deviceId)].find((id) => book.bySubject.get(id)?.some(isOpenDrop)) ?? check.subjectId, checkKind: check.checkKind };
  const words = findings.find((finding) => finding.code === 'receiver-drop')!.words;
  const id = raiseOrUpdate(book, check, { checkKind: `${anchor.checkKind}/receiver-drop`, severity: FINDING_SEVERITY['receiver-drop'], title: together.title, words }, anchor.deviceId);
  const checkIds = new Set([check.id, ...together.others.map((one) => one.checkId)]);
  for (const { deviceId } of together.others) {
    const single = (book.bySubject.get(deviceId) ?? []).filter(({ row, failures }) => row.checkKind === `${check.checkKind}/step-change` && row.state === 'open' && failures.every((failure) => failure.checkId !== null && checkIds.has(failure.checkId)));
    for (const entry of single) {
      change(entry, { state: 'closed', closedAt: check.performedAt, closedByCheckId: check.id });
      addFact(book, { deficiencyId: entry.row.id, kind: 'joined', at: check.performedAt, checkId: check.id, words: `Not of this device alone: ${together.title}`, detail: { into: id } });
      addFact(book, { deficiencyId: id, kind: 'seen-again', at: entry.row.raisedAt, checkId: entry.row.raisedByCheckId, words: entry.row.title });
    }
  }
  return id;
}

/** DEF-1. Raises a deficiency of this subject and kind of check, or adds the failure to the one there is; reopens a closed one. */
export function raiseOrUpdate(book: Book, check: Check, what: { checkKind: string; severity: Severity; title: string; words: string }, subjectId = check.subjectId): string {
  const dueDays = dueRule(book.settings, what.severity).days;
  const entries = entriesOf(book.bySubject, subjectId);
  const before = newestOf(entries, what.checkKind);
  const fact = { at: check.performedAt, checkId: check.id, words: what.words };
  book.checks.set(check.id, check);
  if (!before) {
    const entry = aNewEntry(book, { ...check, subjectId }, what, dueDays);
    entries.push(entry);
    addFact(book, { ...fact, deficiencyId: entry.row.id, kind: 'raised', detail: { severity: what.severity, dueDays } });
    closeIfAnswered(book, entry, check, what.checkKind);
    return entry.row.id;
  }
  const { row } = before;
  const closing = row.closedByCheckId === null ? null : book.checks.get(row.closedByCheckId) ?? null;
  const isAnswered = row.state === 'closed' && closing !== null && isRetry(closing, check);
  const isAcceptedStill = row.state === 'accepted' && row.acceptedUntil !== null && row.acceptedUntil >= check.performedOn;
  before.failures.push({ at: check.performedAt, checkId: check.id });
  if (row.state === 'open' || isAcceptedStill || isAnswered) {
    addFact(book, { ...fact, deficiencyId: row.id, kind: 'seen-again', ...(isAnswered ? { detail: { answeredBy: closing!.id } } : {}) });
    return row.id;
  }
  addFact(book, { ...fact, deficiencyId: row.id, kind: 'reopened', detail: { severity: what.severity, dueDays, was: row.state } });
  change(before, { state: 'open', closedAt: null, closedByCheckId: null, acceptedUntil: null, severity: what.severity, dueOn: addDays(check.performedOn, dueDays) });
  return row.id;
}

/** The newest deficiency of a kind; entries stand oldest first. */
const newestOf = (entries: readonly Entry[], checkKind: string): Entry | undefined => entries.filter((entry) => entry.row.checkKind === checkKind).sort((a, b) => a.row.raisedAt.getTime() - b.row.raisedAt.getTime()).at(-1);

function change(entry: Entry, to: Partial<Deficiency>): void {
  entry.row = { ...entry.row, ...to };
  entry.isChanged = true;
}

function aNewEntry(book: Book, check: Check, what: { checkKind: string; severity: Severity; title: string }, dueDays: number): Entry {
  const { ctx } = book;
  return { isNew: true, isChanged: true, failures: [{ at: check.performedAt, checkId: check.id }], row: {
    ...own(ctx), id: ctx.newId(), siteId: check.siteId, systemId: check.systemId, subjectKind: check.subjectKind, subjectId: check.subjectId, checkKind: what.checkKind, severity: what.severity, title: what.title, state: 'open',
    raisedAt: check.performedAt, raisedByCheckId: check.id, dueOn: addDays(check.performedOn, dueDays), closedAt: null, closedByCheckId: null, acceptedUntil: null,
  } };
}

/** Checks may arrive out of order: the retest of this very failure may be here before it. */
function closeIfAnswered(book: Book, entry: Entry, failed: Check, checkKind: string): void {
  if (checkKind !== failed.checkKind) return;
  const later = book.recorded.filter((check) => check.subjectId === failed.subjectId && check.checkKind === checkKind && check.performedAt > failed.performedAt).sort((a, b) => a.performedAt.getTime() - b.performedAt.getTime());
  const retest = later.find((check) => isGood(check) && isRetry(check, failed));
  if (retest) close(book, entry, retest);
}

function close(book: Book, entry: Entry, retest: Known): void {
  book.checks.set(retest.id, retest);
  change(entry, { state: 'closed', closedAt: retest.performedAt, closedByCheckId: retest.id, acceptedUntil: null });
  addFact(book, { deficiencyId: entry.row.id, kind: 'retest-passed', at: retest.performedAt, checkId: retest.id, words: retest.reason });
}

/** DEF-3. A good check of the same kind on the same subject closes what it answers; several at once, if they are of its kind. */
function closeByRetest(book: Book, check: Check, { findings, responses }: Pick<Judged, 'findings' | 'responses'>): string[] {
  // DEF-4. A response that was missed is closed by its being seen, not by a good reading beside it.
  const isSeen = (kind: string) => !kind.startsWith(responseKind(check.checkKind, '')) || responses.some((outcome, at) => outcome.verdict === 'seen' && kind === responseKind(check.checkKind, at));
  const found = findings.map((finding) => `${check.checkKind}/${finding.code}`);
  const isOfKind = (kind: string) => kind === check.checkKind || (kind.startsWith(`${check.checkKind}/`) && (check.verdict === 'pass' || !isClosedByPassOnly(kind)));
  const isAnswered = (failure: Failure) => failure.checkId === null || failure.checkId === check.correctsId || isRetry(check, book.checks.get(failure.checkId)!);
  const answered = (book.bySubject.get(check.subjectId) ?? []).filter(({ row, failures }) => row.state !== 'closed' && isOfKind(row.checkKind) && !found.includes(row.checkKind) && isSeen(row.checkKind) && failures.every(isAnswered));
  for (const entry of answered) close(book, entry, check);
  return answered.map((entry) => entry.row.id);
}

/**
 * SIG-OP-3. A right signal after them closes what the station had wrong or had not heard of this subject; nothing else does,
 * neither a good check without its arrival nor a word that it was mended.
 */
export function closeBySignal(book: Book, check: Check, words: string): string[] {
  const answered = (book.bySubject.get(check.subjectId) ?? []).filter(({ row, failures }) => row.state !== 'closed' && row.checkKind.startsWith('signal/') && row.checkKind.endsWith(`/${check.checkKind}`) && failures.every((failure) => failure.at < check.performedAt));
  for (const entry of answered) close(book, entry, { ...check, reason: words });
  return answered.map((entry) => entry.row.id);
}

/** What was said to be missing had arrived: closed by the check that provoked it, with the words of the arrival. */
export function closeAsHeard(book: Book, deficiencyId: string, check: Check, words: string): void {
  const entry = entryById(book, deficiencyId);
  if (entry.row.state !== 'closed') close(book, entry, { ...check, reason: words });
}

/** Whether this finding of this check was told before. */
export function isToldOf(book: Book, check: Check, checkKind: string): boolean {
  return (book.bySubject.get(check.subjectId) ?? []).some(({ row, failures }) => row.checkKind === checkKind && failures.some((failure) => failure.checkId === check.id));
}

/** A deficiency of the book as it stands now. */
export function deficiencyOf(book: Book, id: string): Deficiency {
  return entryById(book, id).row;
}

function entryById(book: Book, id: string): Entry {
  const entry = [...book.bySubject.values()].flat().find((one) => one.row.id === id);
  if (!entry) throw new Error(`deficiency ${id} is not in the book`);
  return entry;
}
