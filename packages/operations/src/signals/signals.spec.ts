import { aBattery, aCompany, aDevice, anAccount, anId, aSite, aSystem, aTechnician, aUser, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { createPerform, type Perform, type Who } from '../perform.js';
import { planRetest } from '../deficiencies/plan-retest.js';
import { showDeficiency } from '../deficiencies/show-deficiency.js';
import { openHold } from '../visits/open-hold.js';
import { openVisit } from '../visits/open-visit.js';
import { recordCheck } from '../visits/record-check.js';
import { showVisit } from '../visits/show-visit.js';
import { correctZone } from './correct-zone.js';
import { keepZoneList } from './keep-zone-list.js';
import { recordRoundTrip } from './record-round-trip.js';
import { settleDelayed } from './settle-delayed.js';
import { showEvidence } from './show-evidence.js';
import { showRoundTrip } from './show-round-trip.js';
import { showZoneLists } from './show-zone-lists.js';
import { takeStationEvents } from './take-station-events.js';

const clock = { now: new Date('2027-03-01T09:00:00Z') };
const at = (time: string) => { clock.now = new Date(time); };
let test: TestDatabase;
let perform: Perform;
beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
});
afterAll(() => test.drop());
beforeEach(() => at('2027-03-01T09:00:00Z'));

const ROOMS = ['study', 'hall', 'kitchen', 'office', 'stairs', 'store', 'garage', 'cellar', 'bath', 'attic', 'lounge', 'porch'];
interface World { companyId: string; tess: Who; owner: Who; house: Who; siteId: string; systemId: string; accountId: string; batteryId: string; visitId: string; devices: string[] }

/** Twelve contacts in twelve zones of one account 4711, a started visit, a hold until noon. */
async function aWorld(): Promise<World> {
  const companyId = anId();
  const ids = { siteId: anId(), systemId: anId(), technicianId: anId(), batteryId: anId(), visitId: anId() };
  const devices = ROOMS.map(() => anId());
  const made = await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    await aCompany(tx, companyId);
    await aSite(tx, companyId, { id: ids.siteId });
    const account = await anAccount(tx, companyId, { siteId: ids.siteId, number: '4711' });
    await aSystem(tx, companyId, { id: ids.systemId, siteId: ids.siteId, accountId: account.id, kind: 'intrusion' });
    for (const [n, room] of ROOMS.entries()) {
      const zoneId = anId();
      await tx.db.zone.create({ data: { companyId, id: zoneId, systemId: ids.systemId, number: n + 1, textOurs: room } });
      await aDevice(tx, companyId, { id: devices[n]!, systemId: ids.systemId, kind: 'contact', label: `Contact ${room}`, room, zoneId });
    }
    await aBattery(tx, companyId, { id: ids.batteryId, systemId: ids.systemId, madeOn: day('2025-06-01') });
    await aTechnician(tx, companyId, { id: ids.technicianId, name: 'Tess' });
    await tx.db.visit.create({ data: { companyId, id: ids.visitId, siteId: ids.siteId, kind: 'urgent', state: 'published', title: 'Round trip', serviceMin: 60, day: day('2027-03-01'), technicianId: ids.technicianId, createdAt: clock.now } });
    return { accountId: account.id, tess: await aUser(tx, companyId, { role: 'technician', name: 'Tess', technicianId: ids.technicianId }), owner: await aUser(tx, companyId, { role: 'owner', name: 'Ann' }) };
  });
  const tess: Who = { companyId, userId: made.tess.id, role: 'technician', name: 'Tess', technicianId: ids.technicianId };
  await perform(openVisit, tess, { visitId: ids.visitId, id: anId() });
  await perform(openHold, tess, { visitId: ids.visitId, id: anId(), accountId: made.accountId, parts: [], stationReference: 'W-88', operatorName: 'Vera', untilAt: '2027-03-01T12:00:00Z' });
  return { companyId, ...ids, devices, accountId: made.accountId, tess, owner: { companyId, userId: made.owner.id, role: 'owner', name: 'Ann', technicianId: null }, house: { companyId, userId: null, role: 'house', name: 'house', technicianId: null } };
}

const plain = { instrumentId: null, outcome: 'judged' as const, overrule: null, excuseCode: null, reason: null, notes: null, alsoOut: [], phoneVerdict: null };
const SLOW_S = 37;
/** Trips contact `n` at that minute past nine, true time; the phone is 37 s slow. */
function trip(world: World, n: number, minute: number, visitId = world.visitId) {
  const moment = Date.parse('2027-03-01T09:00:00Z') + minute * 60_000;
  at(new Date(moment + 20_000).toISOString());
  return perform(recordCheck, world.tess, { visitId, id: anId(), checkKind: 'detector-actuation', subjectKind: 'device', subjectId: world.devices[n]!, readings: { seenAtPanel: true, rightZone: true, rightText: true }, ...plain,
    deviceClockAt: new Date(moment - SLOW_S * 1000).toISOString(), deviceClockNow: new Date(moment + 20_000 - SLOW_S * 1000).toISOString() });
}
const MAPPING = { account: 'Account', receivedAt: 'Received', zone: 'Zone', text: 'Text', code: 'Code', dateForm: 'iso' as const, timeZone: 'Europe/Madrid' };
const line = (minute: number, second: number, zone: number | string, text: string, code = 'BA', account = '4711') => `${account};2027-03-01 10:${String(minute).padStart(2, '0')}:${String(second).padStart(2, '0')};${code};${zone};${text}`;
const csv = (lines: string[]) => ({ text: ['Account;Received;Code;Zone;Text', ...lines].join('\n'), mapping: MAPPING, keepMapping: true });
/** As the scenario has it: nine right, one text wrong, one 140 s late, one absent, one nobody tripped. */
const heard = () => [
  line(2, 0, 1, 'garage'), ...[1, 2, 3, 4, 5, 6, 7, 8, 9].map((n) => line(2 + 2 * n, n % 3 === 0 ? 1 : 0, n + 1, ROOMS[n]!)), line(24, 20, 11, 'lounge'), line(40, 5, 44, 'loading bay'),
];
const take = (world: World, lines: string[]) => perform(takeStationEvents, world.tess, { visitId: world.visitId, csv: csv(lines), events: [] });
async function aWalkedVisit(): Promise<World> {
  const world = await aWorld();
  for (const n of ROOMS.keys()) await trip(world, n, 2 + 2 * n);
  at('2027-03-01T11:00:00Z');
  return world;
}
const counts = (steps: readonly { verdict: string }[]) => { const all: Record<string, number> = {}; for (const { verdict } of steps) all[verdict] = (all[verdict] ?? 0) + 1; return all; };

describe('[SIG-OP-1] taking a station’s history (scenario 9)', () => {
  it('finds the phone’s clock and nine right, one wrong text, one late, one not received, one unexplained', async () => {
    const world = await aWalkedVisit();
    const { taken, problems, roundTrip } = await take(world, heard());
    expect({ taken, problems }).toEqual({ taken: 12, problems: [] });
    expect(roundTrip.offsetS).toBeGreaterThanOrEqual(SLOW_S - 2);
    expect(roundTrip.offsetS).toBeLessThanOrEqual(SLOW_S + 2);
    expect(counts(roundTrip.steps)).toEqual({ right: 9, 'wrong-text': 1, late: 1, 'not-received': 1 });
    expect(roundTrip.unexplained.map((id) => roundTrip.events.find((event) => event.id === id)!.text)).toEqual(['loading bay']);
    expect(roundTrip.recorded).toBeNull();
  });

  it('taken again changes nothing; bad rows are named, good ones kept; the mapping is remembered', async () => {
    const world = await aWalkedVisit();
    await take(world, heard());
    const again = await take(world, [...heard(), '4711;2027-02-30 10:00:00;BA;1;x', '4711;2027-03-01 10:50:00;BA;3;kitchen']);
    expect(again).toMatchObject({ taken: 1, repeated: 12, problems: [{ row: 13, field: 'Received', value: '2027-02-30 10:00:00' }] });
    expect(again.roundTrip.stations).toMatchObject([{ mapping: { account: 'Account', timeZone: 'Europe/Madrid' } }]);
    await expect(perform(takeStationEvents, world.tess, { visitId: world.visitId, csv: { ...csv(heard()), mapping: { ...MAPPING, zone: 'Area' } }, events: [] })).rejects.toMatchObject({ problem: 'ImportRefused', detail: expect.stringContaining("'Area'") });
  });

  it('another company’s visit is not there', async () => {
    const [world, other] = [await aWorld(), await aWorld()];
    await expect(perform(showRoundTrip, other.owner, { visitId: world.visitId })).rejects.toMatchObject({ problem: 'NotFound' });
    await take(world, [line(2, 0, 1, 'study')]);
    expect((await perform(showRoundTrip, other.owner, { visitId: other.visitId })).events).toEqual([]);
  });
});

describe('[SIG-OP-2] recording the comparison', () => {
  it('makes the silent step unproven, the wrong text a deficiency of the station’s data, the late one its own; once', async () => {
    const world = await aWalkedVisit();
    await expect(perform(recordRoundTrip, world.tess, { visitId: world.visitId, id: anId() })).rejects.toMatchObject({ problem: 'WrongState' });
    await take(world, heard());
    const id = anId();
    const first = await perform(recordRoundTrip, world.tess, { visitId: world.visitId, id });
    expect(first.raised.map((one) => one.title).sort()).toEqual(['Arrives later than 90 s: Contact lounge, lounge', 'Detector actuation: Contact porch, porch', "Station's data: wrong text for zone 1: Contact study, study"]);
    expect(first.roundTrip.recorded).toMatchObject({ byName: 'Tess', counts: { right: 9, 'wrong-text': 1, late: 1, 'not-received': 1, unexplained: 1 } });
    const view = await perform(showVisit, world.tess, { visitId: world.visitId });
    const porch = view.checks.filter((check) => check.subjectId === world.devices[11]);
    expect(porch.map((check) => [check.verdict, check.correctsId === null])).toEqual([['pass', true], ['fail', false]]);
    expect(porch[1]!.reason).toContain('nothing of zone 12 reached the station');
    expect((await perform(recordRoundTrip, world.tess, { visitId: world.visitId, id })).raised).toEqual([]);
    expect((await perform(recordRoundTrip, world.tess, { visitId: world.visitId, id: anId() })).raised).toEqual([]);
  });

  it('[SIG-OP-3] a new right signal, and nothing else, closes the wrong text; the silent one is closed by its retry', async () => {
    const world = await aWalkedVisit();
    await take(world, heard());
    const { raised } = await perform(recordRoundTrip, world.tess, { visitId: world.visitId, id: anId() });
    const text = raised.find((one) => one.title.startsWith('Station'))!;
    const retest = await perform(planRetest, world.owner, { id: anId(), deficiencyIds: [text.id] });
    expect((await perform(showVisit, world.tess, { visitId: retest.visitId })).toDo.map((one) => [one.checkKind, one.subjectId])).toContainEqual(['detector-actuation', world.devices[0]]);
    await trip(world, 0, 130);
    await trip(world, 11, 132);
    expect((await perform(showDeficiency, world.tess, { deficiencyId: text.id })).deficiency.state).toBe('open');
    const silent = raised.find((one) => one.title.includes('porch'))!;
    expect((await perform(showDeficiency, world.tess, { deficiencyId: silent.id })).deficiency.state).toBe('closed');
    at('2027-03-01T11:30:00Z');
    await perform(takeStationEvents, world.tess, { visitId: world.visitId, csv: null, events: [{ receivedAt: '2027-03-01T11:10:02Z', account: '4711', code: 'BA', zone: '1', text: 'study', path: null, qualifier: 'new' }, { receivedAt: '2027-03-01T11:12:01Z', account: '4711', code: 'BA', zone: '12', text: 'porch', path: null, qualifier: 'new' }] });
    const second = await perform(recordRoundTrip, world.tess, { visitId: world.visitId, id: anId() });
    expect(second.closedDeficiencyIds).toEqual([text.id]);
    expect((await perform(showDeficiency, world.tess, { deficiencyId: text.id })).facts.map((fact) => fact.kind)).toEqual(['raised', 'retest-planned', 'retest-passed']);
  });

  it('an arrival that a later history holds puts the silent step right again; both entries stay', async () => {
    const world = await aWalkedVisit();
    await take(world, heard());
    const { raised } = await perform(recordRoundTrip, world.tess, { visitId: world.visitId, id: anId() });
    await take(world, [line(24 + 2, 3, 12, 'porch')]);
    const after = await perform(recordRoundTrip, world.tess, { visitId: world.visitId, id: anId() });
    expect(after.closedDeficiencyIds).toEqual([raised.find((one) => one.title.includes('porch'))!.id]);
    const view = await perform(showVisit, world.tess, { visitId: world.visitId });
    expect(view.checks.filter((check) => check.subjectId === world.devices[11]).map((check) => check.verdict).sort()).toEqual(['fail', 'pass', 'pass']);
  });
});

describe('[SIG-OP-4] reports held back on purpose', () => {
  const battery = (world: World, responses?: ({ answer: 'seen' } | { answer: 'not-seen' } | { answer: 'not-provable'; because: string } | null)[]) => perform(recordCheck, world.tess, { visitId: world.visitId, id: anId(), checkKind: 'battery-on-load', subjectKind: 'battery', subjectId: world.batteryId, readings: { capacityPct: 95 }, ...plain, ...(responses ? { responses } : {}) });
  async function answers(world: World, station: { answer: 'not-seen' } | { answer: 'not-provable'; because: string }) {
    const { definitions } = await perform(showVisit, world.tess, { visitId: world.visitId });
    return definitions.find((one) => one.key === 'battery-on-load')!.expectedResponses.map((one) => (one.where === 'station' ? station : { answer: 'seen' as const }));
  }

  it('are closed by themselves when the station hears them within their time', async () => {
    const world = await aWorld();
    await battery(world, await answers(world, { answer: 'not-seen' }));
    expect((await perform(showRoundTrip, world.tess, { visitId: world.visitId })).delayed).toMatchObject([{ state: 'waiting', dueAt: '2027-03-01T12:00:00.000Z' }]);
    at('2027-03-01T11:00:00Z');
    expect(await perform(settleDelayed, world.house, {})).toEqual({ heard: 0, missing: 0 });
    const { settledDelayed, roundTrip } = await perform(takeStationEvents, world.tess, { visitId: world.visitId, csv: null, events: [{ receivedAt: '2027-03-01T10:30:00Z', account: '4711', code: 'AT', zone: null, text: null, path: null, qualifier: 'new' }] });
    expect(settledDelayed).toBe(1);
    expect(roundTrip.delayed).toMatchObject([{ state: 'heard', heardAt: '2027-03-01T10:30:00.000Z' }]);
  });

  it('become a deficiency by themselves when their time is over in a history that was read; one read later closes it', async () => {
    const world = await aWorld();
    await battery(world, await answers(world, { answer: 'not-seen' }));
    at('2027-03-01T12:30:00Z');
    expect(await perform(settleDelayed, world.house, {})).toEqual({ heard: 0, missing: 0 });
    await perform(takeStationEvents, world.tess, { visitId: world.visitId, csv: null, events: [{ receivedAt: '2027-03-01T12:20:00Z', account: '4711', code: 'OP', zone: null, text: null, path: null, qualifier: 'new' }] });
    expect(await perform(settleDelayed, world.house, {})).toEqual({ heard: 0, missing: 1 });
    expect(await perform(settleDelayed, world.house, {})).toEqual({ heard: 0, missing: 0 });
    const [row] = (await perform(showRoundTrip, world.tess, { visitId: world.visitId })).delayed;
    expect((await perform(showDeficiency, world.tess, { deficiencyId: row!.deficiencyId! })).deficiency).toMatchObject({ state: 'open', severity: 'critical', title: expect.stringContaining('Not heard at the station') });
    await perform(takeStationEvents, world.tess, { visitId: world.visitId, csv: null, events: [{ receivedAt: '2027-03-01T11:50:00Z', account: '4711', code: '301', zone: null, text: null, path: null, qualifier: 'new' }] });
    expect((await perform(showDeficiency, world.tess, { deficiencyId: row!.deficiencyId! })).deficiency.state).toBe('closed');
  });

  it('without any history nothing is known for a day, then it stands as not shown; not provable is an answer and watches nothing', async () => {
    const world = await aWorld();
    await battery(world, await answers(world, { answer: 'not-seen' }));
    at('2027-03-02T11:59:00Z');
    expect(await perform(settleDelayed, world.house, {})).toEqual({ heard: 0, missing: 0 });
    at('2027-03-02T12:01:00Z');
    expect(await perform(settleDelayed, world.house, {})).toEqual({ heard: 0, missing: 1 });
    at('2027-03-01T09:00:00Z');
    const other = await aWorld();
    const { check } = await battery(other, await answers(other, { answer: 'not-provable', because: 'mains are back on' }));
    expect(check.judgement.responses!.filter((one) => one.where === 'station').map((one) => one.verdict)).toEqual(['not-provable']);
    expect((await perform(showRoundTrip, other.tess, { visitId: other.visitId })).delayed).toEqual([]);
  });

  it('a response that did not come at the control unit is a deficiency, closed by being seen and not by a good reading', async () => {
    const world = await aWorld();
    const seen = await answers(world, { answer: 'not-provable', because: 'mains are back on' });
    const missed = seen.map((one, n) => (n === 0 ? { answer: 'not-seen' as const } : one));
    const first = await battery(world, missed);
    expect(first.deficiencies.map((one) => one.title)).toEqual([expect.stringContaining('did not come')]);
    at('2027-03-01T09:10:00Z');
    expect((await battery(world)).closedDeficiencyIds).toEqual([]);
    at('2027-03-01T09:20:00Z');
    expect((await battery(world, seen)).closedDeficiencyIds).toEqual(first.deficiencies.map((one) => one.id));
  });
});

describe('[SIG-OP-5] three lists of zones', () => {
  it('are compared, a list nobody read is unknown, and one small approved act corrects ours', async () => {
    const world = await aWorld();
    expect((await perform(showZoneLists, world.tess, { systemId: world.systemId })).comparison.unread).toEqual(['panel', 'station']);
    const rows = ROOMS.map((text, n) => ({ zone: String(n + 1), text: n === 0 ? 'den' : text }));
    const id = anId();
    await perform(keepZoneList, world.tess, { systemId: world.systemId, id, list: 'panel', rows });
    await perform(keepZoneList, world.tess, { systemId: world.systemId, id, list: 'panel', rows });
    await expect(perform(keepZoneList, world.tess, { systemId: world.systemId, id, list: 'station', rows })).rejects.toMatchObject({ problem: 'IdReused' });
    const { comparison } = await perform(keepZoneList, world.tess, { systemId: world.systemId, id: anId(), list: 'station', rows });
    expect(comparison.differences).toMatchObject([{ zone: '1', kind: 'text', lists: ['ours'], corrections: [{ list: 'ours', act: 'rename', text: 'den' }] }]);
    const after = await perform(correctZone, world.owner, { systemId: world.systemId, id: anId(), act: 'rename', zone: '1', text: 'den', reason: 'panel and station agree' });
    expect(after.comparison).toMatchObject({ agree: 12, differences: [] });
    await expect(perform(correctZone, world.owner, { systemId: world.systemId, id: anId(), act: 'remove', zone: '1', text: null, reason: 'gone for good' })).rejects.toMatchObject({ problem: 'WrongState', detail: expect.stringContaining('Contact study') });
  });
});

describe('[SIG-OP-5] listed and not found, found and not listed', () => {
  it('are answers from site; the newest word on a zone counts', async () => {
    const world = await aWorld();
    const look = (rows: { zone: string; text: string }[]) => perform(keepZoneList, world.tess, { systemId: world.systemId, id: anId(), list: 'site', rows });
    const { comparison } = await look([{ zone: '3', text: 'not-found' }, { zone: '44', text: 'found' }]);
    expect(comparison.differences.map((one) => [one.zone, one.kind, one.corrections.filter((correction) => correction.list === 'ours').map((correction) => correction.act)])).toEqual([['3', 'listed-not-found', ['remove']], ['44', 'found-not-listed', ['add']]]);
    const added = await perform(correctZone, world.owner, { systemId: world.systemId, id: anId(), act: 'add', zone: '44', text: 'loading bay', reason: 'found on the round' });
    expect(added.comparison.differences.map((one) => one.zone)).toEqual(['3']);
    expect((await look([{ zone: '03', text: 'found' }])).comparison.differences).toEqual([]);
  });
});

describe('[SIG-OP-8] missing proofs', () => {
  it('are a list with who can still supply each, and it shrinks as they come', async () => {
    const world = await aWorld();
    await trip(world, 0, 2);
    at('2027-03-01T10:00:00Z');
    const before = (await perform(showEvidence, world.tess, { visitId: world.visitId })).missing;
    expect(before.map((one) => [one.what, one.who])).toEqual(expect.arrayContaining([['The station’s history of this visit', 'station'], ['Live proof', 'technician'], ['Signature', 'customer']]));
    await take(world, [line(2, 1, 1, 'study')]);
    await perform(recordRoundTrip, world.tess, { visitId: world.visitId, id: anId() });
    const after = (await perform(showEvidence, world.tess, { visitId: world.visitId })).missing;
    expect(after.map((one) => one.key)).not.toContain('history');
    expect(after.length).toBeLessThan(before.length);
  });
});
