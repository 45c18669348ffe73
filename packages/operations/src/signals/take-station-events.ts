import { readCsv, Refusal, type HistoryMapping, type StationEventBody, type TakenEvents, type TakeStationEvents } from '@bellround/contracts';
import { insertStationEvents } from '@bellround/database';
import { contactIdWords, letterWords, mapHistory, mappingProblems, type HistoryMapping as Mapping, type HistoryProblem } from '@bellround/signals';
import type { Act, Ctx } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { later, note, own } from '../steps.js';
import { roundTripOf, settleHeard } from './steps.js';

interface Incoming { readonly account: string; readonly receivedAt: string; readonly code: string; readonly zone: string | null; readonly text: string | null; readonly path: string | null; readonly kind: string; readonly qualifier: 'new' | 'restore'; readonly key: string }

/** Most bad rows told one by one. */
const MOST_PROBLEMS = 200;

/**
 * Takes what a station heard. SIG-OP-1: good rows are kept, bad ones named; a row taken before is counted and changes nothing,
 * so the same history may be sent as often as anybody likes. Nothing is concluded of a check from it until the comparison is recorded.
 */
export const takeStationEvents: Act<TakeStationEvents, TakenEvents> = async (ctx, input) => {
  const { db } = ctx.tx;
  const visit = await db.visit.findUnique({ where: { companyId_id: { ...own(ctx), id: input.visitId } }, include: { site: true } });
  if (!visit) throw new Refusal('NotFound', 'There is no visit by that id.');
  const read = input.csv === null ? { events: [], problems: [], repeated: 0 } : await rowsOf(input.csv);
  const incoming = [...read.events, ...input.events.map(ofBody)];
  const accounts = await db.account.findMany({ where: { ...own(ctx), number: { in: [...new Set(incoming.map((event) => event.account))] } } });
  const byNumber = new Map(accounts.map((account) => [account.number, account]));
  const made = await insertStationEvents(ctx.tx, incoming.map((event) => ({
    id: ctx.newId(), stationId: byNumber.get(event.account)?.stationId ?? null, accountNumber: event.account, accountId: byNumber.get(event.account)?.id ?? null, receivedAt: event.receivedAt, code: event.code,
    zone: event.zone, text: event.text, path: event.path, kind: event.kind, qualifier: event.qualifier, raw: event.key.slice(0, 1000), rawDigest: ctx.sha256(event.key),
  })), input.csv === null ? 'live' : 'csv', ctx.now);
  if (input.csv?.keepMapping) await keepMapping(ctx, visit.siteId, input.csv.mapping);
  const heard = await settleHeard(ctx);
  await note(ctx, { act: 'take-station-events', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `${made} events of the station taken for the visit at ${visit.site.name}` });
  if (made > 0) await later(ctx, 'settle-delayed', {});
  await appendLeaves(ctx, heard.entries);
  return {
    taken: made, repeated: read.repeated + incoming.length - made, problems: read.problems.slice(0, MOST_PROBLEMS).map((problem) => ({ ...problem, value: problem.value.slice(0, 80) })),
    elsewhere: incoming.filter((event) => byNumber.get(event.account)?.siteId !== visit.siteId).length, settledDelayed: heard.count, roundTrip: (await roundTripOf(ctx, visit)).shown,
  };
};

async function rowsOf({ text, mapping }: { text: string; mapping: HistoryMapping }): Promise<{ events: Incoming[]; problems: HistoryProblem[]; repeated: number }> {
  const records: string[][] = [];
  const faults: HistoryProblem[] = [];
  for await (const batch of readCsv(once(text))) for (const record of batch) {
    if (record.fault !== null) faults.push({ row: record.row - 1, field: '', value: record.cells.join(', ').slice(0, 80), words: record.fault });
    else records.push([...record.cells]);
  }
  const columns = (records.shift() ?? []).map((name) => name.trim());
  const given = Object.fromEntries(Object.entries(mapping).filter(([, value]) => value !== undefined)) as unknown as Mapping;
  const wrong = mappingProblems(given, columns);
  if (wrong.length > 0) throw new Refusal('ImportRefused', wrong.join(' '), { errors: wrong.map((message) => ({ path: 'csv.mapping', message })) });
  const { events, problems, repeated } = mapHistory(records.map((cells) => Object.fromEntries(columns.map((name, at) => [name, cells[at] ?? '']))), given);
  return { repeated, problems: [...faults, ...problems], events: events.map((event) => ({ ...event, code: event.code ?? '' })) };
}

async function* once(text: string): AsyncGenerator<string> {
  yield text;
}

function ofBody(event: StationEventBody): Incoming {
  const receivedAt = new Date(event.receivedAt).toISOString();
  const code = event.code?.toUpperCase() ?? '';
  const known = contactIdWords[code] ?? letterWords[code];
  const isRestore = event.qualifier === 'restore' || (known !== undefined && 'restore' in known && known.restore === true);
  // The same facts in a history give the same key, so an event told live and read from the history later is one.
  return { ...event, receivedAt, code, kind: known?.kind ?? 'unknown', qualifier: isRestore ? 'restore' : 'new', key: JSON.stringify([event.account, receivedAt, event.code === null ? null : code, isRestore, event.zone, null, event.text, event.path, null]) };
}

async function keepMapping(ctx: Ctx, siteId: string, mapping: HistoryMapping): Promise<void> {
  const stations = await ctx.tx.db.station.findMany({ where: { ...own(ctx), accounts: { some: { siteId } } }, select: { id: true } });
  // With two stations at one site nobody can tell whose file it is: both keep their own.
  if (stations.length !== 1) return;
  const data = { mapping: mapping as object, savedAt: ctx.now, savedBy: ctx.who.userId! };
  await ctx.tx.db.stationMapping.upsert({ where: { companyId_stationId: { ...own(ctx), stationId: stations[0]!.id } }, create: { ...own(ctx), stationId: stations[0]!.id, ...data }, update: data });
}
