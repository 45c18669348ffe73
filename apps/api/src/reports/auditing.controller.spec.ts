import { inflateSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findRoutes, programmesRoutes, reportsRoutes, routes, standingRoutes } from '@bellround/contracts';
import { aCompany, aDevice, anAccount, anId, aSite, aSystem, aTechnician, day } from '@bellround/database/testing';
import { openTestApi, type TestApi } from '../testing/open-test-api.js';

const A = anId();
const B = anId();
const named = anId();
const unnamed = anId();
const foreign = anId();
const systemId = anId();
let api: TestApi;
let owner: string;
let dispatcher: string;
let strangerOwner: string;
let secret: string;
let linkId: string;

beforeAll(async () => {
  api = await openTestApi('2027-05-10T09:00:00Z');
  for (const id of [A, B]) await api.test.database.inCompany({ companyId: id, actorId: null }, (tx) => aCompany(tx, id));
  await api.test.database.inCompany({ companyId: B, actorId: null }, (tx) => aSite(tx, B, { id: foreign, name: 'Foreign depot' }));
  await api.test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await aSite(tx, A, { id: named, name: 'Ostrel bakery', accessNotes: 'key safe code 4711', notes: 'panel code 0815' });
    await aSite(tx, A, { id: unnamed, name: 'Tarn Hollow bookshop' });
    const account = await anAccount(tx, A, { siteId: named, number: '70_01' });
    await aSystem(tx, A, { id: systemId, siteId: named, accountId: account.id, kind: 'intrusion' });
    await aDevice(tx, A, { systemId });
    await aTechnician(tx, A, { name: 'Ostrid Vale' });
    await tx.db.siteKey.create({ data: { companyId: A, id: anId(), siteId: named, kind: 'code', label: 'door 2580' } });
    await tx.db.attempt.create({ data: { companyId: A, id: anId(), bodyDigest: 'x', siteId: named, how: 'at-door', outcome: 'no-answer', at: new Date('2027-04-01T10:00:00Z'), recordedAt: new Date('2027-04-01T10:00:00Z'), byId: anId(), words: 'neighbour says code 1379', preventableBy: 'customer' } });
    const checkId = anId();
    await tx.db.check.create({ data: { companyId: A, id: checkId, bodyDigest: 'x', siteId: named, systemId, subjectKind: 'system', subjectId: systemId, checkKind: 'mains-supply', performedOn: day('2027-01-20'), performedAt: new Date('2027-01-20T10:00:00Z'),
      recordedAt: new Date('2027-01-20T10:00:00Z'), verdict: 'fail', reason: 'Mains out.', evidence: 'B', source: 'field', limitSource: 'company rule', notes: 'typed 9753 at the panel', readings: { create: [{ key: 'volts', unit: 'V', number: 12.5 }] } } });
    await tx.db.deficiency.create({ data: { companyId: A, id: anId(), siteId: named, systemId, subjectKind: 'system', subjectId: systemId, checkKind: 'mains-supply', severity: 'critical', title: 'Mains supply fails', state: 'open', raisedAt: new Date('2027-01-20T10:00:00Z'), raisedByCheckId: checkId, dueOn: day('2027-01-27') } });
  });
  [owner, dispatcher, strangerOwner] = [await api.signInAs(A, 'owner'), await api.signInAs(A, 'dispatcher'), await api.signInAs(B, 'owner')];
  const programmeId = anId();
  await api.ask(programmesRoutes.adoptProgramme, owner, { id: programmeId, libraryKey: (await api.ask(programmesRoutes.programmeLibrary, owner, {})).body.rows.find((row) => row.systemKinds.includes('intrusion'))!.key });
  await api.ask(programmesRoutes.applyProgramme, owner, { programmeId, from: '2026-06-01' });
  const made = await api.ask(reportsRoutes.openAuditorLink, owner, { forWhom: 'Halden insurance office', siteIds: [named], lastDay: '2027-05-31' });
  expect(made.status).toBe(200);
  secret = made.body.url.split('/').at(-1)!;
  linkId = made.body.link.id;
});
afterAll(() => api.close());

/** All text of a paper: its deflated streams opened, the letters left as they are. */
const streamsOf = (paper: Buffer): number => [...paper.toString('latin1').matchAll(/stream\r?\n/g)].filter((match) => {
  try { return inflateSync(paper.subarray(match.index + match[0].length)).length > 0; } catch { return false; }
}).length;

describe('an auditor\'s address', () => {
  it('opens its named sites without a session, and shows no code, key, note or attempt', async () => {
    const list = await api.ask(reportsRoutes.auditedSites, null, { secret });
    expect(list.body).toMatchObject({ company: 'Quillmere Alarm Care', forWhom: 'Halden insurance office', rows: [{ siteId: named, name: 'Ostrel bakery', openDeficiencies: 1 }] });
    expect(list.body.rows).toHaveLength(1);
    const site = await api.ask(reportsRoutes.auditedSite, null, { secret, siteId: named });
    expect(site.body).toMatchObject({ site: { name: 'Ostrel bakery' }, checks: [{ verdict: 'fail', readings: [{ value: '12.5', unit: 'V' }], limitSource: 'company rule' }], deficiencies: [{ title: 'Mains supply fails', state: 'open' }] });
    expect(site.body.sources.length).toBeGreaterThan(0);
    for (const told of [list.text, site.text]) for (const code of ['4711', '0815', '2580', '1379', '9753', unnamed, 'Tarn Hollow']) expect(told).not.toContain(code);
    expect(site.headers['cache-control']).toContain('no-store');
  });

  it('any other site, address or company answers as what never was', async () => {
    const never = await api.ask(reportsRoutes.auditedSite, null, { secret, siteId: anId() });
    for (const siteId of [unnamed, foreign]) {
      const answer = await api.ask(reportsRoutes.auditedSite, null, { secret, siteId });
      expect([answer.status, answer.body.title, answer.body.detail]).toEqual([404, never.body.title, never.body.detail]);
      expect((await api.ask(reportsRoutes.auditedReport, null, { secret, siteId })).status).toBe(404);
    }
    const wrong = await api.ask(reportsRoutes.auditedSites, null, { secret: 'x'.repeat(32) });
    expect([wrong.status, wrong.body.detail]).toEqual([404, never.body.detail]);
  });

  it('is no session: no other route opens by it', async () => {
    for (const cookie of [`bellround_session=${secret}`, null]) {
      expect((await api.ask(standingRoutes.siteStanding, cookie, { siteId: named })).status).toBe(401);
      expect((await api.ask(routes.site, cookie, { siteId: named })).status).toBe(401);
    }
  });

  it('only an owner makes, lists and revokes; another company\'s link does not exist', async () => {
    expect((await api.ask(reportsRoutes.listAuditorLinks, dispatcher, {})).status).toBe(403);
    expect((await api.ask(reportsRoutes.openAuditorLink, dispatcher, { forWhom: 'Somebody', siteIds: [named], lastDay: '2027-05-31' })).status).toBe(403);
    expect((await api.ask(reportsRoutes.revokeAuditorLink, strangerOwner, { linkId })).status).toBe(404);
    expect((await api.ask(reportsRoutes.openAuditorLink, owner, { forWhom: 'Somebody', siteIds: [foreign], lastDay: '2027-05-31' })).status).toBe(404);
    for (const lastDay of ['2027-05-09', '2029-01-01']) {
      const refused = await api.ask(reportsRoutes.openAuditorLink, owner, { forWhom: 'Somebody', siteIds: [named], lastDay });
      expect([refused.status, refused.body.errors?.[0]?.path]).toEqual([400, 'lastDay']);
    }
    const listed = await api.ask(reportsRoutes.listAuditorLinks, owner, {});
    expect(listed.body.rows).toMatchObject([{ id: linkId, state: 'open', sites: [{ siteId: named }] }]);
    expect(listed.text).not.toContain(secret);
    expect((await api.ask(reportsRoutes.listAuditorLinks, strangerOwner, {})).body.rows).toEqual([]);
  });

  it('is read to the end of its last day at the company, and not a moment longer; revoked it is over at once', async () => {
    api.clock.now = new Date('2027-05-31T21:59:59.000Z');
    expect((await api.ask(reportsRoutes.auditedSites, null, { secret })).status).toBe(200);
    api.clock.now = new Date('2027-05-31T22:00:00.000Z');
    expect((await api.ask(reportsRoutes.auditedSites, null, { secret })).status).toBe(404);
    api.clock.now = new Date('2027-05-10T09:00:00Z');
    const revoked = await api.ask(reportsRoutes.revokeAuditorLink, owner, { linkId });
    expect(revoked.body).toMatchObject({ state: 'revoked', revokedAt: '2027-05-10T09:00:00.000Z' });
    expect((await api.ask(reportsRoutes.auditedSites, null, { secret })).status).toBe(404);
    expect((await api.ask(reportsRoutes.auditedSite, null, { secret, siteId: named })).status).toBe(404);
    expect((await api.ask(reportsRoutes.revokeAuditorLink, owner, { linkId })).body).toMatchObject({ revokedAt: '2027-05-10T09:00:00.000Z' });
  });

  it('the database itself lets nobody lengthen it, widen it or take it back', async () => {
    for (const change of [`update auditor_link set expires_at = expires_at + interval '1 year'`, 'update auditor_link set revoked_at = null', 'update auditor_link_site set site_id = site_id', 'delete from auditor_link', 'delete from auditor_link_site']) {
      await expect(api.test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.sql(change)), change).rejects.toThrow(/revoked|append-only|permission denied/);
    }
  });
});

describe('a site\'s paper', () => {
  it('is a PDF with a name, for those who may read; another company\'s site has none', async () => {
    const answer = await api.app.inject({ method: 'GET', url: `/api/sites/${named}/report.pdf?months=24`, headers: { cookie: dispatcher } });
    expect([answer.statusCode, answer.headers['content-type'], answer.headers['content-disposition']]).toEqual([200, 'application/pdf', 'attachment; filename="ostrel-bakery-2027-05-10.pdf"']);
    expect(answer.rawPayload.subarray(0, 5).toString()).toBe('%PDF-');
    expect(streamsOf(answer.rawPayload)).toBeGreaterThan(1);
    expect((await api.ask(reportsRoutes.siteReport, dispatcher, { siteId: foreign })).status).toBe(404);
    expect((await api.ask(reportsRoutes.siteReport, null, { siteId: named })).status).toBe(401);
  });
});

describe('finding by typing', () => {
  it('names every kind, best first, of one\'s own company only', async () => {
    const found = (await api.ask(findRoutes.find, dispatcher, { text: 'ost' })).body.rows;
    expect(new Set(found.map((row) => row.kind))).toEqual(new Set(['site', 'client', 'technician', 'deficiency']));
    expect(found[0]).toMatchObject({ kind: 'site', title: 'Ostrel bakery' });
    expect((await api.ask(findRoutes.find, dispatcher, { text: 'bakery' })).body.rows.map((row) => row.kind)).toEqual(['site', 'deficiency']);
    expect((await api.ask(findRoutes.find, strangerOwner, { text: 'bakery' })).body.rows).toEqual([]);
  });

  it('takes wildcards literally and asks for two characters', async () => {
    expect((await api.ask(findRoutes.find, dispatcher, { text: '70_0' })).body.rows).toMatchObject([{ kind: 'account', title: '70_01', siteId: named }]);
    expect((await api.ask(findRoutes.find, dispatcher, { text: '7%0' })).body.rows).toEqual([]);
    expect((await api.ask(findRoutes.find, dispatcher, { text: 'o' })).status).toBe(400);
  });
});

describe('long answers', () => {
  it('travel compressed to those who can read that, and plain to others', async () => {
    const ask = (encoding: string | null) => api.app.inject({ method: 'GET', url: '/api/standing', headers: { cookie: dispatcher, ...(encoding ? { 'accept-encoding': encoding } : {}) } });
    const [plain, squeezed] = [await ask(null), await ask('br, gzip')];
    expect([plain.headers['content-encoding'], squeezed.headers['content-encoding']]).toEqual([undefined, 'br']);
    expect(squeezed.rawPayload.length).toBeLessThan(plain.rawPayload.length / 3);
  });
});

describe('strips as they come into sight', () => {
  it('come for the asked sites in their order, with who allowed a pause; unknown ids have none', async () => {
    const never = anId();
    const strips = (await api.ask(standingRoutes.standingStrips, dispatcher, { siteIds: [unnamed, named, never, foreign].join(',') })).body;
    expect(strips.sites.map((site) => [site.siteId, site.lanes.length > 0])).toEqual([[unnamed, false], [named, true], [never, false], [foreign, false]]);
    expect((await api.ask(standingRoutes.standingStrips, dispatcher, { siteIds: 'x' })).status).toBe(400);
  });

  it('the list can be narrowed to broken sites and to a kind of system', async () => {
    const names = async (more: object) => (await api.ask(standingRoutes.listStanding, dispatcher, { strips: 'no', ...more })).body.rows.map((row) => row.name);
    expect(await names({ broken: 'yes' })).toEqual(['Ostrel bakery']);
    expect(await names({ systemKind: 'intrusion' })).toEqual(['Ostrel bakery']);
    expect(await names({ systemKind: 'fire' })).toEqual([]);
    expect((await names({})).length).toBe(2);
  });
});
