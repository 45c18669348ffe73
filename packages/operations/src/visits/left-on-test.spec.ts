import { CheckBody } from '@bellround/contracts';
import { verifyBundle } from '@bellround/proof';
import { aCompany, aDevice, anAccount, anId, aSite, aSystem, aTechnician, aUser, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createPerform, type Perform, type Who } from '../perform.js';
import { exportBundle } from '../proof/export-bundle.js';
import { watchHolds } from '../reminders/watch-holds.js';
import { closeHold } from './close-hold.js';
import { closeVisit } from './close-visit.js';
import { extendHold } from './extend-hold.js';
import { leftSite } from './left-site.js';
import { openHold } from './open-hold.js';
import { openVisit } from './open-visit.js';
import { recordCheck } from './record-check.js';
import { watchLeaving } from './watch-leaving.js';

// Scenario 8 in its own words and numbers. Times are the site's (Madrid, UTC+1 on 1 March 2027).
const clock = { now: new Date(0) };
const local = (time: string): Date => new Date(Date.parse(`2027-03-01T${time.length === 5 ? `${time}:00` : time}Z`) - 3_600_000);
const at = (time: string) => { clock.now = local(time); };
let test: TestDatabase;
let perform: Perform;
beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
});
afterAll(() => test.drop());

const inside = <T>(companyId: string, act: (tx: Parameters<Parameters<TestDatabase['database']['inCompany']>[1]>[0]) => Promise<T>) => test.database.inCompany({ companyId, actorId: null }, act);

/** A fire and intrusion site; the visit is planned 09:00 for three hours. */
async function aWorld() {
  at('09:00');
  const companyId = anId();
  const ids = { siteId: anId(), smokeId: anId(), technicianId: anId(), visitId: anId() };
  const made = await inside(companyId, async (tx) => {
    await aCompany(tx, companyId);
    await aSite(tx, companyId, { id: ids.siteId });
    const account = await anAccount(tx, companyId, { siteId: ids.siteId, number: '4711' });
    const fire = await aSystem(tx, companyId, { siteId: ids.siteId, accountId: account.id, kind: 'fire', name: 'Fire' });
    await aSystem(tx, companyId, { siteId: ids.siteId, accountId: account.id, kind: 'intrusion' });
    await aDevice(tx, companyId, { id: ids.smokeId, systemId: fire.id, kind: 'smoke', link: 'wired', label: 'Stair smoke' });
    await aTechnician(tx, companyId, { id: ids.technicianId, name: 'Tess' });
    await tx.db.visit.create({ data: { companyId, id: ids.visitId, siteId: ids.siteId, kind: 'urgent', state: 'published', title: 'Yearly', serviceMin: 180, day: day('2027-03-01'), startMin: 540, technicianId: ids.technicianId, createdAt: clock.now } });
    return { accountId: account.id, owner: await aUser(tx, companyId, { role: 'owner', name: 'Ann' }), dora: await aUser(tx, companyId, { role: 'dispatcher', name: 'Dora' }), tess: await aUser(tx, companyId, { role: 'technician', name: 'Tess', technicianId: ids.technicianId }) };
  });
  const tess: Who = { companyId, userId: made.tess.id, role: 'technician', name: 'Tess', technicianId: ids.technicianId };
  const owner: Who = { companyId, userId: made.owner.id, role: 'owner', name: 'Ann', technicianId: null };
  const house: Who = { companyId, userId: null, role: 'house', name: 'the house', technicianId: null };
  await perform(openVisit, tess, { visitId: ids.visitId, id: anId() });
  at('09:10');
  const hold = (untilAt: string) => perform(openHold, tess, { visitId: ids.visitId, id: anId(), accountId: made.accountId, parts: ['intrusion', 'fire'], stationReference: 'W-88', operatorName: 'Vera', untilAt: local(untilAt).toISOString() });
  const told = async () => (await inside(companyId, (tx) => tx.db.message.findMany({ where: { companyId }, orderBy: [{ createdAt: 'asc' }, { toName: 'asc' }] }))).map((one) => `${one.toName} ${new Date(one.createdAt.getTime() + 3_600_000).toISOString().slice(11, 16)}`);
  return { ...ids, companyId, accountId: made.accountId, tess, owner, house, hold, told };
}
const problemOf = async (promise: Promise<unknown>) => { const error = await promise.then(() => null, (caught: unknown) => caught); expect(error).toMatchObject({ name: 'Refusal' }); return error as { problem: string; detail: string }; };

describe('scenario 8: left on test', () => {
  it('09:10 on test for 120 min; 10:42 refused showing which parts; 10:55, 11:05, 11:09 warnings; 11:10 expired; 11:12 "live - will dispatch"', async () => {
    const world = await aWorld();
    const hold = await world.hold('11:10');
    const watched: Record<string, object> = {};
    const watch = async (time: string) => { at(time); watched[time] = await perform(watchHolds, world.house, {}); };

    at('10:42');
    const finish = await problemOf(perform(closeVisit, world.tess, { visitId: world.visitId, id: anId(), signedBy: 'M. Oriel', notSignedBecause: null }));
    expect([finish.problem, finish.detail]).toEqual(['HoldOpen', expect.stringContaining('account 4711 is on test (intrusion, fire)')]);

    for (const time of ['10:54', '10:55', '10:56', '11:04', '11:05', '11:08', '11:09', '11:09:59', '11:10', '11:11']) await watch(time);
    const [quiet, warned, ended] = [{ warned: 0, outlived: 0 }, { warned: 1, outlived: 0 }, { warned: 0, outlived: 1 }];
    expect(watched).toEqual({ '10:54': quiet, '10:55': warned, '10:56': quiet, '11:04': quiet, '11:05': warned, '11:08': quiet, '11:09': warned, '11:09:59': quiet, '11:10': ended, '11:11': quiet });
    expect(await world.told()).toEqual(['Ann 11:10', 'Dora 11:10']);

    at('11:12');
    const step = CheckBody.parse({ id: anId(), checkKind: 'smoke-functional', subjectKind: 'device', subjectId: world.smokeId, readings: { alarmAtPanel: true, rightText: true } });
    const live = await problemOf(perform(recordCheck, world.tess, { visitId: world.visitId, ...step }));
    expect([live.problem, live.detail]).toEqual(['HoldRequired', expect.stringMatching(/^live - will dispatch.*ended at 2027-03-01T10:10:00.000Z/)]);

    const facts = await inside(world.companyId, (tx) => tx.db.holdFact.findMany({ where: { companyId: world.companyId, holdId: hold.id }, orderBy: { id: 'asc' } }));
    expect(facts.map((fact) => [fact.kind, (fact.detail as { minutesLeft?: number }).minutesLeft])).toEqual([['opened', undefined], ['warned', 15], ['warned', 5], ['warned', 1], ['outlived', undefined]]);
    const bundle = await perform(exportBundle, world.owner, { siteId: world.siteId, ledgerKey: '11'.repeat(32) });
    expect(verifyBundle(bundle, { expectedPublicKey: bundle.publicKey })).toMatchObject({ ok: true });
    expect(bundle.records.filter(({ record }) => (record as { kind?: string }).kind === 'warned')).toHaveLength(3);
  });

  it('an end that was moved is warned of anew, a closed hold never, and a worker that slept says the mark that is nearest', async () => {
    const world = await aWorld();
    const hold = await world.hold('11:10');
    at('11:00');
    expect(await perform(watchHolds, world.house, {})).toMatchObject({ warned: 1 });
    await perform(extendHold, world.tess, { holdId: hold.id, id: anId(), untilAt: local('12:10').toISOString(), operatorName: 'Vera' });
    at('11:10');
    expect(await perform(watchHolds, world.house, {})).toEqual({ warned: 0, outlived: 0 });
    at('12:07');
    expect(await perform(watchHolds, world.house, {})).toMatchObject({ warned: 1 });
    const last = await inside(world.companyId, (tx) => tx.db.holdFact.findFirstOrThrow({ where: { companyId: world.companyId, kind: 'warned' }, orderBy: { id: 'desc' } }));
    expect(last.detail).toMatchObject({ minutesLeft: 5 });
    await perform(closeHold, world.tess, { holdId: hold.id, id: anId(), confirmedBy: 'Vera', signalsReceived: 4 });
    at('12:11');
    expect(await perform(watchHolds, world.house, {})).toEqual({ warned: 0, outlived: 0 });
    expect((await problemOf(Promise.all([world.hold('13:00'), world.hold('13:00')]))).problem).toBe('HoldOpen');
  });

  it('variant: on test until 17:00, she drives off 12:05 (> 500 m): the dispatcher has it by 12:10, the owner\'s list by 12:35 if still so', async () => {
    const world = await aWorld();
    await world.hold('17:00');
    at('12:05');
    await perform(leftSite, world.tess, { visitId: world.visitId, id: anId(), distanceM: 620, isBack: false });
    for (const time of ['12:06', '12:09', '12:10', '12:11', '12:34', '12:35', '12:36']) { at(time); await perform(watchLeaving, world.house, {}); }
    expect(await world.told()).toEqual(['Dora 12:10', 'Ann 12:35']);
  });

  it('variant: the phone is off: the server raises it from the missing put-back by planned end + 10 min', async () => {
    const world = await aWorld();
    await world.hold('17:00');
    for (const time of ['11:59', '12:09', '12:10', '12:11']) { at(time); await perform(watchLeaving, world.house, {}); }
    expect(await world.told()).toEqual(['Dora 12:10']);
  });
});
