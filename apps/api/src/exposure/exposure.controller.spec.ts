import { exposureRoutes, type Route } from '@bellround/contracts';
import { nodeTools } from '@bellround/database';
import { aBattery, aCompany, aDevice, anId, aPath, aSite, aSystem } from '@bellround/database/testing';
import { createPerform, fitCompany, scoreWholeCompany } from '@bellround/operations';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openTestApi, type TestApi } from '../testing/open-test-api.js';

const [A, B, siteId, systemId, batteryId] = [anId(), anId(), anId(), anId(), anId()];
let api: TestApi;
let owner: string;
let stranger: string;

beforeAll(async () => {
  api = await openTestApi('2027-05-10T09:00:00Z');
  for (const id of [A, B]) await api.test.database.inCompany({ companyId: id, actorId: null }, (tx) => aCompany(tx, id));
  await api.test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await aSite(tx, A, { id: siteId, name: 'Harbour store', occupancy: 'shop' });
    await aSystem(tx, A, { id: systemId, siteId });
    await aBattery(tx, A, { id: batteryId, systemId, madeOn: new Date('2019-05-01T00:00:00Z') });
    await aPath(tx, A, { systemId });
    await aDevice(tx, A, { systemId, kind: 'motion' });
  });
  [owner, stranger] = [await api.signInAs(A, 'owner'), await api.signInAs(B, 'owner')];
});
afterAll(() => api.close());

describe('exposure at the door', () => {
  it('before any fit the model is null and the list empty; a site is scored by the starting rules', async () => {
    expect((await api.ask(exposureRoutes.showRiskModel, owner, {})).status).toBe(200);
    expect((await api.ask(exposureRoutes.listExposure, owner, {})).body).toEqual({ rows: [], total: 0, causes: [] });
    const { body } = await api.ask(exposureRoutes.showExposure, owner, { siteId });
    expect(body.links.map((link) => link.link)).toContain('station');
    expect(body.components.find((one) => one.componentId === batteryId)).toMatchObject({ class: 'battery', recorded: true });
  });

  it('what is asked wrongly is refused with the field; another company sees nothing', async () => {
    expect((await api.ask(exposureRoutes.listExposure as Route, owner, { cause: 'moon' })).body).toMatchObject({ status: 400, errors: [{ path: 'cause' }] });
    expect((await api.ask(exposureRoutes.batteryForecast as Route, owner, { months: 99 })).status).toBe(400);
    expect((await api.ask(exposureRoutes.whatIfExposure, owner, { siteId, change: { kind: 'visit-on', on: '2027-05-01' } })).body).toMatchObject({ status: 400, errors: [{ path: 'change.on' }] });
    expect((await api.ask(exposureRoutes.whatIfExposure, owner, { siteId, change: { kind: 'replace-component', systemId, componentId: batteryId } })).body).toMatchObject({ sentence: expect.stringMatching(/^replacing Standby battery takes/) });
    for (const [route, input] of [[exposureRoutes.showExposure, { siteId }], [exposureRoutes.whatIfExposure, { siteId, change: { kind: 'prove-every', days: 90 } }], [exposureRoutes.showRiskModel, { id: anId() }]] as [Route, object][]) expect((await api.ask(route, stranger, input)).status).toBe(404);
  });

  it('after the nightly fit the list, versions and forecast answer, and the forecast goes out as CSV', async () => {
    const perform = createPerform(api.test.database, { ...nodeTools, now: () => api.clock.now, seed: () => 1 });
    const house = { companyId: A, userId: null, name: 'the house', role: 'house', technicianId: null } as const;
    await fitCompany(perform, house);
    await scoreWholeCompany(perform, house);
    expect((await api.ask(exposureRoutes.listExposure, owner, { search: 'harbour' })).body.rows).toMatchObject([{ siteId, siteName: 'Harbour store' }]);
    expect((await api.ask(exposureRoutes.listRiskVersions, owner, {})).body.rows).toMatchObject([{ inUse: true, accepted: true, cases: 0, why: expect.stringMatching(/too short/) }]);
    expect((await api.ask(exposureRoutes.batteryForecast, owner, { months: '3' })).body).toMatchObject({ inService: 1, ratings: [{ ratedMah: 7000 }] });
    const file = await api.ask(exposureRoutes.batteryForecastCsv as Route, owner, { months: 2 });
    expect(String(file.headers['content-type'])).toMatch(/text\/csv/);
    expect(String(file.headers['content-disposition'])).toMatch(/battery-forecast-2027-05-10\.csv/);
    expect(file.text.split('\r\n')[1]).toMatch(/^7,2027-05-10,/);
  });
});
