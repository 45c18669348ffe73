import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { dutiesRoutes, programmesRoutes } from '@bellround/contracts';
import { aCompany, aDevice, anId, aSite, aSystem } from '@bellround/database/testing';
import { openTestApi, type TestApi } from '../testing/open-test-api.js';

const A = anId();
const B = anId();
const siteId = anId();
let api: TestApi;
let owner: string;
let technician: string;
let stranger: string;

beforeAll(async () => {
  api = await openTestApi('2027-03-01T09:00:00Z');
  for (const id of [A, B]) await api.test.database.inCompany({ companyId: id, actorId: null }, (tx) => aCompany(tx, id));
  await api.test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await aSite(tx, A, { id: siteId, name: 'Ostrel school', occupancy: 'school' });
    const systemId = anId();
    await aSystem(tx, A, { id: systemId, siteId, kind: 'intrusion' });
    await aDevice(tx, A, { systemId });
  });
  [owner, technician, stranger] = [await api.signInAs(A, 'owner'), await api.signInAs(A, 'technician'), await api.signInAs(B, 'owner')];
  const { body: library } = await api.ask(programmesRoutes.programmeLibrary, owner, {});
  const libraryKey = library.rows.find((row) => row.key === 'intrusion-graded-audible')!.key;
  const programmeId = anId();
  await api.ask(programmesRoutes.adoptProgramme, owner, { id: programmeId, libraryKey });
  expect((await api.ask(programmesRoutes.applyProgramme, owner, { programmeId, from: '2027-03-01' })).body.systems).toBe(1);
});
afterAll(() => api.close());

describe('duties at the door', () => {
  it('everybody who may read sees what is done together; a stranger sees nothing; bad numbers are named', async () => {
    const { status, body } = await api.ask(dutiesRoutes.doTogether, technician, { siteId });
    expect(status).toBe(200);
    expect(body.windows.length).toBeGreaterThan(0);
    expect(body.windows.every((window) => window.overdue)).toBe(true);
    expect(body.visits.flatMap((visit) => visit.names).sort()).toEqual(body.windows.map((window) => window.name).sort());
    expect(body.caution).toContain('Local codes');
    expect((await api.ask(dutiesRoutes.doTogether, stranger, { siteId })).status).toBe(404);
    expect((await api.ask(dutiesRoutes.doTogether, owner, { siteId, aheadDays: -1 })).status).toBe(400);
    expect((await api.ask(dutiesRoutes.yearsAhead, owner, { siteId })).body.sites).toHaveLength(1);
    expect((await api.ask(dutiesRoutes.yearsAhead, stranger, { siteId })).status).toBe(404);
  });
  it('a catch-up holds the site that can\'t be told; a first week that is no Monday is refused', async () => {
    expect((await api.ask(dutiesRoutes.catchUp, owner, { weeklyMinutes: 600 })).body).toMatchObject({ sites: 1, firstWeek: '2027-03-08', endsOn: '2027-03-14' });
    expect((await api.ask(dutiesRoutes.catchUp, owner, { weeklyMinutes: 600, firstWeek: '2027-03-10' })).status).toBe(400);
    expect((await api.ask(dutiesRoutes.catchUp, stranger, { weeklyMinutes: 600 })).body.sites).toBe(0);
  });
  it('shared days and regions: a technician may not change them', async () => {
    const days = { id: anId(), kind: 'noise', fromDay: '2027-03-22', toDay: '2027-04-02', reason: 'exams', authority: 'council', occupancy: 'school' } as const;
    expect((await api.ask(dutiesRoutes.addClosedDays, technician, days)).status).toBe(403);
    expect((await api.ask(dutiesRoutes.chooseHolidays, technician, { region: 'ES' })).status).toBe(403);
    expect((await api.ask(dutiesRoutes.chooseSiteHolidays, technician, { siteId, region: 'ES' })).status).toBe(403);
    expect((await api.ask(dutiesRoutes.addClosedDays, owner, days)).body.rows).toHaveLength(1);
    expect((await api.ask(dutiesRoutes.closedDays, stranger, {})).body.rows).toEqual([]);
    expect((await api.ask(dutiesRoutes.addClosedDays, owner, { ...days, id: anId(), toDay: '2027-03-01' })).status).toBe(400);
    expect((await api.ask(dutiesRoutes.chooseHolidays, owner, { region: 'ES-MD' })).body.regionWords).toBe('Spain, Comunidad de Madrid');
    const refused = await api.ask(dutiesRoutes.chooseSiteHolidays, owner, { siteId, region: 'Spain' });
    expect([refused.status, refused.body.errors?.[0]?.path]).toEqual([400, 'region']);
    expect((await api.ask(dutiesRoutes.holidayRegions, technician, {})).body.rows.length).toBeGreaterThan(300);
    const z = await api.ask(dutiesRoutes.removeClosedDays, owner, { closedDaysId: days.id });
    expect(z.body.rows).toEqual([]);
  });
});
