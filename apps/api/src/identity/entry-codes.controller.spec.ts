import { routes } from '@bellround/contracts';
import { aCompany, anId, aSite, aTechnician, aUser, day } from '@bellround/database/testing';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openTestApi, type TestApi } from '../testing/open-test-api.js';
import { placeOf, sealFrom } from './sealing.js';

// Scenario 23: a visit of Olu's at Ostrel, Mon 1 Mar 2027 10:00 to 11:00 in Madrid (UTC+1); the code may be seen 09:30 to 12:00.
const [A, B, OLU, TESS, SITE, VISIT, KEY] = Array.from({ length: 7 }, anId) as [string, string, string, string, string, string, string];
const CODE = '4711#yard';
let api: TestApi;
let olu: string, tess: string, dispatcher: string, owner: string, auditor: string, stranger: string;
let oluUser: string;
const at = (time: string) => { api.clock.now = new Date(time); };
const reveal = (cookie: string, more: { id?: string; keyId?: string; visitId?: string } = {}) => api.ask(routes.revealEntryCode, cookie, { keyId: KEY, id: anId(), visitId: VISIT, ...more });

beforeAll(async () => {
  api = await openTestApi();
  await api.test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await aCompany(tx, A);
    await aTechnician(tx, A, { id: OLU, name: 'Olu' });
    await aTechnician(tx, A, { id: TESS, name: 'Tess' });
    await aSite(tx, A, { id: SITE });
    await tx.db.visit.create({ data: { companyId: A, id: VISIT, siteId: SITE, kind: 'programme', state: 'published', title: 'Yearly', serviceMin: 60, day: day('2027-03-01'), startMin: 600, technicianId: OLU, createdAt: day('2027-02-01') } });
  });
  await api.test.database.inCompany({ companyId: B, actorId: null }, async (tx) => { await aCompany(tx, B); await aUser(tx, B, { role: 'technician' }); });
  [olu, tess] = [await api.signInAs(A, 'technician', OLU), await api.signInAs(A, 'technician', TESS)];
  [dispatcher, owner, auditor] = [await api.signInAs(A, 'dispatcher'), await api.signInAs(A, 'owner'), await api.signInAs(A, 'auditor')];
  stranger = await api.signInAs(B, 'owner');
  oluUser = (await api.ask(routes.me, olu, {})).body.userId;
  at('2027-02-20T09:00:00Z');
  const set = { siteId: SITE, keyId: KEY, id: anId(), label: 'Yard door keypad', code: CODE };
  const first = await api.ask(routes.setEntryCode, dispatcher, set);
  expect(first.status).toBe(200);
  expect(first.text).not.toContain(CODE);
  expect((await api.ask(routes.setEntryCode, dispatcher, set)).body).toEqual(first.body);
  expect((await api.ask(routes.setEntryCode, dispatcher, { ...set, code: 'another' })).body.type).toMatch(/id-reused/);
});
afterAll(() => api.close());

describe('entry codes', () => {
  it.each([['09:29', '2027-03-01T08:29:59Z', 409], ['09:30', '2027-03-01T08:30:00Z', 200], ['10:59', '2027-03-01T09:59:00Z', 200], ['12:00', '2027-03-01T11:00:00Z', 200], ['12:01', '2027-03-01T11:00:01Z', 409]])('[IDN-1] his own technician asking at %s', async (_, time, status) => {
    at(time);
    const answer = await reveal(olu);
    expect(answer.status).toBe(status);
    if (status === 200) expect(answer.body).toMatchObject({ code: CODE, label: 'Yard door keypad', until: '2027-03-01T11:00:00.000Z' });
    else expect(answer.body.detail).toContain('from 2027-03-01 09:30 until 2027-03-01 12:00');
    if (status === 200) expect(answer.headers['cache-control']).toBe('no-store');
  });

  it('[IDN-2] nobody else sees it at any time: dispatcher, owner, another technician, an auditor, another company', async () => {
    at('2027-03-01T09:30:00Z');
    const [byDispatcher, byOwner, byTess, byAuditor, byStranger, never] = [await reveal(dispatcher), await reveal(owner), await reveal(tess), await reveal(auditor), await reveal(stranger), await reveal(stranger, { keyId: anId() })];
    expect([byDispatcher.status, byOwner.status, byTess.status, byAuditor.status, byStranger.status]).toEqual([403, 403, 409, 403, 404]);
    expect({ ...byStranger.body, instance: '' }).toEqual({ ...never.body, instance: '' });
    for (const answer of [byDispatcher, byOwner, byTess, byAuditor, byStranger]) expect(answer.text).not.toContain(CODE);
    expect((await api.ask(routes.entryCodes, auditor, { siteId: SITE })).status).toBe(403);
  });

  it('[IDN-2] each sight is recorded once, is told to those who plan, and the text is nowhere in the database', async () => {
    at('2027-03-01T09:30:00Z');
    const before = (await api.ask(routes.entryCodes, dispatcher, { siteId: SITE })).body;
    const id = anId();
    expect((await reveal(olu, { id })).status).toBe(200);
    expect((await reveal(olu, { id })).status).toBe(200);
    const after = (await api.ask(routes.entryCodes, dispatcher, { siteId: SITE })).body;
    expect(after.rows[0]!.seen).toBe(before.rows[0]!.seen + 1);
    expect(after.sights).toContainEqual(expect.objectContaining({ at: '2027-03-01T09:30:00.000Z', isOfPresentCode: true }));
    expect((await api.ask(routes.activity, owner, {})).text).toContain('saw the code for Yard door keypad');
    const tables = await api.test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
      const found: { name: string; n: number }[] = [];
      for (const { name } of await tx.sql<{ name: string }>(`select c.relname as name from pg_class c where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and has_table_privilege(c.oid, 'select')`)) {
        found.push({ name, n: (await tx.sql<{ n: number }>(`select count(*)::int as n from "${name}" t where t::text like '%4711%'`))[0]!.n });
      }
      return found;
    });
    expect(tables.filter((one) => one.n > 0)).toEqual([]);
    expect(tables.length).toBeGreaterThan(50);
  });

  it('[IDN-1] a visit closed early ends it 60 min after the close; one running over goes on', async () => {
    const set = (data: object) => api.test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.db.visit.update({ where: { companyId_id: { companyId: A, id: VISIT } }, data }));
    await set({ state: 'open', openedAt: new Date('2027-03-01T09:05:00Z') });
    at('2027-03-01T13:00:00Z');
    expect((await reveal(olu)).status).toBe(200);
    await set({ state: 'closed', closedAt: new Date('2027-03-01T09:40:00Z') });
    at('2027-03-01T10:40:00Z');
    expect((await reveal(olu)).status).toBe(200);
    at('2027-03-01T10:41:00Z');
    expect((await reveal(olu)).status).toBe(409);
    await set({ state: 'published', openedAt: null, closedAt: null });
  });

  it('[IDN-4] the leaver’s report lists the sites whose code he saw until it is changed, and a revoked session sees nothing', async () => {
    at('2027-03-01T11:00:00Z');
    const report = (await api.ask(routes.leaverReport, owner, { userId: oluUser })).body;
    expect(report.codes).toMatchObject([{ siteName: 'Ostrel primary school', label: 'Yard door keypad', firstSeenAt: '2027-03-01T08:30:00.000Z' }]);
    expect((await api.ask(routes.leaverReport, dispatcher, { userId: oluUser })).status).toBe(403);
    expect((await api.ask(routes.leaverReport, stranger, { userId: oluUser })).status).toBe(404);
    await api.ask(routes.disableUser, owner, { userId: oluUser });
    expect((await reveal(olu)).status).toBe(401);
    await api.ask(routes.setEntryCode, owner, { siteId: SITE, keyId: KEY, id: anId(), label: 'Yard door keypad', code: 'changed after he left' });
    expect((await api.ask(routes.leaverReport, owner, { userId: oluUser })).body.codes).toEqual([]);
    const codes = (await api.ask(routes.entryCodes, dispatcher, { siteId: SITE })).body;
    expect(codes.rows[0]!.seen).toBe(0);
    expect(codes.sights.length).toBeGreaterThan(0);
    expect(codes.sights.every((sight) => !sight.isOfPresentCode)).toBe(true);
  });

  it('an ended code is shown to nobody and listed no more', async () => {
    const ended = await api.ask(routes.endEntryCode, dispatcher, { siteId: SITE, keyId: KEY, id: anId() });
    expect(ended.body.rows).toEqual([]);
    at('2027-03-01T09:30:00Z');
    expect((await reveal(await api.signInAs(A, 'technician', OLU))).status).toBe(404);
  });

  it('a seal opens only what was sealed under its own key and for its own place', () => {
    const [one, other] = [sealFrom({ CODE_KEY: '11'.repeat(32) }), sealFrom({ LEDGER_KEY: '11'.repeat(32), CODE_KEY: '22'.repeat(32) })];
    const sealed = one.seal('2580', placeOf(A, KEY));
    expect(one.open(sealed, placeOf(A, KEY))).toBe('2580');
    expect(sealed).not.toBe(one.seal('2580', placeOf(A, KEY)));
    expect(() => one.open(sealed, placeOf(B, KEY))).toThrow(/sealed under another key/);
    expect(() => other.open(sealed, placeOf(A, KEY))).toThrow(/sealed under another key/);
    expect(() => sealFrom({})).toThrow(/CODE_KEY or LEDGER_KEY/);
  });
});
