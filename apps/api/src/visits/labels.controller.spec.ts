import { labelPath, readLabel, routes } from '@bellround/contracts';
import { aCompany, aDevice, anId, aSite, aSystem, aTechnician, day } from '@bellround/database/testing';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openTestApi, type TestApi } from '../testing/open-test-api.js';

const [A, B, TESS, SITE, SYSTEM, DEVICE, MINE, OTHERS, OPEN] = Array.from({ length: 9 }, anId) as [string, string, string, string, string, string, string, string, string];
let api: TestApi;

beforeAll(async () => {
  api = await openTestApi();
  await api.test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await aCompany(tx, A);
    await aTechnician(tx, A, { id: TESS });
    const jonas = await aTechnician(tx, A, { name: 'Jonas' });
    await aSite(tx, A, { id: SITE });
    await aSystem(tx, A, { id: SYSTEM, siteId: SITE });
    await aDevice(tx, A, { id: DEVICE, systemId: SYSTEM, label: 'Hall motion', room: 'Hall' });
    const visit = { companyId: A, siteId: SITE, kind: 'programme', title: 'Yearly', serviceMin: 60, createdAt: day('2027-02-01') };
    await tx.db.visit.createMany({ data: [{ ...visit, id: OTHERS, state: 'published', day: day('2027-03-01'), technicianId: jonas.id }, { ...visit, id: MINE, state: 'published', day: day('2027-03-02'), technicianId: TESS }, { ...visit, id: OPEN, state: 'open', day: day('2027-03-03'), technicianId: jonas.id }, { ...visit, id: anId(), state: 'closed', day: day('2027-02-02'), technicianId: TESS }] });
  });
  await api.test.database.inCompany({ companyId: B, actorId: null }, async (tx) => { await aCompany(tx, B); });
});
afterAll(() => api.close());

describe('labels', () => {
  it('a device’s label leads to its site and the visits there: what is going on, one’s own, then the others', async () => {
    const tess = await api.signInAs(A, 'technician', TESS);
    const { body } = await api.ask(routes.labelPlace, tess, { kind: 'device', labelId: DEVICE });
    expect(body).toMatchObject({ siteId: SITE, siteName: 'Ostrel primary school', device: { label: 'Hall motion', room: 'Hall', removed: false } });
    expect(body.visits.map((visit) => visit.id)).toEqual([OPEN, MINE, OTHERS]);
    expect((await api.ask(routes.labelPlace, tess, { kind: 'site', labelId: SITE })).body).toMatchObject({ siteId: SITE, device: null });
  });

  it('another company’s label answers as one that never existed', async () => {
    const stranger = await api.signInAs(B, 'owner');
    for (const [kind, id] of [['site', SITE], ['device', DEVICE]] as const) {
      const [theirs, never] = [await api.ask(routes.labelPlace, stranger, { kind, labelId: id }), await api.ask(routes.labelPlace, stranger, { kind, labelId: anId() })];
      expect(theirs.status).toBe(404);
      expect({ ...theirs.body, instance: '' }).toEqual({ ...never.body, instance: '' });
    }
  });

  it.each([
    [`https://bells.example${labelPath('device', DEVICE)}`, { kind: 'device', id: DEVICE }], [`http://10.0.0.7:4700${labelPath('site', SITE)}?from=label`, { kind: 'site', id: SITE }],
    ['https://bells.example/at/site/not-an-id', null], ['https://bells.example/sites/1', null], ['4006381333931', null],
  ])('reads %s', (text, expected) => { expect(readLabel(text)).toEqual(expected); });
});
