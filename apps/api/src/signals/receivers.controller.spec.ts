import { routes, type ReceiverSetting } from '@bellround/contracts';
import { aCompany, anAccount, anId, aSite } from '@bellround/database/testing';
import { createPerform, loadReceivers, noteReceived } from '@bellround/operations';
import { nodeTools } from '@bellround/database';
import { openKey } from '@bellround/signals';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openTestApi, type TestApi } from '../testing/open-test-api.js';

const [A, B, SITE, RECEIVER] = Array.from({ length: 4 }, anId) as [string, string, string, string];
const [FIRST, SECOND] = ['00112233445566778899AABBCCDDEEFF', 'FFEEDDCCBBAA99887766554433221100FFEEDDCCBBAA99887766554433221100'];
const setting = (over: Partial<ReceiverSetting> = {}): ReceiverSetting => ({ name: 'Test signals', host: '127.0.0.1', port: 12_009, udp: true, lines: [{ line: '0', path: 'Ethernet' }], requireKey: false, perMinute: 120, mostConnections: 4000, isOn: true, ...over });
let api: TestApi;
let dispatcher: string, technician: string, auditor: string, stranger: string;
const house = (companyId: string) => ({ companyId, userId: null, name: 'listener', role: 'house' as const, technicianId: null });
const toOpen = (companyId = A) => createPerform(api.test.database, { ...nodeTools, now: () => api.clock.now })(loadReceivers, house(companyId), {});
const keep = (over: Partial<ReceiverSetting> = {}, id = RECEIVER) => api.ask(routes.keepReceiver, dispatcher, { id, setting: setting(over) });
const acts = async () => (await api.ask(routes.activity, dispatcher, { limit: 100 })).body.rows.filter((row) => /Receiver|Key|key/.test(row.summary)).map((row) => row.summary);

beforeAll(async () => {
  api = await openTestApi();
  await api.test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await aCompany(tx, A);
    await aSite(tx, A, { id: SITE, name: 'Ostrel bakery' });
    await anAccount(tx, A, { siteId: SITE, number: '7099' });
  });
  await api.test.database.inCompany({ companyId: B, actorId: null }, (tx) => aCompany(tx, B));
  [dispatcher, technician, auditor, stranger] = [await api.signInAs(A, 'dispatcher'), await api.signInAs(A, 'technician'), await api.signInAs(A, 'auditor'), await api.signInAs(B, 'owner')];
});
afterAll(() => api.close());

describe('[SIG-OP-9] receivers', () => {
  it('are added and changed by those who plan; the same again changes nothing; a port is taken once', async () => {
    expect((await keep()).body.rows).toEqual([expect.objectContaining({ id: RECEIVER, setting: setting(), state: null, keys: [], retiredAt: null })]);
    await keep();
    await keep({ perMinute: 60 });
    await keep({ perMinute: 60, isOn: false });
    expect(await toOpen()).toEqual([]);
    await keep();
    expect((await acts()).toReversed()).toEqual(['added', 'changed', 'switched off', 'switched on'].map((said) => `Receiver Test signals on port 12009 ${said}`));
    expect((await toOpen()).map((one) => one.setting)).toEqual([setting()]);
    const other = await keep({ name: 'Second' }, anId());
    expect([other.status, other.body.errors]).toEqual([409, [{ path: 'setting.port', message: 'is taken by Test signals' }]]);
    expect((await keep({ port: 80 })).body.errors![0]).toMatchObject({ path: 'setting.port' });
    expect((await keep({ lines: [{ line: 'a', path: 'x' }, { line: 'A', path: 'y' }] })).status).toBe(400);
  });

  it('nobody else reads or changes them, and another company sees none', async () => {
    for (const cookie of [technician, auditor]) expect((await api.ask(routes.listReceivers, cookie, {})).status).toBe(403);
    expect((await api.ask(routes.listReceivers, stranger, {})).body.rows).toEqual([]);
    const [theirs, never] = [await api.ask(routes.retireReceiver, stranger, { receiverId: RECEIVER }), await api.ask(routes.retireReceiver, stranger, { receiverId: anId() })];
    expect([theirs.status, { ...theirs.body, instance: '' }]).toEqual([404, { ...never.body, instance: '' }]);
    expect(await toOpen(B)).toEqual([]);
  });

  it('a key is sealed for its row, answered by nothing, opened by the listener only; the same set again is the same', async () => {
    const input = { receiverId: RECEIVER, id: anId(), account: '7099', key: FIRST };
    const set = await api.ask(routes.setReceiverKey, dispatcher, input);
    expect(set.status).toBe(200);
    expect(set.body.rows[0]!.keys).toEqual([expect.objectContaining({ account: '7099', bits: 128, state: 'in-use', siteId: SITE, siteName: 'Ostrel bakery', good: 0 })]);
    expect((await api.ask(routes.setReceiverKey, dispatcher, input)).body).toEqual(set.body);
    expect((await api.ask(routes.setReceiverKey, dispatcher, { ...input, key: SECOND })).body.type).toMatch(/id-reused/);
    expect((await api.ask(routes.setReceiverKey, dispatcher, { ...input, id: anId() })).body.type).toMatch(/wrong-state/);
    const [opened] = (await toOpen())[0]!.keys;
    expect(openKey('cd'.repeat(32), `${A}/${opened!.id}`, opened!.sealed)).toBe(FIRST);
    expect(openKey('cd'.repeat(32), `${B}/${opened!.id}`, opened!.sealed)).toBeNull();
    const told = [set.text, (await api.ask(routes.listReceivers, dispatcher, {})).text, JSON.stringify(await api.ask(routes.activity, dispatcher, { limit: 100 }))].join(' ').toUpperCase();
    expect(told).not.toContain(FIRST);
    const rows = await api.test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.sql<{ line: string }>('select row_to_json(k)::text as line from receiver_key k union all select row_to_json(a)::text from activity a'));
    expect(rows.map((row) => row.line).join(' ').toUpperCase()).not.toContain(FIRST);
  });

  it('a new key follows the old, which opens on for as long as was said and no longer', async () => {
    const before = (await toOpen())[0]!.keys[0]!.id;
    const next = anId();
    await api.ask(routes.setReceiverKey, dispatcher, { receiverId: RECEIVER, id: next, account: '7099', key: SECOND, graceH: 24 });
    expect((await toOpen())[0]!.keys.map((key) => [key.id, key.endsAt])).toEqual([[next, null], [before, '2027-03-02T09:00:00.000Z']]);
    expect((await api.ask(routes.listReceivers, dispatcher, {})).body.rows[0]!.keys.map((key) => key.state)).toEqual(['in-use', 'ending']);
    api.clock.now = new Date('2027-03-02T09:00:00Z');
    expect((await toOpen())[0]!.keys.map((key) => key.id)).toEqual([next]);
    const ended = await api.ask(routes.endReceiverKey, dispatcher, { keyId: next });
    expect(ended.body.rows[0]!.keys.map((key) => key.state)).toEqual(['ended', 'ended']);
    expect((await api.ask(routes.endReceiverKey, dispatcher, { keyId: next })).body).toEqual(ended.body);
    expect((await api.ask(routes.endReceiverKey, stranger, { keyId: next })).status).toBe(404);
    expect((await toOpen())[0]!.keys).toEqual([]);
  });

  it('what the listener says is added up, dated, and not believed for long', async () => {
    const keyId = anId();
    await api.ask(routes.setReceiverKey, dispatcher, { receiverId: RECEIVER, id: keyId, account: '*', key: FIRST });
    const perform = createPerform(api.test.database, { ...nodeTools, now: () => api.clock.now });
    const said = { receiverId: RECEIVER, listeningPort: 12_010, trouble: 'port 12009 is taken; listening on 12010', connections: 3, more: { good: 5, again: 1, refused: 2, damaged: 0, heldBack: 0 }, lastGoodAt: '2027-03-02T08:59:59.000Z', lastRefusedAt: '2027-03-02T08:00:00.000Z', lastRefusal: 'The key does not open this frame.', keys: [{ keyId, good: 5, refused: 2, lastGoodAt: '2027-03-02T08:59:59.000Z' }] };
    expect(await perform(noteReceived, house(A), said)).toEqual({ known: true });
    await perform(noteReceived, house(A), { ...said, lastGoodAt: null, lastRefusedAt: null, lastRefusal: null, keys: [{ keyId, good: 1, refused: 0, lastGoodAt: null }] });
    const row = () => api.ask(routes.listReceivers, dispatcher, {}).then((answer) => answer.body.rows[0]!);
    expect((await row()).state).toEqual({ isHeard: true, seenAt: '2027-03-02T09:00:00.000Z', listeningPort: 12_010, trouble: said.trouble, connections: 3, good: 10, again: 2, refused: 4, damaged: 0, heldBack: 0, lastGoodAt: said.lastGoodAt, lastRefusedAt: said.lastRefusedAt, lastRefusal: said.lastRefusal });
    expect((await row()).keys.find((key) => key.id === keyId)).toMatchObject({ account: '*', good: 6, refused: 2, lastGoodAt: said.lastGoodAt, siteName: null });
    api.clock.now = new Date('2027-03-02T09:01:31Z');
    expect((await row()).state).toMatchObject({ isHeard: false });
    expect(await perform(noteReceived, house(B), said)).toEqual({ known: false });
  });

  it('a retired one hears nothing, its keys end with it, and it takes neither change nor key', async () => {
    const { body } = await api.ask(routes.retireReceiver, dispatcher, { receiverId: RECEIVER });
    expect(body.rows[0]).toMatchObject({ retiredAt: '2027-03-02T09:01:31.000Z', setting: { isOn: false } });
    expect(body.rows[0]!.keys.every((key) => key.state === 'ended')).toBe(true);
    expect(await toOpen()).toEqual([]);
    expect((await keep()).body.type).toMatch(/wrong-state/);
    expect((await api.ask(routes.setReceiverKey, dispatcher, { receiverId: RECEIVER, id: anId(), account: '7100', key: FIRST })).body.type).toMatch(/wrong-state/);
    expect((await keep({}, anId())).status).toBe(200);
  });
});
