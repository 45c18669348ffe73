import { aBattery, aCompany, aDevice, anAccount, anId, aSite, aSystem, aTechnician, aUser, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createPerform, type Perform, type Who } from '../perform.js';
import { closeHold } from './close-hold.js';
import { closeVisit } from './close-visit.js';
import { leftSite } from './left-site.js';
import { keepInstrument } from './keep-instrument.js';
import { liveProof } from './live-proof.js';
import { openHold } from './open-hold.js';
import { openVisit } from './open-visit.js';
import { putBackByName } from './put-back-by-name.js';
import { recordCheck } from './record-check.js';
import { showVisit } from './show-visit.js';
import { watchLeaving } from './watch-leaving.js';

// A whole visit worked without a network and sent hours later, in order, more than once: what the phone's outbox does.
const clock = { now: new Date('2027-03-01T08:00:00Z') };
let test: TestDatabase;
let perform: Perform;
beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
});
afterAll(() => test.drop());

async function aWorld() {
  const companyId = anId();
  const ids = { siteId: anId(), systemId: anId(), technicianId: anId(), deviceId: anId(), batteryId: anId(), visitId: anId() };
  const made = await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    await aCompany(tx, companyId);
    await aSite(tx, companyId, { id: ids.siteId });
    const account = await anAccount(tx, companyId, { siteId: ids.siteId, number: '4711' });
    await aSystem(tx, companyId, { id: ids.systemId, siteId: ids.siteId, accountId: account.id, kind: 'intrusion' });
    await aDevice(tx, companyId, { id: ids.deviceId, systemId: ids.systemId, kind: 'contact', label: 'Front door' });
    await aBattery(tx, companyId, { id: ids.batteryId, systemId: ids.systemId, madeOn: day('2025-06-01') });
    await aTechnician(tx, companyId, { id: ids.technicianId, name: 'Tess' });
    await tx.db.visit.create({ data: { companyId, id: ids.visitId, siteId: ids.siteId, kind: 'urgent', state: 'published', title: 'Call-out', serviceMin: 60, day: day('2027-03-01'), technicianId: ids.technicianId, createdAt: clock.now } });
    await aUser(tx, companyId, { role: 'dispatcher', name: 'Dora' });
    await aUser(tx, companyId, { role: 'owner', name: 'Ann' });
    return { accountId: account.id, user: await aUser(tx, companyId, { role: 'technician', name: 'Tess', technicianId: ids.technicianId }) };
  });
  const tess: Who = { companyId, userId: made.user.id, role: 'technician', name: 'Tess', technicianId: ids.technicianId };
  return { ...ids, companyId, tess, accountId: made.accountId };
}

describe('[VIS-2] a visit worked without a network', () => {
  it('is taken in order five hours later, each act at its own moment, three times over with one effect', async () => {
    const world = await aWorld();
    const { tess, visitId } = world;
    const [f1, h, c1, c2, p1, p2, x, l, e] = Array.from({ length: 9 }, () => anId()) as [string, string, string, string, string, string, string, string, string];
    // The phone is two hours fast; it says 16:05 when the house's clock is at 14:05.
    const phone = (time: string) => ({ deviceClockAt: `2027-03-01T${time}:00.000Z`, deviceClockNow: '2027-03-01T16:05:00.000Z' });
    const actuation = { checkKind: 'detector-actuation', subjectKind: 'device' as const, subjectId: world.deviceId, readings: { seenAtPanel: true, rightZone: true, rightText: true, receivedAtStation: true } };
    const battery = { checkKind: 'battery-on-load', subjectKind: 'battery' as const, subjectId: world.batteryId, readings: { voltsOn: 12.4, loadA: 1, minutes: 10 } };
    const rest = { instrumentId: null, outcome: 'judged' as const, overrule: null, excuseCode: null, reason: null, notes: null, alsoOut: [], phoneVerdict: null };
    clock.now = new Date('2027-03-01T14:05:00Z');
    for (let time = 0; time < 3; time += 1) {
      await perform(openVisit, tess, { visitId, id: f1, ...phone('11:00') });
      await perform(openHold, tess, { visitId, id: h, accountId: world.accountId, parts: [], stationReference: 'W-1', operatorName: 'Vera', untilAt: '2027-03-01T10:05:00.000Z', ...phone('11:05') });
      await perform(recordCheck, tess, { visitId, id: c1, ...actuation, ...rest, ...phone('11:30') });
      await perform(recordCheck, tess, { visitId, id: c2, ...battery, ...rest, ...phone('11:40') });
      await perform(putBackByName, tess, { visitId, id: p1, what: 'mains off', handTo: null, ...phone('11:50') });
      await perform(putBackByName, tess, { visitId, id: p2, what: 'cover open', handTo: { to: 'Ada Baker', reason: 'hinge is broken' }, ...phone('11:51') });
      await perform(closeHold, tess, { holdId: h, id: x, confirmedBy: 'Vera', signalsReceived: 3, ...phone('11:55') });
      await perform(liveProof, tess, { visitId, id: l, accountId: world.accountId, signal: 'set and unset', confirmedBy: 'Vera', ...phone('11:57') });
      await perform(closeVisit, tess, { visitId, id: e, signedBy: 'Ada Baker', notSignedBecause: null, ...phone('12:00') });
    }
    const view = await perform(showVisit, tess, { visitId });
    expect(view.visit).toMatchObject({ state: 'closed', openedAt: '2027-03-01T09:00:00.000Z', closedAt: '2027-03-01T10:00:00.000Z' });
    expect(view.checks.map((check) => [check.checkKind, check.performedAt, check.deviceClockAt, check.holdId])).toEqual([['detector-actuation', '2027-03-01T09:30:00.000Z', '2027-03-01T11:30:00.000Z', h], ['battery-on-load', '2027-03-01T09:40:00.000Z', '2027-03-01T11:40:00.000Z', h]]);
    expect(view.holds).toMatchObject([{ openedAt: '2027-03-01T09:05:00.000Z', untilAt: '2027-03-01T10:05:00.000Z', closedAt: '2027-03-01T09:55:00.000Z' }]);
    expect(view.putBack.map((item) => [item.what, item.putBackAt, item.handedTo]).sort()).toEqual([['cover open', null, 'Ada Baker'], ['mains off', '2027-03-01T09:50:00.000Z', null]]);
    expect(view.facts.map((fact) => fact.kind)).toEqual(['opened', 'put-back', 'handed-over', 'live-proof', 'closed']);
  });

  it('putting back what is not out is answered so; another body under the same id is not', async () => {
    const world = await aWorld();
    const id = anId();
    await perform(openVisit, world.tess, { visitId: world.visitId, id: anId() });
    expect(await perform(putBackByName, world.tess, { visitId: world.visitId, id: anId(), what: 'mains off', handTo: null })).toEqual({ item: null });
    await perform(liveProof, world.tess, { visitId: world.visitId, id, accountId: world.accountId, signal: 'set', confirmedBy: 'Vera' });
    await expect(perform(putBackByName, world.tess, { visitId: world.visitId, id, what: 'mains off', handTo: null })).rejects.toMatchObject({ problem: 'IdReused' });
  });
});

describe('instruments', () => {
  it('one serial is one instrument; new calibration is written down; an expired one leaves the item unproven', async () => {
    const world = await aWorld();
    const { tess, visitId } = world;
    const id = anId();
    clock.now = new Date('2027-03-01T09:00:00Z');
    await perform(keepInstrument, tess, { id, kind: 'volt meter', serial: 'VM-1', calibratedFrom: null, calibratedTo: '2027-02-28' });
    await expect(perform(keepInstrument, tess, { id: anId(), kind: 'volt meter', serial: 'VM-1', calibratedFrom: null, calibratedTo: '2028-02-28' })).rejects.toMatchObject({ problem: 'WrongState' });
    await perform(openVisit, tess, { visitId, id: anId() });
    await perform(openHold, tess, { visitId, id: anId(), accountId: world.accountId, parts: [], stationReference: 'W-1', operatorName: 'Vera', untilAt: '2027-03-01T12:00:00.000Z' });
    const send = (instrumentId: string) => perform(recordCheck, tess, { visitId, id: anId(), checkKind: 'battery-on-load', subjectKind: 'battery', subjectId: world.batteryId, readings: { capacityPct: 95 }, instrumentId, outcome: 'judged', overrule: null, excuseCode: null, reason: null, notes: null, alsoOut: [], phoneVerdict: null });
    const doubtful = await send(id);
    expect(doubtful.check).toMatchObject({ verdict: 'not-done', evidence: 'D', reason: expect.stringContaining('calibration ended 2027-02-28') });
    expect(doubtful.check.readings).toMatchObject([{ key: 'capacityPct', instrumentId: id, reliable: false }]);
    await perform(keepInstrument, tess, { id, kind: 'volt meter', serial: 'VM-1', calibratedFrom: '2027-03-01', calibratedTo: '2028-02-28' });
    expect((await send(id)).check.readings).toMatchObject([{ reliable: true }]);
  });
});

describe('[HOLD-5] left on test (scenario 8)', () => {
  const told = async (world: { companyId: string }) => (await test.database.inCompany({ companyId: world.companyId, actorId: null }, (tx) => tx.db.message.findMany({ where: { companyId: world.companyId }, orderBy: { createdAt: 'asc' } }))).map((one) => `${one.toName} ${one.createdAt.toISOString().slice(11, 16)}`);
  async function onTest(day: string) {
    clock.now = new Date(`${day}T08:10:00Z`);
    const world = await aWorld();
    await perform(openVisit, world.tess, { visitId: world.visitId, id: anId() });
    await perform(openHold, world.tess, { visitId: world.visitId, id: anId(), accountId: world.accountId, parts: [], stationReference: 'W-1', operatorName: 'Vera', untilAt: `${day}T16:00:00.000Z` });
    const house: Who = { companyId: world.companyId, userId: null, role: 'house', name: 'house', technicianId: null };
    const watch = async (time: string) => { clock.now = new Date(`${day}T${time}:00Z`); await perform(watchLeaving, house, {}); };
    return { ...world, watch };
  }

  it('the phone drives off: the dispatcher hears after five minutes, the owner after thirty, each once; coming back ends it', async () => {
    const world = await onTest('2027-03-01');
    clock.now = new Date('2027-03-01T08:35:00Z');
    const left = { visitId: world.visitId, id: anId(), distanceM: 640, isBack: false };
    expect(await perform(leftSite, world.tess, left)).toEqual({ open: true });
    await perform(leftSite, world.tess, left);
    for (const time of ['08:39', '08:40', '08:41', '09:04', '09:05', '09:06']) await world.watch(time);
    expect(await told(world)).toEqual(['Dora 08:40', 'Ann 09:05']);
    const other = await onTest('2027-03-01');
    clock.now = new Date('2027-03-01T08:35:00Z');
    await perform(leftSite, other.tess, { visitId: other.visitId, id: anId(), distanceM: 640, isBack: false });
    clock.now = new Date('2027-03-01T08:38:00Z');
    await perform(leftSite, other.tess, { visitId: other.visitId, id: anId(), distanceM: 20, isBack: true });
    await other.watch('08:50');
    expect(await told(other)).toEqual([]);
  });

  it('with the phone off it is raised from the planned end by the house’s own clock', async () => {
    const world = await onTest('2027-03-01');
    for (const time of ['09:10', '09:19', '09:20', '09:44', '09:45', '10:00']) await world.watch(time);
    expect(await told(world)).toEqual(['Dora 09:20', 'Ann 09:45']);
  });

  it('a visit with nothing on test and nothing out of normal is nobody’s worry', async () => {
    const world = await onTest('2027-03-01');
    const [hold] = (await perform(showVisit, world.tess, { visitId: world.visitId })).holds;
    await perform(closeHold, world.tess, { holdId: hold!.id, id: anId(), confirmedBy: 'Vera', signalsReceived: 0 });
    await world.watch('12:00');
    expect(await told(world)).toEqual([]);
  });
});
