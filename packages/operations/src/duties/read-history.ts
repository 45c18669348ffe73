import { judge } from '@bellround/acceptance';
import { Refusal, type HistoryRead, type HistoryReadRow } from '@bellround/contracts';
import { checkDefinition } from '@bellround/programmes';
import { findGaps } from '@bellround/signals';
import { openBook, settleCheck, writeBook } from '../deficiency-book.js';
import { checkFactsOf, installedAt, subjectsOf, type Installed, type Subject } from '../installed.js';
import type { Act, Ctx } from '../perform.js';
import { appendLeaves, checkEntry, type LedgerEntry } from '../proof/steps.js';
import { refreshSite } from '../standing/steps.js';
import { dbDay, later, localDayOf, note, own } from '../steps.js';
import { sitesOfDuties } from './steps.js';

const NO_VISIT = '00000000-0000-0000-0000-000000000000';
const KIND = 'periodic-signal';
/** As far back as a first reading looks: the longest period of EN 50136-1 (32 days, SP1; from memory) twice. */
const FIRST_LOOK_DAYS = 64;
const DAY_MS = 86_400_000;
const HOUR_MS = 3_600_000;
const EVENTS_MOST = 50_000;

/**
 * Reads what the station heard of each path of a site that owes a remote duty, and records a check of it without a visit,
 * dated on the last day of which that history speaks. Where the history says nothing, or ended too long ago, nothing is
 * recorded: unknown is never good. Reading the same history again adds nothing. Throws NotFound.
 */
export const readHistory: Act<{ siteId: string }, HistoryRead> = async (ctx, input) => {
  await ctx.tx.sql('select 1 from site where company_id = current_company() and id = $1::uuid for no key update', [input.siteId]);
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const at = await installedAt(ctx, site, NO_VISIT);
  const { sites } = await sitesOfDuties(ctx, [site.id]);
  const owed = new Set(sites.get(site.id)!.duties.filter(({ found }) => found.rule.remotely && found.rule.checkKinds.includes(KIND) && found.duty.validTo === null).map(({ found }) => found.duty.subjectId));
  const subjects = subjectsOf(at).filter((one) => one.kind === 'path' && owed.has(one.id));
  const heard = await heardAt(ctx, at);
  const rows: HistoryReadRow[] = [];
  const entries: LedgerEntry[] = [];
  for (const subject of subjects) {
    const read = await readPath(ctx, at, subject, heard);
    rows.push(read.row);
    entries.push(...read.entries);
  }
  const recorded = rows.filter((row) => row.checkId !== null);
  if (recorded.length > 0) {
    await refreshSite(ctx, site.id);
    await later(ctx, 'standing-refresh', { siteId: site.id });
    await note(ctx, { act: 'read-history', about: 'check', siteId: site.id, summary: `Station's history of ${site.name} read: ${recorded.map((row) => `${row.path} ${row.verdict}`).join(', ')}` });
    await appendLeaves(ctx, entries);
  }
  return { siteId: site.id, rows };
};

interface Heard { readonly events: readonly { id: string; accountId: string | null; receivedAt: Date; path: string | null }[]; readonly until: Date | null }

/** The events of the site's accounts, oldest first, and how far the station's history reaches (its newest event of any account). */
async function heardAt(ctx: Ctx, at: Installed): Promise<Heard> {
  const accounts = at.accounts.map((account) => account.id);
  const stations = [...new Set(at.accounts.map((account) => account.stationId))];
  if (accounts.length === 0) return { events: [], until: null };
  const since = new Date(ctx.now.getTime() - 2 * FIRST_LOOK_DAYS * DAY_MS);
  const events = await ctx.tx.db.stationEvent.findMany({ where: { ...own(ctx), accountId: { in: accounts }, receivedAt: { gte: since, lte: ctx.now } }, select: { id: true, accountId: true, receivedAt: true, path: true }, orderBy: [{ receivedAt: 'desc' }, { id: 'desc' }], take: EVENTS_MOST });
  const newest = await ctx.tx.db.stationEvent.findFirst({ where: { ...own(ctx), stationId: { in: stations }, receivedAt: { lte: ctx.now } }, select: { receivedAt: true }, orderBy: { receivedAt: 'desc' } });
  return { events: events.toReversed(), until: newest?.receivedAt ?? null };
}

/** The events that speak of one path: named by label, technology, rank or key; a history that names none speaks for an only path. */
function eventsOf(at: Installed, subject: Subject, heard: Heard): Heard['events'] {
  const path = at.paths.find((one) => one.id === subject.id)!;
  const isOnly = at.paths.filter((one) => one.systemId === path.systemId).length === 1;
  const names = [path.label, path.technology, String(path.rank), path.externalKey].map((name) => name.toLowerCase());
  return heard.events.filter((event) => (subject.accountId === null || event.accountId === subject.accountId) && (event.path === null ? isOnly : names.includes(event.path.toLowerCase())));
}

async function readPath(ctx: Ctx, at: Installed, subject: Subject, heard: Heard): Promise<{ row: HistoryReadRow; entries: LedgerEntry[] }> {
  const name = at.systems.length > 1 ? `${at.systems.find((one) => one.id === subject.systemId)?.name ?? ''}: ${subject.name}` : subject.name;
  const unknown = (words: string) => ({ row: { pathId: subject.id, path: name, verdict: 'cant-tell' as const, words, checkId: null }, entries: [] });
  const facts = checkFactsOf(at, subject);
  const events = eventsOf(at, subject, heard);
  if (facts.periodic === undefined) return unknown('How often this path should report is not entered.');
  if (heard.until === null || events.length === 0) return unknown('The station\'s history says nothing of this path: unknown, not silent and not good.');
  const until = heard.until;
  const silence = findGaps(events.map((event) => event.receivedAt.toISOString()), { ...facts.periodic, heardUntil: until.toISOString() }, ctx.now.toISOString());
  if (silence.state === 'unknown') return unknown(silence.words);
  const before = await ctx.tx.db.check.findFirst({ where: { ...own(ctx), subjectId: subject.id, checkKind: KIND, source: 'remote' }, orderBy: { performedAt: 'desc' } });
  if (before && before.performedAt >= until) return { row: { pathId: subject.id, path: name, verdict: before.verdict as HistoryReadRow['verdict'], words: `read before, as far as the history reaches: ${before.reason}`, checkId: null }, entries: [] };
  const sinceMs = Math.max(before?.performedAt.getTime() ?? 0, until.getTime() - FIRST_LOOK_DAYS * DAY_MS);
  const gaps = silence.gaps.filter((gap) => Date.parse(gap.to) > sinceMs);
  const longest = Math.max(silence.silentH ?? 0, ...gaps.map((gap) => gap.hours), ...stretches(events, sinceMs));
  const definition = checkDefinition(KIND)!;
  const day = localDayOf(until, at.site.timeZone);
  const round = (hours: number) => Math.round(hours * 10) / 10;
  const computed = judge(definition, { hoursSinceLast: round(silence.silentH ?? 0), longestGapH: round(longest) }, facts, day as never);
  if (computed.verdict === 'not-enough-data') return unknown(computed.reason);
  const readings = [{ key: 'hoursSinceLast', unit: 'h', number: round(silence.silentH ?? 0) }, { key: 'longestGapH', unit: 'h', number: round(longest) }];
  const check = await ctx.tx.db.check.create({ include: { readings: true }, data: {
    ...own(ctx), id: ctx.newId(), bodyDigest: ctx.sha256(`${subject.id}:${until.toISOString()}:${events.at(-1)!.id}`), siteId: at.site.id, systemId: subject.systemId, subjectKind: 'path', subjectId: subject.id, checkKind: KIND,
    performedOn: dbDay(day), performedAt: until, recordedAt: ctx.now, recordedBy: ctx.who.userId, verdict: computed.verdict, computedVerdict: computed.verdict, reason: computed.reason, marginValue: computed.margin?.value ?? null, marginUnit: computed.margin?.unit ?? null,
    limitSource: computed.limitSource, evidence: computed.evidence, source: 'remote', judgement: { notes: [...computed.notes], missing: [...computed.missing], applicable: computed.applicable, reliable: computed.reliable, byStation: true, events: events.length },
    readings: { createMany: { data: readings } },
  } });
  const otherPaths = at.paths.filter((path) => path.systemId === subject.systemId && path.id !== subject.id).length;
  const book = await openBook(ctx, [check]);
  settleCheck(book, check, { definition, systemKind: subject.systemKind, subjectName: subject.name, otherPaths, findings: computed.findings, responses: [] });
  return { row: { pathId: subject.id, path: name, verdict: computed.verdict, words: computed.reason, checkId: check.id }, entries: [checkEntry(check), ...await writeBook(book)] };
}

/** Hours between neighbouring signals that end after a moment. */
function stretches(events: Heard['events'], sinceMs: number): number[] {
  return events.slice(1).flatMap((event, at) => (event.receivedAt.getTime() > sinceMs ? [(event.receivedAt.getTime() - events[at]!.receivedAt.getTime()) / HOUR_MS] : []));
}
