import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { csvLine, type DifferenceKind, type ImportKind } from '@bellround/contracts';
import { liveAccounts } from '@bellround/database';
import { aCompany, anId, aUser, cloneDatabase, type TestDatabase } from '@bellround/database/testing';
import { createPerform, type Perform, type Who } from '../perform.js';
import { assignDifference } from './assign-difference.js';
import { compareLists } from './compare-lists.js';
import { importFile } from './import-file.js';
import { listDifferences } from './list-differences.js';
import { settleDifference } from './settle-difference.js';
import { showLists } from './show-lists.js';

const A = anId();
let test: TestDatabase;
let perform: Perform;
let who: Who;
let now = new Date('2027-03-01T09:00:00Z');

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, { now: () => now, newId: anId, sha256: (text) => createHash('sha256').update(text).digest('hex'), seed: () => 1 });
  const user = await test.database.inCompany({ companyId: A, actorId: null }, async (tx) => { await aCompany(tx, A); return aUser(tx, A, { name: 'Dana' }); });
  who = { companyId: A, userId: user.id, name: 'Dana', role: 'dispatcher', technicianId: null };
});
afterAll(() => test.drop());

async function kept(kind: ImportKind, rows: readonly (readonly string[])[], extra: { station?: string; listedOn?: string } = {}, by: Who = who) {
  const text = rows.map((row) => csvLine(row)).join('');
  const file = () => ({ bytes: (async function* () { yield new TextEncoder().encode(text); })(), digest: () => createHash('sha256').update(text).digest('hex') });
  const input = { kind, runId: anId(), fileName: `${kind}.csv`, ...extra };
  const seen = await perform.bulk(importFile, by, { ...input, mode: 'preview', file: file() });
  expect(seen.problems).toEqual([]);
  return perform.bulk(importFile, by, { ...input, mode: 'keep', file: file() });
}
const range = (from: number, to: number) => Array.from({ length: to - from }, (_, n) => from + n);
const number = (n: number) => String(700_000 + n);
const listed = (numbers: readonly number[]) => [['number', 'name'], ...numbers.map((n) => [number(n), `Place ${n}`])];
const differences = async (kind?: DifferenceKind, show: 'unsettled' | 'settled' | 'gone' | 'all' = 'unsettled') => (await perform(listDifferences, who, { kind, show, limit: 500, offset: 0 }));

// Accounts 0..411 are listened to; the schedule lacks 0..14 and has 412..414 besides; the invoices lack 5..15 and have 415..418 besides.
const station = range(0, 412);
const schedule = [...range(15, 412), ...range(412, 415)];
const invoices = [...range(0, 5), ...range(16, 412), ...range(415, 419)];

describe('three lists (scenario 15)', () => {
  it('station 412, schedule 400, invoices 405: the four differences by number and name', async () => {
    await kept('clients', [['key', 'name'], ['C-1', 'Everybody']]);
    await kept('sites', [['key', 'client', 'name', 'address', 'time_zone', 'occupancy', 'access_hours'], ...schedule.map((n) => [`S-${n}`, 'C-1', `Site ${n}`, 'x', 'Europe/Madrid', 'shop', 'any time'])]);
    await kept('accounts', [['station', 'station_name', 'number', 'site'], ...schedule.map((n) => ['W-1', 'Stonepier Watch Room', number(n), `S-${n}`])]);
    expect((await perform(showLists, who, {})).counts).toMatchObject({ station: null, schedule: 400, invoices: null, bothListed: null });
    await kept('station-list', listed(station), { station: 'W-1', listedOn: '2027-02-28' });
    await kept('invoice-list', listed(invoices), { listedOn: '2027-02-28' });

    const seen = await perform(showLists, who, {});
    expect(seen.counts).toEqual({ station: 412, schedule: 400, invoices: 405, bothListed: 397, withoutDuties: 400 });
    expect(seen.differences).toEqual([
      { kind: 'station-not-schedule', count: 15, unsettled: 15 }, { kind: 'schedule-not-station', count: 3, unsettled: 3 },
      { kind: 'station-not-invoices', count: 11, unsettled: 11 }, { kind: 'invoices-not-station', count: 4, unsettled: 4 }]);
    const fellOff = await differences('station-not-schedule');
    expect(fellOff.rows.map((one) => [one.accountNumber, one.name, one.station, one.siteId])).toEqual(range(0, 15).map((n) => [number(n), `Place ${n}`, 'Stonepier Watch Room', null]));
    const unheard = await differences('schedule-not-station');
    expect(unheard.rows.map((one) => [one.accountNumber, one.siteName])).toEqual(range(412, 415).map((n) => [number(n), `Site ${n}`]));
    expect((await differences('station-not-invoices')).rows.map((one) => one.accountNumber)).toEqual(range(5, 16).map(number));
    expect((await differences('invoices-not-station')).rows.map((one) => one.name)).toEqual(range(415, 419).map((n) => `Place ${n}`));
  });

  it('the denominator is every account the station listens to, with those that fell off named', async () => {
    const { source, accounts } = await test.database.inCompany({ companyId: A, actorId: null }, (tx) => liveAccounts(tx, '2027-03-01'));
    expect([source, accounts.length, accounts.filter((one) => one.onSchedule).length, accounts.filter((one) => one.siteId !== null).length]).toEqual(['station-list', 412, 397, 397]);
    const inTime = 384;
    expect([(100 * inTime / accounts.length).toFixed(1), (100 * inTime / accounts.filter((one) => one.onSchedule).length).toFixed(1)]).toEqual(['93.2', '96.7']);
    const before = await test.database.inCompany({ companyId: A, actorId: null }, (tx) => liveAccounts(tx, '2027-02-27'));
    expect([before.source, before.accounts.length]).toEqual(['schedule', 400]);
  });

  it('the same list again changes nothing', async () => {
    const before = await differences(undefined, 'all');
    const run = await kept('station-list', listed(station), { station: 'W-1', listedOn: '2027-02-28' });
    expect([run.rowsNew, run.rowsChanged, run.rowsSame]).toEqual([0, 0, 412]);
    await perform(compareLists, who, {});
    expect(await differences(undefined, 'all')).toEqual(before);
    await test.database.inCompany({ companyId: A, actorId: null }, async (tx) => expect(await tx.db.listImport.count()).toBe(2));
  });

  it('a difference has a person, is settled in words, goes when the lists agree, and is open again when it comes back', async () => {
    const [first, second] = (await differences('station-not-schedule')).rows;
    expect((await perform(assignDifference, who, { differenceId: first!.id, userId: who.userId })).assignee).toEqual({ id: who.userId, name: 'Dana' });
    const settled = await perform(settleDifference, who, { differenceId: first!.id, words: 'programme applied, visit on Thursday' });
    expect(settled).toMatchObject({ settlement: 'programme applied, visit on Thursday', settledBy: 'Dana', settledAt: now.toISOString() });
    expect(await perform(settleDifference, who, { differenceId: first!.id, words: 'programme applied, visit on Thursday' })).toEqual(settled);
    await expect(perform(settleDifference, who, { differenceId: first!.id, words: 'something else' })).rejects.toMatchObject({ problem: 'WrongState' });
    expect((await perform(showLists, who, {})).differences[0]).toEqual({ kind: 'station-not-schedule', count: 15, unsettled: 14 });

    now = new Date('2027-03-08T09:00:00Z');
    await kept('station-list', listed(station.slice(1)), { station: 'W-1', listedOn: '2027-03-07' });
    expect((await differences('station-not-schedule', 'gone')).rows.map((one) => [one.accountNumber, one.goneOn])).toEqual([[first!.accountNumber, '2027-03-08']]);
    expect((await differences('station-not-schedule')).rows[0]).toMatchObject({ id: second!.id, firstSeenOn: '2027-03-01', lastSeenOn: '2027-03-08' });
    now = new Date('2027-03-15T09:00:00Z');
    await kept('station-list', listed(station), { station: 'W-1', listedOn: '2027-03-14' });
    expect((await differences('station-not-schedule')).rows[0]).toMatchObject({ id: first!.id, firstSeenOn: '2027-03-01', settledAt: null, goneOn: null });
  });

  it('an account number of one station says nothing about another\'s, and no company sees these', async () => {
    await kept('station-list', listed([1, 2]), { station: 'W-2', listedOn: '2027-03-14' });
    const fellOff = await differences('station-not-schedule');
    expect(fellOff.total).toBe(17);
    const B = anId();
    await test.database.inCompany({ companyId: B, actorId: null }, (tx) => aCompany(tx, B));
    const other: Who = { companyId: B, userId: null, name: 'x', role: 'house', technicianId: null };
    expect((await perform(listDifferences, other, { show: 'all', limit: 10, offset: 0 })).total).toBe(0);
    await expect(perform(settleDifference, other, { differenceId: fellOff.rows[0]!.id, words: 'stolen' })).rejects.toMatchObject({ problem: 'NotFound' });
  });

  it('a list must say its day and its station, and not speak for tomorrow', async () => {
    await expect(kept('station-list', listed([1]))).rejects.toMatchObject({ problem: 'BadInput', more: { errors: [{ path: 'listedOn' }, { path: 'station' }] } });
    await expect(kept('invoice-list', listed([1]), { listedOn: '2027-03-16' })).rejects.toMatchObject({ problem: 'BadInput' });
  });
});
