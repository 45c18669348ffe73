import type { ResponseOutcome } from '@bellround/acceptance';
import { Refusal, type DelayedRow, type HistoryMapping, type ReceiverSetting, type Receivers, type RoundTrip, type ZoneLists } from '@bellround/contracts';
import { writeDelayedReports } from '@bellround/database';
import { checkDefinition } from '@bellround/programmes';
import { compareZones, kindsOfDevice, sameNumber, zip, type Arrival, type EventKind, type Step } from '@bellround/signals';
import { closeAsHeard, openBook, writeBook } from '../deficiency-book.js';
import { subjectNames } from '../installed.js';
import type { Ctx } from '../perform.js';
import type { LedgerEntry } from '../proof/steps.js';
import { own } from '../steps.js';

type Db = Ctx['tx']['db'];
export type CheckRecord = NonNullable<Awaited<ReturnType<Db['check']['findFirst']>>>;
type EventRow = NonNullable<Awaited<ReturnType<Db['stationEvent']['findFirst']>>>;

/** Within so many seconds the station must have a signal when the definition says nothing else (common practice). */
const LIMIT_S = 90;
/** How far around the steps arrivals are looked at. */
const BEFORE_MS = 30 * 60_000;
const AFTER_MS = 60 * 60_000;
/** Clocks and fingers are inexact by so much. */
const EARLY_MS = 60_000;

// ── reports that are held back on purpose ───────────────────────────────────

/** Kinds of event that answer a response, by its words in the catalogue; none found: any event of the account that is not routine. */
function kindsOf(what: string): EventKind[] {
  const known: readonly (readonly [RegExp, EventKind[]])[] = [[/mains|battery|supply|power/i, ['power']], [/tamper/i, ['tamper']], [/path|link|communicat/i, ['path', 'supervision']], [/clos|open|set/i, ['opening']], [/hold-up|duress|medical/i, ['hold-up', 'medical']], [/fire|smoke/i, ['fire']]];
  return known.find(([pattern]) => pattern.test(what))?.[1] ?? [];
}

/** SIG-OP-4. What the station must still hear of these checks is watched after the visit too, until its time is over. */
export async function watchDelayed(ctx: Ctx, checks: readonly { check: CheckRecord; outcomes: readonly ResponseOutcome[]; accountNumber: string | null }[]): Promise<void> {
  const data = checks.flatMap(({ check, outcomes, accountNumber }) => (accountNumber === null ? [] : outcomes.filter((outcome) => outcome.verdict === 'pending' && outcome.response.where === 'station').map(({ response }) => ({
    ...own(ctx), id: ctx.newId(), siteId: check.siteId, checkId: check.id, accountNumber, what: response.what, kinds: kindsOf(response.what), fromAt: check.performedAt, dueAt: new Date(check.performedAt.getTime() + response.withinS * 1000), state: 'waiting',
  }))));
  if (data.length > 0) await ctx.tx.db.delayedReport.createMany({ skipDuplicates: true, data });
}

export async function delayedRows(ctx: Ctx, where: { check: { visitId: string } } | { siteId: string }): Promise<DelayedRow[]> {
  const rows = await ctx.tx.db.delayedReport.findMany({ where: { ...own(ctx), ...where }, include: { check: true, event: true }, orderBy: [{ dueAt: 'asc' }, { id: 'asc' }] });
  const names = await subjectNames(ctx, rows.map((row) => row.check));
  return rows.map((row) => ({ id: row.id, what: row.what, subjectName: names.get(row.check.subjectId) ?? row.check.subjectKind, account: row.accountNumber, fromAt: row.fromAt.toISOString(), dueAt: row.dueAt.toISOString(), state: row.state as DelayedRow['state'], heardAt: row.event?.receivedAt.toISOString() ?? null, deficiencyId: row.deficiencyId }));
}

/** The event that answers a report: of its account and kind, not a restore, from the step until its time is over. */
function answerOf(row: { accountNumber: string; kinds: readonly string[]; fromAt: Date; dueAt: Date }, events: readonly EventRow[]): EventRow | undefined {
  return events.find((event) => sameNumber(event.accountNumber, row.accountNumber) && event.qualifier !== 'restore' && event.receivedAt >= new Date(row.fromAt.getTime() - EARLY_MS) && event.receivedAt <= row.dueAt
    && (row.kinds.length === 0 ? !['opening', 'periodic', 'bypass'].includes(event.kind ?? '') : row.kinds.includes(event.kind ?? 'unknown')));
}

/** SIG-OP-4. Settles every watched report that has arrived, also one that was held for missing before its history was read. */
export async function settleHeard(ctx: Ctx): Promise<{ count: number; entries: LedgerEntry[] }> {
  const { db } = ctx.tx;
  const rows = await db.delayedReport.findMany({ where: { ...own(ctx), state: { in: ['waiting', 'missing'] } }, include: { check: true }, orderBy: { dueAt: 'asc' }, take: 500 });
  if (rows.length === 0) return { count: 0, entries: [] };
  const times = rows.flatMap((row) => [row.fromAt.getTime(), row.dueAt.getTime()]);
  const events = await db.stationEvent.findMany({ where: { ...own(ctx), accountNumber: { in: [...new Set(rows.map((row) => row.accountNumber))] }, receivedAt: { gte: new Date(Math.min(...times) - EARLY_MS), lte: new Date(Math.max(...times)) } }, orderBy: { receivedAt: 'asc' } });
  const heard = rows.flatMap((row) => { const event = answerOf(row, events); return event ? [{ row, event }] : []; });
  await writeDelayedReports(ctx.tx, 'heard', heard.map(({ row, event }) => ({ id: row.id, eventId: event.id, deficiencyId: row.deficiencyId })), ctx.now);
  const missed = heard.filter(({ row }) => row.deficiencyId !== null);
  if (missed.length === 0) return { count: heard.length, entries: [] };
  const book = await openBook(ctx, missed.map(({ row }) => row.check), { isRecorded: true, deficiencyIds: missed.map(({ row }) => row.deficiencyId!) });
  for (const { row, event } of missed) closeAsHeard(book, row.deficiencyId!, row.check, `${row.what}: the station heard it at ${event.receivedAt.toISOString()}`);
  return { count: heard.length, entries: await writeBook(book) };
}

// ── the round trip of a visit ───────────────────────────────────────────────

/** A step on site as it was recorded (`root`), and the record that stands for it now after corrections. */
export interface Tripped { readonly root: CheckRecord; readonly now: CheckRecord; readonly title: string; readonly subjectName: string; readonly step: Step }
export interface RoundTripFound { readonly tripped: readonly Tripped[]; readonly shown: RoundTrip }

const isByStation = (check: CheckRecord): boolean => (check.judgement as { byStation?: boolean }).byStation === true;
/** Tried and expected to arrive: what is excused failed for a known reason, and its retry is a step of its own. */
const isTried = (check: CheckRecord): boolean => check.verdict !== 'not-done' && check.verdict !== 'excused' && check.computedVerdict !== null;

/** What was tripped in a visit, laid beside what the stations heard of its site. Computed anew from both records each time. */
export async function roundTripOf(ctx: Ctx, visit: { id: string; siteId: string }): Promise<RoundTripFound> {
  const checks = await ctx.tx.db.check.findMany({ where: { ...own(ctx), visitId: visit.id }, orderBy: [{ performedAt: 'asc' }, { id: 'asc' }] });
  const { tripped, cantTell } = await trippedOf(ctx, checks);
  const accounts = (await ctx.tx.db.account.findMany({ where: { ...own(ctx), siteId: visit.siteId } })).map((account) => account.number);
  const events = await eventsAround(ctx, tripped, accounts);
  const limits = tripped.map(({ step }) => step);
  const zipped = zip(limits, events.map(arrivalOf), { now: ctx.now.toISOString() });
  const isOurs = (id: string) => accounts.some((number) => sameNumber(number, events.find((event) => event.id === id)!.accountNumber));
  const matched = new Set(zipped.steps.flatMap((step) => step.arrival ?? []));
  const of = new Map(tripped.map((one) => [one.root.id, one]));
  return { tripped, shown: {
    offsetS: zipped.offsetS, offsetPairs: zipped.offsetPairs, offsetSpreadS: zipped.offsetSpreadS,
    steps: zipped.steps.map((one) => {
      const { root, step, title, subjectName } = of.get(one.step)!;
      return { checkId: root.id, subjectId: root.subjectId, subjectName, checkKind: root.checkKind, title, at: step.at, account: step.account, zone: step.zone, text: step.text ?? null, limitS: step.limitS, verdict: one.verdict, eventId: one.arrival, delayS: one.delayS, twice: one.twice, waitsUntil: one.waitsUntil, words: one.words };
    }),
    events: events.filter((event) => isOurs(event.id) || matched.has(event.id)).map((event) => ({ id: event.id, at: event.receivedAt.toISOString(), account: event.accountNumber, zone: event.zone, text: event.text, path: event.path, kind: event.kind, code: event.code, restore: event.qualifier === 'restore' })),
    unexplained: zipped.unexplained.filter(isOurs), twice: zipped.twice.filter(isOurs), routine: zipped.routine.filter(isOurs),
    cantTell, delayed: await delayedRows(ctx, { check: { visitId: visit.id } }), recorded: await recordedOf(ctx, visit.id), stations: await stationsOf(ctx, visit.siteId),
  } };
}

async function trippedOf(ctx: Ctx, checks: readonly CheckRecord[]): Promise<{ tripped: Tripped[]; cantTell: RoundTrip['cantTell'] }> {
  const { db } = ctx.tx;
  const corrections = new Map(checks.flatMap((check) => (check.correctsId ? [[check.correctsId, check] as const] : [])));
  const standing = (check: CheckRecord): CheckRecord => { let at = check; while (corrections.has(at.id)) at = corrections.get(at.id)!; return at; };
  const roots = checks.filter((check) => check.correctsId === null && checkDefinition(check.checkKind)?.activation === true && isTried(check) && (isTried(standing(check)) || isByStation(standing(check))));
  const devices = new Map((await db.device.findMany({ where: { ...own(ctx), id: { in: roots.map((check) => check.subjectId) } }, include: { zone: true } })).map((device) => [device.id, device]));
  const systems = new Map((await db.system.findMany({ where: { ...own(ctx), id: { in: roots.map((check) => check.systemId) } }, include: { account: true } })).map((system) => [system.id, system]));
  const names = await subjectNames(ctx, roots);
  // One phone's clock has one offset, so its raw times are held against the station's; of two phones the house's corrected times.
  const isOnePhone = new Set(roots.map((check) => check.recordedBy)).size === 1 && roots.every((check) => check.deviceClockAt !== null);
  const cantTell: RoundTrip['cantTell'] = [];
  const tripped = roots.flatMap((root): Tripped[] => {
    const definition = checkDefinition(root.checkKind)!;
    const [device, account] = [devices.get(root.subjectId), systems.get(root.systemId)?.account ?? null];
    const subjectName = names.get(root.subjectId) ?? root.subjectKind;
    const zone = device ? device.zone?.number.toString() ?? null : '0';
    if (account === null || zone === null) {
      cantTell.push({ subjectName, words: account === null ? 'its system has no account at a station on record' : 'it has no zone on our list: enter its zone, then compare again' });
      return [];
    }
    const limitS = definition.expectedResponses.find((response) => response.where === 'station' && response.withinS <= 3600)?.withinS ?? LIMIT_S;
    const kinds = device ? kindsOfDevice(device.kind) : kindsOf(definition.title);
    return [{ root, now: standing(root), title: definition.title, subjectName, step: {
      id: root.id, at: (isOnePhone ? root.deviceClockAt! : root.performedAt).toISOString(), account: account.number, zone, text: device?.zone?.textOurs ?? null, limitS, ...(kinds && kinds.length > 0 ? { kinds } : {}),
    } }];
  });
  return { tripped, cantTell };
}

async function eventsAround(ctx: Ctx, tripped: readonly Tripped[], accounts: readonly string[]): Promise<EventRow[]> {
  if (tripped.length === 0) return [];
  const times = tripped.flatMap(({ root, step }) => [root.performedAt.getTime(), Date.parse(step.at)]);
  const window = { gte: new Date(Math.min(...times) - BEFORE_MS), lte: new Date(Math.max(...times) + AFTER_MS) };
  const rows = await ctx.tx.db.stationEvent.findMany({ where: { ...own(ctx), receivedAt: window }, orderBy: [{ receivedAt: 'asc' }, { id: 'asc' }], take: 5000 });
  // Another account's event is looked at only as the wrong home of one of ours: where its zone is a zone that was tripped.
  return rows.filter((row) => accounts.some((number) => sameNumber(number, row.accountNumber)) || tripped.some(({ step }) => sameNumber(step.zone, row.zone)));
}

function arrivalOf(event: EventRow): Arrival {
  return { id: event.id, at: event.receivedAt.toISOString(), account: event.accountNumber, zone: event.zone, text: event.text, path: event.path, restore: event.qualifier === 'restore', ...(event.kind === null ? {} : { kind: event.kind as EventKind }) };
}

async function recordedOf(ctx: Ctx, visitId: string): Promise<RoundTrip['recorded']> {
  const fact = await ctx.tx.db.visitFact.findFirst({ where: { ...own(ctx), visitId, kind: 'round-trip' }, orderBy: [{ recordedAt: 'desc' }, { id: 'desc' }] });
  if (!fact) return null;
  const user = await ctx.tx.db.user.findUnique({ where: { companyId_id: { ...own(ctx), id: fact.byId } }, select: { name: true } });
  return { at: fact.recordedAt.toISOString(), byName: user?.name ?? '', counts: (fact.detail as { counts?: Record<string, number> }).counts ?? {} };
}

async function stationsOf(ctx: Ctx, siteId: string): Promise<RoundTrip['stations']> {
  const stations = await ctx.tx.db.station.findMany({ where: { ...own(ctx), accounts: { some: { siteId } } }, include: { mapping: true }, orderBy: { name: 'asc' } });
  return stations.map((station) => ({ id: station.id, name: station.name, mapping: (station.mapping?.mapping ?? null) as HistoryMapping | null }));
}

export { isByStation };

// ── three lists of zones ────────────────────────────────────────────────────

/** The three lists of a system's zones, compared; a list that nobody has read is unknown, never agreement. */
export async function zoneListsOf(ctx: Ctx, systemId: string): Promise<ZoneLists> {
  const { db } = ctx.tx;
  const system = await db.system.findUnique({ where: { companyId_id: { ...own(ctx), id: systemId } }, include: { zones: { orderBy: { number: 'asc' } } } });
  if (!system) throw new Refusal('NotFound', 'There is no system by that id.');
  const newest = async (list: string) => db.zoneList.findFirst({ where: { ...own(ctx), systemId, list }, orderBy: [{ recordedAt: 'desc' }, { id: 'desc' }] });
  const [panel, station] = [await newest('panel'), await newest('station')];
  // What the fleet's import says of panel and station counts until a list was read.
  const imported = (text: 'textPanel' | 'textStation') => (system.zones.some((zone) => zone[text] !== null) ? system.zones.filter((zone) => zone[text] !== null).map((zone) => ({ zone: String(zone.number), text: zone[text] })) : null);
  // What was seen is told zone by zone; the newest word on a zone counts.
  const looks = await db.zoneList.findMany({ where: { ...own(ctx), systemId, list: 'site' }, orderBy: [{ recordedAt: 'asc' }, { id: 'asc' }] });
  const seen = new Map(looks.flatMap((look) => (look.rows as { zone: string; text: 'found' | 'not-found' }[]).map((row) => [row.zone.replace(/^0+(?=.)/, ''), { state: row.text, at: look.recordedAt.toISOString() }] as const)));
  const rows = (list: { rows: unknown } | null) => (list === null ? null : (list.rows as { zone: string; text: string | null }[]));
  return {
    systemId, systemName: system.name, read: { panel: panel?.recordedAt.toISOString() ?? null, station: station?.recordedAt.toISOString() ?? null },
    comparison: compareZones({ panel: rows(panel) ?? imported('textPanel'), ours: system.zones.map((zone) => ({ zone: String(zone.number), text: zone.textOurs })), station: rows(station) ?? imported('textStation') }, Object.fromEntries([...seen].map(([zone, one]) => [zone, one.state]))),
    seen: [...seen].map(([zone, one]) => ({ zone, ...one })),
  };
}

// ── receivers ───────────────────────────────────────────────────────────────

/** A listener that has not spoken for so long is not running, as far as anybody can tell. */
const UNHEARD_MS = 90_000;
type ReceiverRecord = NonNullable<Awaited<ReturnType<Db['receiver']['findFirst']>>>;

export function settingOfReceiver({ name, host, port, udp, lines, requireKey, perMinute, mostConnections, isOn }: ReceiverRecord): ReceiverSetting {
  return { name, host, port, udp, lines: lines as ReceiverSetting['lines'], requireKey, perMinute, mostConnections, isOn };
}

/** The company's receivers with their keys' accounts and what the listener said; retired ones last. */
export async function receiversOf(ctx: Ctx): Promise<Receivers> {
  const { db } = ctx.tx;
  const rows = await db.receiver.findMany({ where: own(ctx), include: { state: true, maker: { select: { name: true } }, keys: { include: { setter: { select: { name: true } } }, orderBy: [{ account: 'asc' }, { setAt: 'desc' }, { id: 'desc' }] } }, orderBy: [{ createdAt: 'asc' }, { id: 'asc' }] });
  const bare = (number: string) => number.replace(/^0+(?=.)/, '').toUpperCase();
  const wanted = [...new Set(rows.flatMap((row) => row.keys.flatMap((key) => [key.account, bare(key.account)])))];
  const accounts = new Map((await db.account.findMany({ where: { ...own(ctx), number: { in: wanted } }, include: { site: { select: { name: true } } } })).map((account) => [bare(account.number), account]));
  const count = (one: bigint) => Number(one);
  return { asOf: ctx.now.toISOString(), rows: rows.toSorted((a, b) => Number(a.retiredAt !== null) - Number(b.retiredAt !== null)).map((row) => ({
    id: row.id, setting: settingOfReceiver(row), createdAt: row.createdAt.toISOString(), createdBy: row.maker.name, retiredAt: row.retiredAt?.toISOString() ?? null,
    state: row.state === null ? null : {
      isHeard: ctx.now.getTime() - row.state.seenAt.getTime() <= UNHEARD_MS, seenAt: row.state.seenAt.toISOString(), listeningPort: row.state.listeningPort, trouble: row.state.trouble, connections: row.state.connections,
      good: count(row.state.good), again: count(row.state.again), refused: count(row.state.refused), damaged: count(row.state.damaged), heldBack: count(row.state.heldBack),
      lastGoodAt: row.state.lastGoodAt?.toISOString() ?? null, lastRefusedAt: row.state.lastRefusedAt?.toISOString() ?? null, lastRefusal: row.state.lastRefusal,
    },
    keys: row.keys.map((key) => ({
      id: key.id, account: key.account, bits: key.bits, setAt: key.setAt.toISOString(), setBy: key.setter.name, endsAt: key.endsAt?.toISOString() ?? null,
      state: key.endsAt === null ? 'in-use' as const : key.endsAt > ctx.now ? 'ending' as const : 'ended' as const, good: key.good, refused: key.refused, lastGoodAt: key.lastGoodAt?.toISOString() ?? null,
      siteId: accounts.get(bare(key.account))?.siteId ?? null, siteName: accounts.get(bare(key.account))?.site.name ?? null,
    })),
  })) };
}
