import { judge, type CheckFacts, type Judgement } from '@bellround/acceptance';
import type { HistoryReadRow } from '@bellround/contracts';
import { checkDefinition } from '@bellround/programmes';
import { alarmsAmong, findGaps, mainsAmong, openTroubles, type EventKind, type HeardEvent, type PathSilence } from '@bellround/signals';
import { openBook, settleCheck, writeBook } from './deficiency-book.js';
import { checkFactsOf, subjectsOf, type Installed, type Subject } from './installed.js';
import type { Ctx } from './perform.js';
import { checkEntry, type LedgerEntry } from './proof/steps.js';
import { dayText, dbDay, localDayOf, own } from './steps.js';

// What a station's history says of a path, of a system's mains and of its log, recorded as checks without a visit. No act.

/** As far back as a first reading looks: the longest period of EN 50136-1 (32 days, SP1; from memory) twice. */
const FIRST_LOOK_DAYS = 64;
/** As far back as a log is read, and as long as a proof that the loss of mains is reported holds. Company rule. */
const LOG_DAYS = 400;
const LOSS_REPORT_DAYS = 730;
const EVENTS_MOST = 50_000;
const DAY_MS = 86_400_000;
const HOUR_MS = 3_600_000;
const SOURCE_REMOTE = { source: 'remote' } as const;

export interface Heard {
  readonly events: readonly { id: string; accountId: string | null; receivedAt: Date; path: string | null; code: string; kind: string | null; qualifier: string | null; zone: string | null }[];
  /** how far the station's history reaches: its newest event of any account */
  readonly until: Date | null;
}
export interface ReadSubject { readonly row: HistoryReadRow; readonly entries: readonly LedgerEntry[] }

/** The events of the site's accounts, oldest first, and how far the station's history reaches. */
export async function heardAt(ctx: Ctx, at: Installed): Promise<Heard> {
  const accounts = at.accounts.map((account) => account.id);
  const stations = [...new Set(at.accounts.map((account) => account.stationId))];
  if (accounts.length === 0) return { events: [], until: null };
  const since = new Date(ctx.now.getTime() - LOG_DAYS * DAY_MS);
  const events = await ctx.tx.db.stationEvent.findMany({
    where: { ...own(ctx), accountId: { in: accounts }, receivedAt: { gte: since, lte: ctx.now } }, orderBy: [{ receivedAt: 'desc' }, { id: 'desc' }], take: EVENTS_MOST,
    select: { id: true, accountId: true, receivedAt: true, path: true, code: true, kind: true, qualifier: true, zone: true },
  });
  const newest = await ctx.tx.db.stationEvent.findFirst({ where: { ...own(ctx), stationId: { in: stations }, receivedAt: { lte: ctx.now } }, select: { receivedAt: true }, orderBy: { receivedAt: 'desc' } });
  return { events: events.toReversed(), until: newest?.receivedAt ?? null };
}

interface Asked { readonly ctx: Ctx; readonly at: Installed; readonly subject: Subject; readonly checkKind: string; readonly name: string }
const row = (it: Asked, verdict: HistoryReadRow['verdict'], words: string, checkId: string | null = null): HistoryReadRow => ({ subjectId: it.subject.id, subject: it.name, checkKind: it.checkKind, verdict, words, checkId });
const unknown = (it: Asked, words: string): ReadSubject => ({ row: row(it, 'cant-tell', words), entries: [] });
const asBefore = (it: Asked, verdict: string, words: string): ReadSubject => ({ row: row(it, verdict as HistoryReadRow['verdict'], words), entries: [] });

/** Reads one subject for one of REMOTE_KINDS. What the history does not tell is not recorded. */
export async function readSubject(ctx: Ctx, at: Installed, subject: Subject, checkKind: string, heard: Heard): Promise<ReadSubject> {
  const several = subject.kind !== 'system' && at.systems.length > 1;
  const name = several ? `${at.systems.find((one) => one.id === subject.systemId)?.name ?? ''}: ${subject.name}` : subject.name;
  const it: Asked = { ctx, at, subject, checkKind, name };
  if (heard.until === null || heard.events.length === 0) return unknown(it, 'The station\'s history says nothing of this: unknown, not silent and not good.');
  if (checkKind === 'periodic-signal') return readPath(it, heard, heard.until);
  const silence = accountSilence(it, heard, heard.until);
  if (silence === null) return unknown(it, 'How often any path of this system should report is not entered, so silence cannot be told from calm.');
  if (silence.state !== 'heard') return unknown(it, silence.words);
  return checkKind === 'mains-supply' ? readMains(it, heard, heard.until) : readLog(it, heard, heard.until, silence);
}

const lastRemote = (it: Asked) => it.ctx.tx.db.check.findFirst({ where: { ...own(it.ctx), subjectId: it.subject.id, checkKind: it.checkKind, ...SOURCE_REMOTE }, orderBy: { performedAt: 'desc' } });
const accountNumber = (it: Asked): string => it.at.accounts.find((one) => one.id === it.subject.accountId)?.number ?? it.at.accounts.map((one) => one.number).join(', ');
const round = (hours: number): number => Math.round(hours * 10) / 10;
const dayOf = (it: Asked, at: Date): string => localDayOf(at, it.at.site.timeZone);

// ── paths ──────────────────────────────────────────────────────────────────

/** The events that speak of one path: named by label, technology, rank or key; a history that names none speaks for an only path. */
function eventsOfPath({ at, subject }: Asked, heard: Heard): Heard['events'] {
  const path = at.paths.find((one) => one.id === subject.id)!;
  const isOnly = at.paths.filter((one) => one.systemId === path.systemId).length === 1;
  const names = [path.label, path.technology, String(path.rank), path.externalKey].map((name) => name.toLowerCase());
  return heard.events.filter((event) => (subject.accountId === null || event.accountId === subject.accountId) && (event.path === null ? isOnly : names.includes(event.path.toLowerCase())));
}

async function readPath(it: Asked, heard: Heard, until: Date): Promise<ReadSubject> {
  const facts = checkFactsOf(it.at, it.subject);
  const sinceFirst = until.getTime() - FIRST_LOOK_DAYS * DAY_MS;
  const events = eventsOfPath(it, heard).filter((event) => event.receivedAt.getTime() >= sinceFirst - FIRST_LOOK_DAYS * DAY_MS);
  if (facts.periodic === undefined) return unknown(it, 'How often this path should report is not entered.');
  if (events.length === 0) return unknown(it, 'The station\'s history says nothing of this path: unknown, not silent and not good.');
  const silence = findGaps(events.map((event) => event.receivedAt.toISOString()), { ...facts.periodic, heardUntil: until.toISOString() }, it.ctx.now.toISOString());
  if (silence.state === 'unknown') return unknown(it, silence.words);
  const before = await lastRemote(it);
  if (before && before.performedAt >= until) return asBefore(it, before.verdict, `read before, as far as the history reaches: ${before.reason}`);
  if (before?.verdict === 'fail' && silence.state === 'silent') return asBefore(it, 'fail', `still silent, as recorded on ${dayText(before.performedOn)}: ${silence.words}`);
  const sinceMs = Math.max(before?.performedAt.getTime() ?? 0, sinceFirst);
  const gaps = silence.gaps.filter((gap) => Date.parse(gap.to) > sinceMs);
  const longest = Math.max(silence.silentH ?? 0, ...gaps.map((gap) => gap.hours), ...stretches(events, sinceMs));
  const told = events.filter((event) => event.receivedAt.getTime() >= sinceMs);
  return record(it, until, facts, { hoursSinceLast: round(silence.silentH ?? 0), longestGapH: round(longest) }, 'h', {
    from: told[0]?.receivedAt ?? events.at(-1)!.receivedAt, events: told.length, newest: events.at(-1)!.id, words: `${told.length} signals of ${it.subject.name}, longest silence ${round(longest)} h of ${round(silence.limitH)} h allowed`,
  });
}

/** Hours between neighbouring signals that end after a moment. */
function stretches(events: Heard['events'], sinceMs: number): number[] {
  return events.slice(1).flatMap((event, n) => (event.receivedAt.getTime() > sinceMs ? [(event.receivedAt.getTime() - events[n]!.receivedAt.getTime()) / HOUR_MS] : []));
}

// ── a system's mains and log ───────────────────────────────────────────────

const eventsOfSystem = ({ subject }: Asked, heard: Heard): Heard['events'] => heard.events.filter((event) => subject.accountId === null || event.accountId === subject.accountId);
const asHeard = (events: Heard['events']): HeardEvent[] => events.map((event) => ({ at: event.receivedAt.toISOString(), code: event.code, kind: event.kind as EventKind | null, restore: event.qualifier === 'restore', zone: event.zone }));

/** Whether the system's account was heard at all, by its most frequent path; null when no path says how often it reports. */
function accountSilence(it: Asked, heard: Heard, until: Date): PathSilence | null {
  const paths = subjectsOf(it.at).filter((one) => one.kind === 'path' && one.systemId === it.subject.systemId);
  const periodic = paths.flatMap((path) => checkFactsOf(it.at, path).periodic ?? []).sort((a, b) => a.intervalH - b.intervalH)[0];
  if (periodic === undefined) return null;
  return findGaps(eventsOfSystem(it, heard).map((event) => event.receivedAt.toISOString()), { ...periodic, heardUntil: until.toISOString() }, it.ctx.now.toISOString());
}

/** Mains by history: no loss told counts only where the control unit is known to tell of one. */
async function readMains(it: Asked, heard: Heard, until: Date): Promise<ReadSubject> {
  const events = eventsOfSystem(it, heard);
  const mains = mainsAmong(asHeard(events));
  const before = await lastRemote(it);
  if (before && before.performedAt >= until) return asBefore(it, before.verdict, `read before, as far as the history reaches: ${before.reason}`);
  if (before?.verdict === 'fail' && mains.state === 'lost') return asBefore(it, 'fail', `still lost, as recorded on ${dayText(before.performedOn)}`);
  const proof = mains.state === 'never-told' ? await lossReportProof(it) : null;
  if (mains.state === 'never-told' && proof === null) return unknown(it, `The history tells of no loss of mains, but that this control unit reports one was not proven in the last ${LOSS_REPORT_DAYS} days: a visit proves it once ("mains loss is reported").`);
  const words = mains.state === 'never-told' ? `no loss of mains was told; that a loss is reported was proven on ${dayText(proof!)}`
    : mains.state === 'back' ? `the last loss of mains ended ${mains.at!}; none was told since` : `mains lost since ${mains.at!}, not told as back`;
  return record(it, until, checkFactsOf(it.at, it.subject), { present: mains.state !== 'lost' }, '', { from: events[0]!.receivedAt, events: events.length, newest: events.at(-1)!.id, words });
}

async function lossReportProof(it: Asked): Promise<Date | null> {
  const since = dbDay(localDayOf(new Date(it.ctx.now.getTime() - LOSS_REPORT_DAYS * DAY_MS), it.at.site.timeZone));
  const check = await it.ctx.tx.db.check.findFirst({ where: { ...own(it.ctx), subjectId: it.subject.id, checkKind: 'mains-loss-report', verdict: { in: ['pass', 'marginal'] }, performedOn: { gte: since }, corrections: { none: {} } }, orderBy: { performedOn: 'desc' } });
  return check?.performedOn ?? null;
}

/**
 * The log by the station's history, since the last good review: recorded only where that time is covered without a gap and
 * nothing is left for a person to explain. An alarm, or a trouble that was not taken back, is for a person.
 */
async function readLog(it: Asked, heard: Heard, until: Date, silence: PathSilence): Promise<ReadSubject> {
  const before = await it.ctx.tx.db.check.findFirst({ where: { ...own(it.ctx), subjectId: it.subject.id, checkKind: it.checkKind, verdict: { in: ['pass', 'marginal'] }, corrections: { none: {} } }, orderBy: { performedAt: 'desc' } });
  if (before && before.performedAt >= until) return asBefore(it, before.verdict, `read before, as far as the history reaches: ${before.reason}`);
  const from = before?.performedAt ?? new Date(until.getTime() - FIRST_LOOK_DAYS * DAY_MS);
  const events = eventsOfSystem(it, heard);
  const begins = events[0]!.receivedAt.getTime() - silence.limitH * HOUR_MS;
  if (begins > from.getTime()) return unknown(it, `The history begins on ${dayOf(it, events[0]!.receivedAt)}; the log since ${dayOf(it, from)} is not in it.`);
  const gap = silence.gaps.find((one) => Date.parse(one.to) > from.getTime());
  if (gap) return unknown(it, `The station did not hear this account from ${gap.from} to ${gap.to}: what the log holds of that time is not known.`);
  const told = events.filter((event) => event.receivedAt > from);
  const alarms = await unexplained(it, alarmsAmong(asHeard(told)));
  const open = openTroubles(asHeard(events));
  if (alarms.length + open.length > 0) {
    const listed = [...open.map((one) => `${one.words}${one.zone ? ` at zone ${one.zone}` : ''} since ${one.since}`), ...alarms.map((one) => `alarm ${one.code}${one.zone ? ` at zone ${one.zone}` : ''} at ${one.at}`)];
    return unknown(it, `For a person to explain: ${listed.slice(0, 5).join('; ')}${listed.length > 5 ? ` and ${listed.length - 5} more` : ''}.`);
  }
  return record(it, until, checkFactsOf(it.at, it.subject), { reviewed: true, falseAlarms: 0, unexplained: 0 }, '', { from, events: told.length, newest: events.at(-1)!.id, words: `${told.length} events since ${dayOf(it, from)}, no alarm outside an on-test hold, every trouble taken back` });
}

/** Alarms that came while the account was not on test. */
async function unexplained(it: Asked, alarms: readonly HeardEvent[]): Promise<HeardEvent[]> {
  if (alarms.length === 0) return [];
  const holds = await it.ctx.tx.db.hold.findMany({ where: { ...own(it.ctx), accountId: { in: it.at.accounts.map((one) => one.id) }, openedAt: { gte: new Date(Date.parse(alarms[0]!.at) - 7 * DAY_MS) } }, select: { openedAt: true, untilAt: true, closedAt: true } });
  return alarms.filter((alarm) => !holds.some((hold) => new Date(alarm.at) >= hold.openedAt && new Date(alarm.at) <= (hold.closedAt ?? hold.untilAt)));
}

// ── the record ─────────────────────────────────────────────────────────────

interface Evidence { readonly from: Date; readonly events: number; readonly newest: string; readonly words: string }

/** A check without a visit: judged as any other, dated on the last day of which the history speaks, its evidence named. */
async function record(it: Asked, until: Date, facts: CheckFacts, readings: Record<string, number | boolean>, unit: string, evidence: Evidence): Promise<ReadSubject> {
  const { ctx, at, subject } = it;
  const definition = checkDefinition(it.checkKind)!;
  const day = dayOf(it, until);
  const computed: Judgement = judge(definition, readings, facts, day as never);
  if (computed.verdict === 'not-enough-data') return unknown(it, computed.reason);
  const named = `Station's history of account ${accountNumber(it)}, ${dayOf(it, evidence.from)} to ${day}: ${evidence.words}.`;
  const check = await ctx.tx.db.check.create({ include: { readings: true }, data: {
    ...own(ctx), id: ctx.newId(), bodyDigest: ctx.sha256(`${subject.id}:${it.checkKind}:${until.toISOString()}:${evidence.newest}`), siteId: at.site.id, systemId: subject.systemId, subjectKind: subject.kind, subjectId: subject.id, checkKind: it.checkKind,
    performedOn: dbDay(day), performedAt: until, recordedAt: ctx.now, recordedBy: ctx.who.userId, verdict: computed.verdict, computedVerdict: computed.verdict, reason: computed.reason, marginValue: computed.margin?.value ?? null, marginUnit: computed.margin?.unit ?? null,
    limitSource: computed.limitSource, evidence: computed.evidence, ...SOURCE_REMOTE, notes: named,
    judgement: { notes: [...computed.notes], missing: [...computed.missing], applicable: computed.applicable, reliable: computed.reliable, byStation: true, events: evidence.events, eventsFrom: evidence.from.toISOString(), newestEventId: evidence.newest },
    readings: { createMany: { data: Object.entries(readings).map(([key, value]) => (typeof value === 'number' ? { key, unit: unit || null, number: value } : { key, flag: value })) } },
  } });
  const otherPaths = at.paths.filter((path) => path.systemId === subject.systemId && path.id !== subject.id).length;
  const book = await openBook(ctx, [check]);
  settleCheck(book, check, { definition, systemKind: subject.systemKind, subjectName: subject.name, otherPaths: subject.kind === 'path' ? otherPaths : 0, findings: computed.findings, responses: [] });
  return { row: row(it, computed.verdict, `${computed.reason} ${named}`, check.id), entries: [checkEntry(check), ...await writeBook(book)] };
}
