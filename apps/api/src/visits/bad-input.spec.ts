import { IMPORT_KIND_NAMES, importKind, LIST_KINDS, routes, type Route } from '@bellround/contracts';
import { aBattery, aCompany, aDevice, anAccount, anId, aPath, aSite, aSystem, aTechnician, day } from '@bellround/database/testing';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openTestApi, type TestApi } from '../testing/open-test-api.js';

// Every field of every door of the work on site, given what nobody should send: other types, huge and negative numbers, days that do
// not exist or lie thousands of years off, characters that a database cannot keep, ids of nobody and of another company. Each is either
// taken or refused as RFC 9457 asks, with the path of the field that was changed; none is an accident of ours.
type Json = string | number | boolean | null | Json[] | { [key: string]: Json };
const NOW = '2027-03-01T09:00:00Z';
const FAR = ['9999-12-31', '0001-01-01', '2027-02-30', '9999-12-31T23:59:59Z', '0001-01-01T00:00:00Z', '0000-01-01T00:00:00Z', '2027-03-01T09:00:00+23:59'];
const BAD: readonly Json[] = [null, '', ' ', 'a\u0000b', 'ab\ud800', 'w'.repeat(100_000), -1, 0, 1.5, 1e308, -1e308, 2_147_483_648, Number.MAX_SAFE_INTEGER, true, [], {}, [null], [{}], { a: 1 }, '__proto__', ...FAR];
let api: TestApi;
let cookie = '';
let theirs: Record<string, string> = {};
const companyId = anId();
const ids = Object.fromEntries(['siteId', 'systemId', 'deviceId', 'batteryId', 'pathId', 'technicianId', 'visitId', 'openVisitId', 'accountId', 'holdId', 'putBackId', 'checkId', 'deficiencyId', 'receiverId', 'keyId', 'instrumentId'].map((key) => [key, anId()])) as Record<string, string>;

beforeAll(async () => {
  api = await openTestApi(NOW);
  theirs = await aWorld(anId(), Object.fromEntries(Object.keys(ids).map((key) => [key, anId()])));
  await aWorld(companyId, ids);
  cookie = await api.signInAs(companyId, 'owner', ids['technicianId']);
  await said('openVisit', { visitId: ids['openVisitId']!, id: anId() });
  await said('openHold', { visitId: ids['openVisitId']!, id: ids['holdId']!, accountId: ids['accountId']!, stationReference: 'W-1', operatorName: 'Vera', untilAt: '2027-03-01T12:00:00Z' });
  const checked = await said('recordCheck', { visitId: ids['openVisitId']!, id: ids['checkId']!, checkKind: 'battery-on-load', subjectKind: 'battery', subjectId: ids['batteryId']!, readings: { capacityPct: 40 } });
  ids['putBackId'] = (checked['putBack'] as { id: string }[])[0]!.id;
  ids['deficiencyId'] = (checked['deficiencies'] as { id: string }[])[0]!.id;
}, 120_000);
afterAll(() => api.close());

async function aWorld(company: string, own: Record<string, string>): Promise<Record<string, string>> {
  await api.test.database.inCompany({ companyId: company, actorId: null }, async (tx) => {
    await aCompany(tx, company);
    await aSite(tx, company, { id: own['siteId']! });
    const account = await anAccount(tx, company, { siteId: own['siteId']!, number: '4711' });
    own['accountId'] = account.id;
    own['stationKey'] = (await tx.db.station.findFirstOrThrow({ where: { companyId: company, id: account.stationId } })).externalKey;
    await aSystem(tx, company, { id: own['systemId']!, siteId: own['siteId']!, accountId: account.id, kind: 'intrusion' });
    await aDevice(tx, company, { id: own['deviceId']!, systemId: own['systemId']!, kind: 'contact', link: 'wireless', label: 'Door' });
    await aBattery(tx, company, { id: own['batteryId']!, systemId: own['systemId']! });
    await aPath(tx, company, { id: own['pathId']!, systemId: own['systemId']! });
    await aTechnician(tx, company, { id: own['technicianId']! });
    await tx.db.instrument.create({ data: { companyId: company, id: own['instrumentId']!, kind: 'volt meter', serial: 'VM-1', calibratedTo: day('2027-12-31') } });
    for (const id of [own['visitId']!, own['openVisitId']!]) await tx.db.visit.create({ data: { companyId: company, id, siteId: own['siteId']!, kind: 'urgent', state: 'published', title: 'Call-out', serviceMin: 60, day: day('2027-03-01'), technicianId: own['technicianId']!, createdAt: new Date(NOW) } });
  });
  return own;
}

const ask = (name: string, input: object) => api.ask((routes as unknown as Record<string, Route>)[name]!, cookie, input as never);
async function said(name: string, input: object): Promise<Record<string, Json>> {
  const answer = await ask(name, input);
  expect(answer.status, `${name}: ${answer.text}`).toBeLessThan(300);
  return answer.body as unknown as Record<string, Json>;
}

const clock = { deviceClockAt: '2027-03-01T08:50:00Z', deviceClockNow: '2027-03-01T09:00:00Z' };
const check = () => ({ id: anId(), checkKind: 'wireless-margin', subjectKind: 'device', subjectId: ids['deviceId']!, readings: { levelDbm: -60, noiseDbm: -100, linkClass: 'strong' }, instrumentId: ids['instrumentId']!, outcome: 'judged', overrule: { to: 'fail', reason: 'not to be believed' }, excuseCode: null, reason: 'words', notes: 'words', alsoOut: ['keys of the office'], responses: [{ answer: 'seen', afterS: 3 }], phoneVerdict: 'pass', ...clock });
const setting = () => ({ name: 'Signals', host: '127.0.0.1', port: 12_009, udp: true, lines: [{ line: '0', path: 'Ethernet' }], requireKey: false, perMinute: 120, mostConnections: 4000, isOn: true });
const mapping = () => ({ account: 'Account', receivedAt: 'Received', code: 'Code', zone: 'Zone', text: 'Text', dateForm: 'iso', timeZone: 'Europe/Madrid', restoreWords: ['restore'] });
/** A good asking of each door; every field of it is then spoilt in turn. */
const DOORS: Record<string, () => object> = {
  createVisit: () => ({ id: anId(), siteId: ids['siteId'], kind: 'programme', title: 'Words', pick: 'chosen', dutyIds: [anId()], deficiencyIds: [anId()], day: '2027-03-02', startMin: 600, technicianId: ids['technicianId'], persons: 1 }),
  openVisit: () => ({ visitId: ids['visitId'], id: anId(), technicianId: ids['technicianId'], ...clock }),
  openHold: () => ({ visitId: ids['openVisitId'], id: anId(), accountId: ids['accountId'], parts: ['intrusion'], stationReference: 'W-2', operatorName: 'Vera', untilAt: '2027-03-01T12:00:00Z', ...clock }),
  extendHold: () => ({ holdId: ids['holdId'], id: anId(), untilAt: '2027-03-01T12:30:00Z', operatorName: 'Vera', ...clock }),
  recordCheck: () => ({ visitId: ids['openVisitId'], ...check() }),
  recordChecks: () => ({ visitId: ids['openVisitId'], checks: [check()] }),
  correctCheck: () => ({ checkId: ids['checkId'], ...check(), why: 'the wrong device was read' }),
  handOver: () => ({ putBackId: ids['putBackId'], id: anId(), to: 'R. Tallow', reason: 'electrician returns', ...clock }),
  putBackDone: () => ({ putBackId: ids['putBackId'], id: anId(), ...clock }),
  putBackByName: () => ({ visitId: ids['openVisitId'], id: anId(), what: 'mains off', handTo: { to: 'R. Tallow', reason: 'electrician returns' }, ...clock }),
  liveProof: () => ({ visitId: ids['openVisitId'], id: anId(), accountId: ids['accountId'], signal: 'set and unset', confirmedBy: 'Vera', ...clock }),
  signVisit: () => ({ visitId: ids['openVisitId'], id: anId(), name: 'Ada Baker', capacity: 'tenant', ...clock }),
  recordAttempt: () => ({ siteId: ids['siteId'], id: anId(), visitId: ids['visitId'], how: 'call', outcome: 'no-answer', lat: 40.1, lon: -3.2, waitedMin: 5, photoId: anId(), words: 'no answer', preventableBy: 'customer', ...clock }),
  leftSite: () => ({ visitId: ids['openVisitId'], id: anId(), distanceM: 600, isBack: false, ...clock }),
  replacePart: () => ({ visitId: ids['openVisitId'], id: anId(), partKind: 'battery', partId: ids['batteryId'], newId: anId(), reason: 'swollen', serial: 'S-1', madeOn: '2026-12-01', madeOnState: 'known', ratedMah: 7000, ...clock }),
  keepInstrument: () => ({ id: anId(), kind: 'volt meter', serial: `VM-${anId()}`, calibratedFrom: '2027-01-01', calibratedTo: '2028-01-01', ...clock }),
  takeStationEvents: () => ({ visitId: ids['openVisitId'], csv: { text: 'Account,Received,Code,Zone,Text\n4711,2027-03-01 09:30:00,BA,1,hall', mapping: mapping(), keepMapping: false }, events: [{ receivedAt: '2027-03-01T08:30:00Z', account: '4711', code: 'BA', zone: '1', text: 'hall', path: 'ethernet', qualifier: 'new' }] }),
  recordRoundTrip: () => ({ visitId: ids['openVisitId'], id: anId() }),
  keepZoneList: () => ({ systemId: ids['systemId'], id: anId(), list: 'panel', rows: [{ zone: '1', text: 'hall' }] }),
  correctZone: () => ({ systemId: ids['systemId'], id: anId(), act: 'add', zone: '77', text: 'hall', reason: 'found on site' }),
  keepReceiver: () => ({ id: ids['receiverId'], setting: setting() }),
  setReceiverKey: () => ({ receiverId: ids['receiverId'], id: anId(), account: '4711', key: '00112233445566778899AABBCCDDEEFF', graceH: 1 }),
  endReceiverKey: () => ({ keyId: ids['keyId'] }),
  retireReceiver: () => ({ receiverId: anId() }),
  toldOf: () => ({ deficiencyId: ids['deficiencyId'], id: anId(), to: 'Ada Baker', capacity: 'tenant', how: 'call', words: 'told of it' }),
  partsNeeded: () => ({ deficiencyId: ids['deficiencyId'], id: anId(), words: 'Battery', state: 'needed' }),
  interimMeasure: () => ({ deficiencyId: ids['deficiencyId'], id: anId(), words: 'a guard walks hourly', by: 'Ada Baker', untilAt: '2027-03-02T09:00:00Z' }),
  acceptDeficiency: () => ({ deficiencyId: ids['deficiencyId'], id: anId(), acceptedBy: 'Ann', until: '2027-03-30', words: 'replaced with the next order' }),
  regradeDeficiency: () => ({ deficiencyId: ids['deficiencyId'], id: anId(), severity: 'critical', reason: 'seen on site again' }),
  planRetest: () => ({ id: anId(), deficiencyIds: [anId()], day: '2027-03-09', technicianId: ids['technicianId'] }),
  closeHold: () => ({ holdId: ids['holdId'], id: anId(), confirmedBy: 'Vera', signalsReceived: 3, ...clock }),
  stopVisit: () => ({ visitId: ids['visitId'], id: anId(), remainderId: anId(), reason: 'occupant leaves', ...clock }),
  closeVisit: () => ({ visitId: ids['openVisitId'], id: anId(), signedBy: 'Ada Baker', notSignedBecause: null, ...clock }),
};

/** Every place of a body, deepest last: `a`, `a.b`, `a.0.c`. */
function placesOf(value: unknown, at: readonly string[] = []): string[][] {
  if (typeof value !== 'object' || value === null) return [[...at]];
  return [...(at.length > 0 ? [[...at]] : []), ...Object.entries(value).flatMap(([key, inner]) => placesOf(inner, [...at, key]))];
}
function spoilt(body: object, place: readonly string[], bad: Json): object {
  const copy = structuredClone(body) as Record<string, unknown>;
  const last = place.at(-1)!;
  const inside = place.slice(0, -1).reduce<Record<string, unknown>>((one, key) => one[key] as Record<string, unknown>, copy);
  inside[last] = bad;
  return copy;
}

/** Each field gets a ninth of them, the next field the next ninth; a door of one or two fields gets all, and BAD_INPUT=all gives all to each. */
const some = (at: number, fields: number): readonly Json[] => (fields < 3 || process.env['BAD_INPUT'] === 'all' ? BAD : BAD.filter((_, n) => n % 9 === at % 9));

/** What is wrong with an answer; null when it is as it should be. */
function faultOf(answer: Awaited<ReturnType<typeof ask>>, place: readonly string[]): string | null {
  if (answer.status < 300) return null;
  if (answer.status >= 500) return `an accident: ${answer.text.slice(0, 200)}`;
  if (!String(answer.headers['content-type']).startsWith('application/problem+json')) return `no problem document: ${answer.text.slice(0, 100)}`;
  const { type, title, status, detail, errors } = answer.body;
  if (!type || !title || status !== answer.status || !detail) return `no whole problem document: ${answer.text.slice(0, 200)}`;
  if (answer.status !== 400) return null;
  const path = place.join('.');
  const names = (errors ?? []).some((error) => error.message !== '' && (error.path === path || error.path.startsWith(`${path}.`) || path.startsWith(`${error.path}.`) || TOGETHER[path]?.includes(error.path)));
  return names ? null : `400 that does not name ${path}: ${answer.text.slice(0, 300)}`;
}

describe('bad input at the doors of the work on site', () => {
  it('has every POST door of these capabilities', () => {
    const all = Object.values(routes as unknown as Record<string, Route>).filter((route) => route.method === 'POST' && /^\/api\/(visits|holds|checks|put-back|instruments|receivers|receiver-keys|systems\/:systemId\/zone|deficiencies|sites\/:siteId\/attempts)/.test(route.path)).map((route) => route.name);
    expect(all.filter((name) => !(name in DOORS) && !NOT_HERE.includes(name))).toEqual([]);
  });

  it.each(Object.keys(DOORS))('%s: a spoilt field is refused by its path, or taken; never an accident', async (name) => {
    const body = DOORS[name]!();
    const faults: string[] = [];
    let refused = 0;
    const places = placesOf(body);
    for (const [at, place] of places.entries()) {
      const values: readonly Json[] = /Ids?$|^id$/.test(place.filter((key) => !/^\d+$/.test(key)).at(-1)!) ? [anId(), theirs[place.at(-1)!] ?? theirs['siteId']!, ...some(at, places.length)] : some(at, places.length);
      for (const bad of values) {
        // a path parameter that is empty or no text names another address
        if (routeOf(name).path.includes(`:${place[0]}`) && (typeof bad !== 'string' || bad.trim() === '' || bad.includes('\ud800'))) continue;
        const answer = await ask(name, spoilt(DOORS[name]!(), place, bad));
        if (answer.status >= 400) refused += 1;
        const fault = faultOf(answer, place);
        if (fault) faults.push(`${place.join('.')} = ${JSON.stringify(bad).slice(0, 40)}: ${fault}`);
      }
    }
    expect(faults.slice(0, 40)).toEqual([]);
    expect(refused).toBeGreaterThan(2);
  }, 300_000);

  it.each(IMPORT_KIND_NAMES)('a file of %s with every cell spoilt in turn is previewed with its rows held by column, or refused; never an accident', async (kind) => {
    const columns = importKind(kind).columns;
    const bad = ['', ' ', '-1', '1e308', '-99999999999999999999', '9999-12-31', '0001-01-01', '2027-02-30', 'w'.repeat(3000), '=1+1', '\u202e', "'; drop table site", '[1', 'true', theirs['siteId']!];
    const quoted = (cell: string) => `"${cell.replaceAll('"', '""')}"`;
    const rows = columns.flatMap((_, at) => bad.map((cell, n) => columns.map((column, other) => (other === at ? cell : column.name === 'key' || column.name === 'number' ? `${column.example}${at}${n}` : column.example)).map(quoted).join(',')));
    const input = { kind, runId: anId(), fileName: 'spoilt.csv', mode: 'preview', ...(LIST_KINDS.includes(kind) ? { listedOn: '2027-03-01', ...(kind === 'station-list' ? { station: ids['stationKey'] } : {}) } : {}) };
    const answer = await api.ask(routes.uploadImport, cookie, input as never, `${columns.map((column) => column.name).join(',')}\n${rows.join('\n')}\n`);
    expect(faultOf(answer as never, ['(file)']), answer.text.slice(0, 300)).toBeNull();
    if (answer.status < 300) {
      expect(answer.body).toMatchObject({ rowsRead: rows.length, state: 'previewed' });
      expect(answer.body.rowsHeld).toBeGreaterThan(0);
      expect(answer.body.problems.filter((problem) => !problem.column.split(', ').every((name) => columns.some((column) => column.name === name)) || problem.problem === '' || problem.accepted === '')).toEqual([]);
    }
  }, 120_000);

  it.each(['GET /api/visits/%00', 'GET /api/visits/..%2f..', 'POST /api/visits', 'POST /api/visits/not-an-id/checks'])('%s with no body, a broken one or a list is a problem', async (asked) => {
    const [method, url] = asked.split(' ') as ['GET' | 'POST', string];
    for (const payload of method === 'GET' ? [undefined] : ['', '{', '[]', 'null', '"x"', '[1', '{"id":1e999}']) {
      const answer = await api.app.inject({ method, url, headers: { cookie, 'content-type': 'application/json' }, ...(payload === undefined ? {} : { payload }) });
      expect([asked, payload, answer.statusCode >= 400 && answer.statusCode < 500, String(answer.headers['content-type']).split(';')[0]]).toEqual([asked, payload, true, 'application/problem+json']);
    }
  });
});

/** doors of the office and of pictures, each with a spec of its own */
const NOT_HERE = ['photoOfDeficiency', 'photoOfCheck', 'agreeDate', 'editVisit'];
/** a fault of two fields stands at the later one */
const TOGETHER: Record<string, readonly string[]> = { calibratedFrom: ['calibratedTo'], madeOnState: ['madeOn'], list: ['rows'], deviceClockAt: ['untilAt', 'madeOn'], deviceClockNow: ['untilAt', 'madeOn'] };
const routeOf = (name: string): Route => (routes as unknown as Record<string, Route>)[name]!;
