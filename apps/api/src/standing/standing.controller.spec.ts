import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { programmesRoutes, routes, standingRoutes, type Route } from '@bellround/contracts';
import { aCompany, aDevice, anAccount, anId, aSite, aSystem, day } from '@bellround/database/testing';
import { openTestApi, type TestApi } from '../testing/open-test-api.js';

const A = anId();
const B = anId();
const siteId = anId();
const systemId = anId();
const programmeId = anId();
const checkId = anId();
let api: TestApi;
let owner: string;
let auditor: string;
let technician: string;
let stranger: string;

beforeAll(async () => {
  api = await openTestApi('2027-05-10T09:00:00Z');
  for (const id of [A, B]) await api.test.database.inCompany({ companyId: id, actorId: null }, (tx) => aCompany(tx, id));
  await api.test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await aSite(tx, A, { id: siteId, name: '=Ostrel, "school"' });
    const account = await anAccount(tx, A, { siteId });
    await aSystem(tx, A, { id: systemId, siteId, accountId: account.id, kind: 'intrusion', grade: '2' });
    await aDevice(tx, A, { systemId });
    await tx.db.check.create({ data: { companyId: A, id: checkId, bodyDigest: 'x', siteId, systemId, subjectKind: 'system', subjectId: systemId, checkKind: 'visual-inspection', performedOn: day('2027-01-20'), performedAt: new Date('2027-01-20T10:00:00Z'),
      recordedAt: new Date('2027-01-20T10:00:00Z'), verdict: 'pass', reason: 'seen', evidence: 'B', source: 'field' } });
  });
  [owner, auditor, technician, stranger] = [await api.signInAs(A, 'owner'), await api.signInAs(A, 'auditor'), await api.signInAs(A, 'technician'), await api.signInAs(B, 'owner')];
});
afterAll(() => api.close());

describe('programmes at the door', () => {
  it('an owner adopts and lays one on; an auditor and a technician only look', async () => {
    const { body: library } = await api.ask(programmesRoutes.programmeLibrary, auditor, {});
    const key = library.rows.find((row) => row.systemKinds.includes('intrusion') && row.rules.some((rule) => rule.subject === 'system'))!.key;
    for (const cookie of [auditor, technician]) expect((await api.ask(programmesRoutes.adoptProgramme, cookie, { id: programmeId, libraryKey: key })).status).toBe(403);
    expect((await api.ask(programmesRoutes.adoptProgramme, owner, { id: programmeId, libraryKey: key })).body).toMatchObject({ id: programmeId, version: 1 });
    expect((await api.ask(programmesRoutes.applyProgramme, owner, { programmeId, from: '2027-02-30' })).status).toBe(400);
    const counted = await api.ask(programmesRoutes.applyProgramme, owner, { programmeId, from: '2026-06-01', dryRun: true });
    expect(counted.body).toMatchObject({ dryRun: true, systems: 1 });
    const laid = await api.ask(programmesRoutes.applyProgramme, owner, { programmeId, from: '2026-06-01' });
    expect(laid.body).toMatchObject({ dryRun: false, systems: 1, standingReady: true });
    expect(laid.body.duties.added).toBe(counted.body.duties.added);
    expect((await api.ask(programmesRoutes.listProgrammes, auditor, {})).body.rows).toMatchObject([{ id: programmeId, systems: 1 }]);
    expect((await api.ask(programmesRoutes.programmeSystems, auditor, { programmeId })).body.total).toBe(1);
  });

  it('names each wrong part of an edited programme', async () => {
    const { body: shown } = await api.ask(programmesRoutes.showProgramme, owner, { programmeId });
    const body = structuredClone(shown.body) as { rules: { minutes: unknown }[] };
    body.rules[0]!.minutes = null;
    const refused = await api.ask(programmesRoutes.saveProgramme, owner, { id: anId(), body, basedOn: programmeId, dryRun: true });
    expect(refused.status).toBe(400);
    expect(refused.body.errors?.map((fault) => fault.path)).toEqual(['body.rules.0.minutes']);
  });
});

describe('standing at the door', () => {
  it('answers lists, the site and the duty to everybody who may read', async () => {
    const { body: list } = await api.ask(standingRoutes.listStanding, auditor, {});
    expect(list.counts.sites).toBe(1);
    expect(list.rows[0]!.lanes.length).toBeGreaterThan(0);
    const { body: site } = await api.ask(standingRoutes.siteStanding, technician, { siteId });
    expect(site.duties.length).toBe(list.rows[0]!.duties);
    const dutyId = site.duties[0]!.id;
    expect((await api.ask(programmesRoutes.showDuty, auditor, { dutyId })).body.caution).toMatch(/prevail/);
    expect((await api.ask(standingRoutes.windowBehind, auditor, { dutyId, n: 0 })).status).toBe(200);
    expect((await api.ask(standingRoutes.checkBehind, auditor, { checkId })).body).toMatchObject({ verdict: 'pass', siteName: '=Ostrel, "school"' });
    expect((await api.ask(standingRoutes.onTime, auditor, { months: 6 })).body.months).toHaveLength(6);
  });

  it('exports CSV under a name with its day, with formulas defused', async () => {
    for (const route of [standingRoutes.standingCsv, standingRoutes.overdueCsv]) {
      const file = await api.ask(route as Route, auditor, {});
      expect(String(file.headers['content-type'])).toMatch(/text\/csv/);
      expect(String(file.headers['content-disposition'])).toMatch(/2027-05-10\.csv/);
      expect(file.text).toContain(`"'=Ostrel, ""school"""`);
    }
    expect((await api.ask(standingRoutes.onTimeCsv, auditor, { months: 3 })).text.split('\r\n')[0]).toMatch(/^month,/);
  });

  it('refuses what is no day, and answers another company as if nothing were there', async () => {
    const wrong = await api.ask(standingRoutes.listStanding, owner, { asOf: '2027-02-30' });
    expect(wrong.status).toBe(400);
    expect(wrong.body.errors?.[0]).toMatchObject({ path: 'asOf' });
    const { body: site } = await api.ask(standingRoutes.siteStanding, owner, { siteId });
    const dutyId = site.duties[0]!.id;
    const asked: [Route, object][] = [[routes.siteStanding, { siteId }], [routes.checkBehind, { checkId }], [routes.windowBehind, { dutyId, n: 0 }], [routes.showDuty, { dutyId }], [routes.showProgramme, { programmeId }], [routes.programmeSystems, { programmeId }]];
    for (const [route, input] of asked) {
      const foreign = await api.ask(route, stranger, input);
      const never = await api.ask(route, stranger, Object.fromEntries(Object.entries(input).map(([key, value]) => [key, typeof value === 'string' ? anId() : value])));
      expect([route.name, foreign.status, foreign.body.detail]).toEqual([route.name, 404, never.body.detail]);
    }
    expect((await api.ask(standingRoutes.listStanding, stranger, {})).body.counts.sites).toBe(0);
    expect((await api.ask(standingRoutes.standingCsv, stranger, {})).text).not.toContain('Ostrel');
    expect((await api.ask(standingRoutes.listStanding, null, {})).status).toBe(401);
  });
});
