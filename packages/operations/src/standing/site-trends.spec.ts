import { aBattery, aCompany, aDevice, anId, aSite, aSystem, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { ReadingTrendRow } from '@bellround/contracts';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createPerform, type Perform, type Who } from '../perform.js';
import { siteTrends } from './site-trends.js';

const clock = { now: new Date('2027-03-01T09:00:00Z') };
let test: TestDatabase;
let perform: Perform;
const companyId = anId();
const who: Who = { companyId, userId: null, name: 'Ann', role: 'owner', technicianId: null };
const [siteId, emptyId, systemId, battery, sensor] = [anId(), anId(), anId(), anId(), anId()];

async function reads(subjectKind: string, subjectId: string, checkKind: string, on: string, values: Record<string, number>): Promise<void> {
  await test.database.inCompany({ companyId, actorId: null }, (tx) => tx.db.check.create({ data: { companyId, id: anId(), bodyDigest: on, siteId, systemId, subjectKind, subjectId, checkKind, performedOn: day(on), performedAt: new Date(`${on}T08:00:00Z`), recordedAt: new Date(`${on}T08:00:00Z`),
    verdict: 'pass', reason: 'read', evidence: 'A', source: 'field', readings: { create: Object.entries(values).map(([key, number]) => ({ key, number })) } } }));
}
const ask = (over: object = {}, site = siteId) => perform(siteTrends, who, { siteId: site, limit: 50, offset: 0, ...over });

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
  await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    await aCompany(tx, companyId);
    await aSite(tx, companyId, { id: siteId });
    await aSite(tx, companyId, { id: emptyId });
    // (0.35 A x 12 h + 1.2 A x 0.25 h) x 1.25 = 5.625 Ah of 6.5 Ah: 86.54 %
    await aSystem(tx, companyId, { id: systemId, siteId, name: 'Intrusion', standbyMa: 350, alarmMa: 1200, standbyHours: 12, alarmMin: 15 });
    await aBattery(tx, companyId, { id: battery, systemId, ratedMah: 6500, label: 'Standby battery' });
    await aDevice(tx, companyId, { id: sensor, systemId, kind: 'contact', link: 'wireless', label: 'Back door', room: 'Hall' });
  });
  for (const [on, capacityPct] of [['2024-03-01', 98], ['2025-03-01', 95], ['2026-03-01', 92], ['2027-03-01', 89]] as const) await reads('battery', battery, 'battery-on-load', on, { capacityPct });
  for (const [on, noiseDbm] of [['2025-09-01', -92], ['2026-03-02', -90], ['2026-09-01', -87], ['2027-03-01', -85]] as const) await reads('device', sensor, 'wireless-margin', on, { levelDbm: -70, noiseDbm });
});
afterAll(() => test.drop());

describe('[ACC-30] readings over visits', () => {
  it('each number with three dates, soonest to its limit first; today’s reading counts; shaped as its route says', async () => {
    const { rows, total, asOf } = await ask();
    expect([asOf, total, rows.map((row) => [row.subjectName, row.label])]).toEqual(['2027-03-01', 4, [['Standby battery', 'Measured capacity, share of rated'], ['Back door', 'Margin'], ['Back door', expect.any(String)], ['Back door', expect.any(String)]]]);
    for (const row of rows) expect(ReadingTrendRow.parse(row)).toEqual(row);
    expect(rows[0]!.values.at(-1)).toEqual({ on: '2027-03-01', value: 89 });
  });

  it('a battery moves to what this site asks of it, which is more than 80 %', async () => {
    const [row] = (await ask()).rows;
    // 89 % less 3 a year meets 86.54 % after 0.82 years
    expect(row).toMatchObject({ edges: [86.54], systemName: 'Intrusion', crosses: { isNear: true } });
    expect(row!.slopePerYear).toBeCloseTo(-3, 1);
    expect(row!.crosses!.on.slice(0, 7)).toBe('2027-12');
    expect(row!.crosses!.earliest <= row!.crosses!.on && row!.crosses!.on <= row!.crosses!.latest!).toBe(true);
    expect(row!.words).toMatch(/falls by 3(\.\d+)? % a year over 4 dates .* meets its limit, at least 86\.54 %, about 2027-12-/);
  });

  it('scenario 13: margins 22, 20, 17, 15 dB meet 10 dB about March 2028', async () => {
    const row = (await ask()).rows.find((one) => one.label === 'Margin')!;
    expect(row.values.map((one) => one.value)).toEqual([22, 20, 17, 15]);
    expect(row.crosses!.on >= '2028-02-01' && row.crosses!.on <= '2028-04-15').toBe(true);
  });

  it('is searched by part, room, system and reading, held to what moves, and paged', async () => {
    expect((await ask({ search: 'hall' })).total).toBe(3);
    expect((await ask({ search: 'capacity' })).total).toBe(1);
    expect((await ask({ search: 'nothing of the kind' })).rows).toEqual([]);
    expect((await ask({ moving: true })).rows.every((row) => row.crosses !== null)).toBe(true);
    const page = await ask({ limit: 1, offset: 1 });
    expect([page.total, page.rows.map((row) => row.label)]).toEqual([4, ['Margin']]);
  });

  it('a site without readings has none; another company’s does not exist', async () => {
    expect(await ask({}, emptyId)).toMatchObject({ rows: [], total: 0 });
    await expect(perform(siteTrends, { ...who, companyId: anId() }, { siteId, limit: 50, offset: 0 })).rejects.toThrow(/NotFound/);
  });
});
