import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aCompany, anAccount, anId, aPath, aSite, aSystem, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { applyProgramme, createPerform, nextSitesToRead, readHistory, saveProgramme, showDuty, siteStanding, type Perform, type Who } from '@bellround/operations';
import type { Workshop } from '../door/workshop.js';
import { ReadHistoriesProcessor } from './read-histories.processor.js';

// The night reads what the station heard; every duty here can be met without a visit. Times in UTC, the site is in Madrid.
const clock = { now: new Date('2027-03-02T01:15:00Z') };
const companyId = anId();
const [siteId, quietSiteId, systemId, cell] = [anId(), anId(), anId(), anId()];
const who: Who = { companyId, userId: null, name: 'Ann', role: 'owner', technicianId: null };
const house: Who = { ...who, name: 'the house', role: 'house' };
let test: TestDatabase;
let perform: Perform;
let account: { id: string; stationId: string; number: string };
let night: () => Promise<void>;
const inside = <T>(act: (tx: Parameters<Parameters<TestDatabase['database']['inCompany']>[1]>[0]) => Promise<T>) => test.database.inCompany({ companyId, actorId: null }, act);

const hear = (at: string, code: string, kind: string, qualifier = 'new') => inside((tx) => tx.db.stationEvent.create({ data: { companyId, id: anId(), stationId: account.stationId, accountNumber: account.number, accountId: account.id, receivedAt: new Date(at), code, kind, qualifier,
  path: kind === 'periodic' ? 'Cell' : null, raw: at, rawDigest: `${code} ${at}`, source: 'live', recordedAt: new Date(at) } }));
async function hearDaily(from: string, days: number): Promise<void> {
  for (let n = 0; n < days; n += 1) await hear(new Date(Date.parse(`${from}T00:30:00Z`) + n * 86_400_000).toISOString(), '602', 'periodic');
}
const checks = () => inside((tx) => tx.db.check.findMany({ where: { siteId, source: 'remote' }, orderBy: [{ performedAt: 'asc' }, { checkKind: 'asc' }] }));
const standing = async () => Object.fromEntries((await perform(siteStanding, who, { siteId })).duties.map((duty) => [duty.title, duty.standing]));

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
  const processor = new ReadHistoriesProcessor({ perform, houseOf: () => house } as unknown as Workshop);
  night = () => processor.handle({ companyId });
  await inside(async (tx) => {
    await aCompany(tx, companyId, { timeZone: 'Europe/Madrid' });
    await aSite(tx, companyId, { id: siteId, timeZone: 'Europe/Madrid', name: 'Ostrel' });
    await aSite(tx, companyId, { id: quietSiteId, timeZone: 'Europe/Madrid', name: 'Vexley' });
    account = await anAccount(tx, companyId, { siteId, number: '4711' }) as typeof account;
    await aSystem(tx, companyId, { id: systemId, siteId, accountId: account.id, installedOn: null });
    await aSystem(tx, companyId, { id: anId(), siteId: quietSiteId, installedOn: null });
    await aPath(tx, companyId, { id: cell, systemId, rank: 1, technology: 'cellular', label: 'Cell', testIntervalMin: 1440 });
  });
  const rule = (key: string, subject: string, checkKind: string) => ({ key, title: key, subject, applies: {}, cadence: { kind: 'once-per', period: 'month', minGapDays: 0 }, basis: 'none', checkKinds: [checkKind], meets: 'any', completeWithinDays: 14, credits: 'working', minEvidence: 'B',
    minutes: 0, skills: [], licences: [], by: 'technician', remotely: true, sounds: false, mandated: false, reminderStagesDays: [], source: { clause: 'example', provenance: 'company rule' } });
  const programmeId = anId();
  await perform(saveProgramme, who, { id: programmeId, basedOn: null, dryRun: false, body: { key: 'remote', title: 'Remote', regime: { kind: 'company', name: 'House', edition: '' }, systemKinds: ['intrusion'], caution: 'Example.', source: 'company rule', checkedOn: null,
    rules: [rule('path', 'path', 'periodic-signal'), rule('mains', 'system', 'mains-supply'), rule('log', 'system', 'event-log-review')] } });
  await perform.bulk(applyProgramme, who, { programmeId, from: '2027-02-10', systems: {}, dryRun: false });
});
afterAll(() => test.drop());

describe('[DUT-1] remote duties, read by night without a visit', () => {
  it('asks only for sites whose station has told something; nothing heard proves nothing', async () => {
    await night();
    expect(await checks()).toEqual([]);
    await hear('2026-12-20T00:30:00Z', '602', 'periodic');
    await hearDaily('2026-12-21', 72);
    expect(await perform(nextSitesToRead, house, { afterSiteId: null, limit: 10 })).toEqual({ siteIds: [siteId], next: null });
  });

  it('credits the path and the log with their evidence named; mains only once the report of their loss is proven', async () => {
    await night();
    const [log, path] = await checks();
    expect([path!.checkKind, path!.verdict, path!.visitId, path!.performedOn]).toEqual(['periodic-signal', 'pass', null, day('2027-03-02')]);
    expect(path!.notes).toBe("Station's history of account 4711, 2026-12-28 to 2027-03-02: 65 signals of Cell, longest silence 24 h of 25 h allowed.");
    expect(log!.notes).toBe("Station's history of account 4711, 2026-12-28 to 2027-03-02: 64 events since 2026-12-28, no alarm outside an on-test hold, every trouble taken back.");
    expect(await standing()).toEqual({ path: 'proven', log: 'proven', mains: 'cant-tell' });
    const { rows } = await perform(readHistory, house, { siteId, openOnly: true });
    expect(rows).toMatchObject([{ checkKind: 'mains-supply', verdict: 'cant-tell', checkId: null, words: expect.stringContaining('was not proven in the last 730 days') }]);
    const duty = (await perform(siteStanding, who, { siteId })).duties.find((one) => one.title === 'path')!;
    expect((await perform(showDuty, who, { dutyId: duty.id })).checks).toMatchObject([{ credited: true, source: 'remote' }]);
  });

  it('a night that finds nothing owed records nothing; mains lost fail once, and are credited when told back', async () => {
    const before = (await checks()).length;
    await night();
    expect(await checks()).toHaveLength(before);
    await hear('2027-03-02T00:40:00Z', '301', 'power');
    await night();
    const lost = (await checks()).at(-1)!;
    expect([lost.checkKind, lost.verdict]).toEqual(['mains-supply', 'fail']);
    expect(lost.notes).toContain('mains lost since 2027-03-02T00:40:00.000Z');
    clock.now = new Date('2027-03-03T01:15:00Z');
    await hearDaily('2027-03-03', 1);
    await night();
    expect(await checks()).toHaveLength(before + 1);
    await hear('2027-03-03T00:50:00Z', '301', 'power', 'restore');
    await night();
    expect((await checks()).at(-1)).toMatchObject({ checkKind: 'mains-supply', verdict: 'pass' });
    expect(await standing()).toMatchObject({ mains: 'proven' });
    expect((await inside((tx) => tx.db.deficiency.findMany({ where: { siteId } }))).map((one) => one.state)).toEqual(['closed']);
  });

  it('the next month: an alarm and a trouble that was not taken back are left for a person; what the station did not hear is not known', async () => {
    clock.now = new Date('2027-04-02T01:15:00Z');
    await hearDaily('2027-03-04', 30);
    await hear('2027-03-20T03:00:00Z', '130', 'intrusion');
    await hear('2027-03-21T03:00:00Z', '381', 'supervision');
    const rows = async () => Object.fromEntries((await perform(readHistory, house, { siteId, openOnly: true })).rows.map((row) => [row.checkKind, [row.verdict, row.words]]));
    expect((await rows())['event-log-review']).toEqual(['cant-tell', 'For a person to explain: radio sensor lost since 2027-03-21T03:00:00.000Z; alarm 130 at 2027-03-20T03:00:00.000Z.']);
    await hear('2027-03-22T03:00:00Z', '381', 'supervision', 'restore');
    expect((await rows())['event-log-review']).toMatchObject(['cant-tell', expect.stringMatching(/^For a person to explain: alarm 130/)]);
    // A silent night: nothing of that time is known, and nothing after the feed's end is good.
    clock.now = new Date('2027-05-02T01:15:00Z');
    await hearDaily('2027-04-03', 10);
    await hearDaily('2027-04-15', 18);
    expect((await rows())['event-log-review']![1]).toContain('did not hear this account from 2027-04-12');
    clock.now = new Date('2027-05-20T01:15:00Z');
    expect(Object.values(await rows()).map(([verdict]) => verdict)).not.toContain('pass');
  });
});
