import { aCompany, aDevice, anAccount, anId, aSite, aSystem, aTechnician, aUser, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { createPerform, type Perform, type Who } from '../perform.js';
import { takeLiveSignals, type LiveSignal } from './take-live-signals.js';

const clock = { now: new Date('2027-03-01T09:00:00Z') };
let test: TestDatabase;
let perform: Perform;
beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
});
afterAll(() => test.drop());
beforeEach(() => { clock.now = new Date('2027-03-01T09:00:00Z'); });

const signal = (over: Partial<LiveSignal> = {}): LiveSignal => ({ key: '4711||0|0001||AAAA0027#0', receivedAt: '2027-03-01T09:00:00.000Z', account: '4711', code: '131', kind: 'intrusion', qualifier: 'new', zone: '003', text: null, path: 'ethernet', ...over });

async function aWorld(): Promise<{ house: Who; companyId: string; siteId: string; visitId: string; accountId: string }> {
  const [companyId, siteId, visitId, technicianId] = [anId(), anId(), anId(), anId()];
  const accountId = await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    await aCompany(tx, companyId);
    await aSite(tx, companyId, { id: siteId });
    const account = await anAccount(tx, companyId, { siteId, number: '4711' });
    const system = await aSystem(tx, companyId, { siteId, accountId: account.id, kind: 'intrusion' });
    await aDevice(tx, companyId, { systemId: system.id, kind: 'contact', label: 'Contact' });
    await aTechnician(tx, companyId, { id: technicianId });
    await aUser(tx, companyId, { role: 'owner', name: 'Ann' });
    await tx.db.visit.create({ data: { companyId, id: visitId, siteId, kind: 'urgent', state: 'open', title: 'Live', serviceMin: 60, day: day('2027-03-01'), technicianId, createdAt: clock.now } });
    return account.id;
  });
  return { companyId, siteId, visitId, accountId, house: { companyId, userId: null, role: 'house', name: 'house', technicianId: null } };
}

const inside = <T>(companyId: string, work: Parameters<TestDatabase['database']['inCompany']>[1]) => test.database.inCompany({ companyId, actorId: null }, work) as Promise<T>;

describe('[SIG-OP-6] signals as a receiver hears them', () => {
  it('are kept once, whatever is sent again; the account is found with or without leading zeros; an unknown one is kept and told', async () => {
    const { house, companyId, accountId } = await aWorld();
    expect(await perform(takeLiveSignals, house, { signals: [signal(), signal({ key: 'k2#0', account: '004711', zone: '004' }), signal({ key: 'k3#0', account: '9999' }), signal({ key: 'k3#0', account: '9999' })] })).toEqual({ stored: 3, known: 0, unknownAccounts: ['9999'] });
    clock.now = new Date('2027-03-01T09:04:00Z');
    expect(await perform(takeLiveSignals, house, { signals: [signal({ receivedAt: '2027-03-01T09:04:00.000Z' })] })).toMatchObject({ stored: 0, known: 1 });
    const events = await inside<{ accountNumber: string; accountId: string | null; source: string; kind: string | null; receivedAt: Date }[]>(companyId, (tx) => tx.db.stationEvent.findMany({ where: { companyId }, orderBy: [{ accountNumber: 'asc' }] }));
    expect(events.map((event) => [event.accountNumber, event.accountId])).toEqual([['004711', accountId], ['4711', accountId], ['9999', null]]);
    expect(events[1]).toMatchObject({ source: 'live', kind: 'intrusion', receivedAt: new Date('2027-03-01T09:00:00Z') });
    // Ten minutes later the same content is another event: a panel that always counts from one must not lose its second alarm.
    expect(await perform(takeLiveSignals, house, { signals: [signal({ receivedAt: '2027-03-01T09:11:00.000Z' })] })).toMatchObject({ stored: 1 });
  });
  it('two batches at once keep each frame once', async () => {
    const { house, companyId } = await aWorld();
    const signals = Array.from({ length: 40 }, (_, i) => signal({ key: `f${i}#0` }));
    await Promise.all([perform(takeLiveSignals, house, { signals }), perform(takeLiveSignals, house, { signals: signals.toReversed() })]);
    expect(await inside<number>(companyId, (tx) => tx.db.stationEvent.count({ where: { companyId } }))).toBe(40);
  });
  it('an open visit at the site is told at once; another company sees nothing', async () => {
    const [one, other] = [await aWorld(), await aWorld()];
    await perform(takeLiveSignals, one.house, { signals: [signal({ key: 'v#0' }), signal({ key: 'elsewhere#0', account: '9999' })] });
    const told = (world: typeof one) => inside<{ summary: string; subjectId: string | null }[]>(world.companyId, (tx) => tx.db.activity.findMany({ where: { companyId: world.companyId, act: 'take-live-signals' } }));
    expect(await told(one)).toEqual([expect.objectContaining({ subjectId: one.visitId, summary: expect.stringContaining('1 signal arrived') })]);
    expect(await told(other)).toEqual([]);
    expect(await inside<number>(other.companyId, (tx) => tx.db.stationEvent.count())).toBe(0);
  });
  it('a report that was held back on purpose is settled by the worker that follows', async () => {
    const { house, companyId, siteId, visitId } = await aWorld();
    await inside(companyId, async (tx) => {
      const system = await tx.db.system.findFirstOrThrow({ where: { companyId } });
      const check = await tx.db.check.create({ data: { companyId, id: anId(), bodyDigest: 'x', visitId, siteId, systemId: system.id, subjectKind: 'system', subjectId: system.id, checkKind: 'mains-loss-report', performedOn: day('2027-03-01'), performedAt: clock.now, recordedAt: clock.now, verdict: 'pass', reason: 'seen', evidence: 'B', source: 'field', judgement: {} } });
      await tx.db.delayedReport.create({ data: { companyId, id: anId(), siteId, checkId: check.id, accountNumber: '4711', what: 'mains loss', kinds: ['power'], fromAt: clock.now, dueAt: new Date('2027-03-01T12:00:00Z'), state: 'waiting' } });
    });
    await perform(takeLiveSignals, house, { signals: [signal({ key: 'm#0', code: '301', kind: 'power', zone: null })] });
    expect(await inside<number>(companyId, (tx) => tx.db.outboxJob.count({ where: { companyId, job: 'settle-delayed' } }))).toBe(1);
  });
});
