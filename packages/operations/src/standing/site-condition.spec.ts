import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aBattery, aCompany, aDevice, anAccount, anId, aPath, aSite, aSystem, cloneDatabase, day, type TestDatabase } from '@bellround/database/testing';
import { createPerform, type Perform, type Who } from '../perform.js';
import { siteCondition } from './site-condition.js';

const NOW = new Date('2027-03-01T09:00:00Z');
let test: TestDatabase;
let perform: Perform;
const companyId = anId();
const who: Who = { companyId, userId: null, name: 'Ann', role: 'owner', technicianId: null };
const siteId = anId();
const systemId = anId();
const [battery, unknown, contact, first, second] = [anId(), anId(), anId(), anId(), anId()];

async function reads(subjectKind: string, subjectId: string, checkKind: string, on: string, values: Record<string, number>, at = siteId): Promise<void> {
  await test.database.inCompany({ companyId, actorId: null }, (tx) => tx.db.check.create({ data: { companyId, id: anId(), bodyDigest: on, siteId: at, systemId, subjectKind, subjectId, checkKind, performedOn: day(on), performedAt: new Date(`${on}T10:00:00Z`), recordedAt: new Date(`${on}T10:00:00Z`),
    verdict: 'pass', reason: 'read', evidence: 'A', source: 'field', readings: { create: Object.entries(values).map(([key, number]) => ({ key, number })) } } }));
}

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, { now: () => NOW, newId: anId, sha256: (text) => createHash('sha256').update(text).digest('hex'), seed: () => 1 });
  await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    await aCompany(tx, companyId);
    await aSite(tx, companyId, { id: siteId });
    const account = await anAccount(tx, companyId, { siteId });
    // 0.35 A x 12 h + 1.2 A x 0.25 h = 4.5 Ah; with the company's allowance of 1.25 it is 5.625 Ah
    await aSystem(tx, companyId, { id: systemId, siteId, accountId: account.id, standbyMa: 350, alarmMa: 1200, standbyHours: 12, alarmMin: 15 });
    await aBattery(tx, companyId, { id: battery, systemId, ratedMah: 7000 });
    await aBattery(tx, companyId, { id: unknown, systemId, label: 'Second battery', ratedMah: null, madeOn: null, madeOnState: 'unreadable' });
    await aDevice(tx, companyId, { id: contact, systemId, kind: 'contact', link: 'wireless', label: 'Back door' });
    await aPath(tx, companyId, { id: first, systemId, rank: 1, label: 'Ethernet', testIntervalMin: 1440, technology: 'ethernet' });
    await aPath(tx, companyId, { id: second, systemId, rank: 2, label: 'Cellular', testIntervalMin: 1440, technology: 'cellular' });
    await tx.db.stationEvent.createMany({ data: Array.from({ length: 40 }, (_, i) => i).filter((i) => i !== 5).map((i) => ({ companyId, id: anId(), accountNumber: account.number, accountId: account.id, stationId: account.stationId,
      receivedAt: new Date(Date.parse('2027-03-01T03:00:00Z') - i * 86_400_000), code: '602', path: 'ethernet', raw: `${i}`, rawDigest: `${i}`, source: 'csv', recordedAt: NOW })) });
  });
  await reads('battery', battery, 'battery-on-load', '2025-03-01', { capacityPct: 92 });
  await reads('battery', battery, 'battery-on-load', '2026-03-01', { capacityPct: 84 });
  for (const [on, levelDbm, noiseDbm] of [['2024-03-01', -70, -100], ['2025-03-01', -70, -97], ['2026-03-01', -70, -94]] as const) await reads('device', contact, 'wireless-margin', on, { levelDbm, noiseDbm });
});
afterAll(() => test.drop());

describe('what a site has in hand', () => {
  it('a battery stands against its need, measured, with the dates between which it meets its limit', async () => {
    const { batteries } = await perform(siteCondition, who, { siteId });
    const column = batteries.find((one) => one.id === battery)!;
    expect(column).toMatchObject({ ratedAh: 7, needAh: 5.63, haveAh: 5.88, haveBy: 'measured', haveOn: '2026-03-01' });
    // 84 % falling 8 points a year meets 5.625 of 7 Ah, 80.4 %, after 0.45 years
    expect(column.crossesEarliest).toBe('2026-08-14');
    expect(column.words).toContain('0.25 Ah more than the site needs');
  });

  it('what is not known of a battery is said so and is no number', async () => {
    const column = (await perform(siteCondition, who, { siteId })).batteries.find((one) => one.id === unknown)!;
    expect(column).toMatchObject({ ratedAh: null, haveAh: null, haveBy: null, ghostAh: null });
    expect(column.words).toContain('can’t be told');
  });

  it('a shore tells that the noise rose and the sensor did not move, and when it would sink', async () => {
    const [sensor] = (await perform(siteCondition, who, { siteId })).shore;
    expect(sensor).toMatchObject({ id: contact, levelDbm: -70, noiseDbm: -94, marginDb: 24, leastDb: 10 });
    expect(sensor!.words).toContain('the sensor did not move and the noise rose by 6 dB');
    // 24 dB falling 3 dB a year meets 10 dB after 4.67 years
    expect(sensor!.sinksOn!.slice(0, 7)).toBe('2030-10');
  });

  it('a comb misses exactly the night that did not come; a path of which the history says nothing can’t be told', async () => {
    const { combs } = await perform(siteCondition, who, { siteId });
    expect(combs.find((one) => one.id === first)!.comb).toMatchObject({ missing: 1, state: 'heard', isLearned: false });
    expect(combs.find((one) => one.id === first)!.comb!.teeth.filter((tooth) => tooth.heardAt === null).map((tooth) => tooth.expectedAt)).toEqual(['2027-02-24T03:00:00.000Z']);
    expect(combs.find((one) => one.id === second)!.comb!.state).toBe('unknown');
  });

  it('five sensors of one receiver falling 13 to 15 dB together are one finding on the receiver, named with all five', async () => {
    expect((await perform(siteCondition, who, { siteId })).receiverFindings).toEqual([]);
    const sensors = [13, 14, 15, 13.5, 14.2].map((dropDb, n) => ({ id: anId(), dropDb, n }));
    await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
      await aDevice(tx, companyId, { systemId, kind: 'radio-module', link: 'wired', label: 'Receiver, stairs' });
      for (const { id, n } of sensors) await aDevice(tx, companyId, { id, systemId, kind: 'motion', link: 'wireless', label: `Sensor ${n + 1}` });
    });
    for (const { id, dropDb } of sensors) {
      await reads('device', id, 'wireless-margin', '2026-09-01', { levelDbm: -70, noiseDbm: -100 });
      await reads('device', id, 'wireless-margin', '2027-02-20', { levelDbm: -70, noiseDbm: -100 + dropDb });
    }
    const { receiverFindings } = await perform(siteCondition, who, { siteId });
    expect(receiverFindings).toEqual([{ receiver: 'Receiver, stairs', deviceIds: expect.arrayContaining(sensors.map((one) => one.id)), fromOn: '2026-09-01', toOn: '2027-02-20', dropDb: 14, words: expect.stringContaining('5 devices on receiver Receiver, stairs fell by about 14 dB together') }]);
    expect(receiverFindings[0]!.deviceIds).toHaveLength(5);
  });

  it('[ACC-32] two receivers of one name are two: four sensors, two on each, fell and stay four', async () => {
    const elsewhere = anId();
    const sensors = [anId(), anId(), anId(), anId()];
    await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
      await aSite(tx, companyId, { id: elsewhere });
      for (const part of [sensors.slice(0, 2), sensors.slice(2)]) {
        const system = await aSystem(tx, companyId, { siteId: elsewhere });
        await aDevice(tx, companyId, { systemId: system.id, kind: 'radio-module', link: 'wired', label: 'Receiver, stairs' });
        for (const id of part) await aDevice(tx, companyId, { id, systemId: system.id, kind: 'motion', link: 'wireless', label: 'Sensor' });
      }
    });
    for (const id of sensors) for (const [on, noiseDbm] of [['2026-09-01', -100], ['2027-02-20', -86]] as const) await reads('device', id, 'wireless-margin', on, { levelDbm: -70, noiseDbm }, elsewhere);
    const found = await perform(siteCondition, who, { siteId: elsewhere });
    expect(found.shore).toHaveLength(4);
    expect(found.receiverFindings).toEqual([]);
  });

  it('another company\'s site does not exist', async () => {
    await expect(perform(siteCondition, { ...who, companyId: anId() }, { siteId })).rejects.toThrow(/NotFound/);
  });
});
