import { aCompany, anAccount, anId, aPath, aSite, aSystem, cloneDatabase, type TestDatabase } from '@bellround/database/testing';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createPerform, type Perform, type Who } from '../perform.js';
import { listSilences } from './list-silences.js';

// Scenario 14. Today: 20 April 2027, 09:00 in Madrid.
const NOW = new Date('2027-04-20T07:00:00Z');
let test: TestDatabase;
let perform: Perform;
beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, { now: () => NOW, newId: anId, sha256: (text) => text, seed: () => 1 });
});
afterAll(() => test.drop());

type Tx = Parameters<Parameters<TestDatabase['database']['inCompany']>[1]>[0];
interface Line { readonly label: string; readonly technology: string; readonly rank: number; readonly receiver: string; readonly intervalMin: number | null; readonly heard: readonly string[] }

async function aCompanyWith(build: (tx: Tx, companyId: string) => Promise<void>): Promise<Who> {
  const companyId = anId();
  await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    await aCompany(tx, companyId);
    await build(tx, companyId);
  });
  return { companyId, userId: null, name: 'Ann', role: 'owner', technicianId: null };
}

async function anAccountWith(tx: Tx, companyId: string, number: string, lines: readonly Line[], stationId?: string): Promise<string> {
  const site = await aSite(tx, companyId, { name: `Site ${number}` });
  const account = await anAccount(tx, companyId, { siteId: site.id, number, ...(stationId ? { stationId } : {}) });
  const system = await aSystem(tx, companyId, { siteId: site.id, accountId: account.id });
  for (const line of lines) await aPath(tx, companyId, { systemId: system.id, rank: line.rank, label: line.label, technology: line.technology, receiverAddress: line.receiver, testIntervalMin: line.intervalMin });
  const events = lines.flatMap((line) => line.heard.map((at) => ({ companyId, id: anId(), stationId: account.stationId, accountNumber: number, accountId: account.id, receivedAt: new Date(at), code: '602', path: line.label, kind: 'periodic', raw: `${line.label} ${at}`, rawDigest: `${number} ${line.label} ${at}`, source: 'csv', recordedAt: NOW })));
  if (events.length > 0) await tx.db.stationEvent.createMany({ data: events });
  return account.stationId;
}

const nights = (from: number, to: number, utc: string) => Array.from({ length: to - from + 1 }, (_, i) => `2027-04-${String(from + i).padStart(2, '0')}T${utc}:00Z`);
const daily = (label: string, rank: number, heard: readonly string[]): Line => ({ label, technology: label, rank, receiver: '1', intervalMin: 1440, heard });

describe('[SIG-OP-7] paths that do not report as they promised', () => {
  it('one of two paths silent 222.5 h, although the other is fine; a path without a promise is not asked', async () => {
    const who = await aCompanyWith(async (tx, companyId) => {
      const station = await anAccountWith(tx, companyId, '4711', [daily('ethernet', 1, nights(1, 20, '00:30')), daily('cellular', 2, nights(1, 11, '00:30')), { ...daily('line', 3, []), intervalMin: null }]);
      await anAccountWith(tx, companyId, '4712', [{ ...daily('ethernet', 1, ['2027-04-20T07:00:00Z']), receiver: '1' }], station);
    });
    const found = await perform(listSilences, who, { days: 35 });
    expect(found.silent).toEqual([expect.objectContaining({ accountNumber: '4711', siteName: 'Site 4711', words: 'one of two paths silent' })]);
    expect(found.silent[0]!.paths.map((path) => [path.label, path.state, path.silentH])).toEqual([['ethernet', 'heard', 6.5], ['cellular', 'silent', 222.5]]);
    expect(found.silent[0]!.paths[1]!.words).toContain('222.5 h = 9 d 6.5 h');
    expect(found).toMatchObject({ incidents: [], unknown: [], counts: { paths: 3, heard: 2, silent: 1, unknown: 0 } });
  });

  it('41 of 43 accounts of receiver 2 silent 02:10 to 05:40 are one incident with 41 names, and no account is blamed for it', async () => {
    const who = await aCompanyWith(async (tx, companyId) => {
      let station: string | undefined;
      for (let n = 1; n <= 43; n += 1) {
        const polls = ['00:10', ...(n <= 41 ? [] : ['01:10', '02:10', '03:10']), '03:40', '04:40', '05:40', '06:40'].map((at) => `2027-04-20T${at}:00Z`);
        station = await anAccountWith(tx, companyId, `8${String(n).padStart(3, '0')}`, [{ label: 'ip', technology: 'ethernet', rank: 1, receiver: '2', intervalMin: 60, heard: polls }], station);
      }
    });
    const { incidents, silent, closed, counts } = await perform(listSilences, who, { days: 2 });
    expect(incidents).toEqual([expect.objectContaining({ receivers: ['2'], fromAt: '2027-04-20T00:10:00.000Z', toAt: '2027-04-20T03:40:00.000Z', ofAccounts: 43 })]);
    expect(incidents[0]!.accounts).toHaveLength(41);
    expect(incidents[0]!.accounts[0]).toMatchObject({ accountNumber: '8001', siteName: 'Site 8001' });
    expect([silent, closed, counts.silent]).toEqual([[], [], 0]);
  });

  it('one night lost by a receiver of daily signals is one incident, whatever the minute of each; who stays silent after its next signal was due has a fault of its own', async () => {
    const who = await aCompanyWith(async (tx, companyId) => {
      let station: string | undefined;
      for (let n = 1; n <= 12; n += 1) {
        const utc = `0${n % 5}:${String(10 + n * 4).padStart(2, '0')}`;
        const back = n === 12 ? 19 : 16;
        station = await anAccountWith(tx, companyId, `7${String(n).padStart(3, '0')}`, [daily('ethernet', 1, [...nights(1, 14, utc), ...nights(back, 20, utc)])], station);
      }
    });
    const shown = await perform(listSilences, who, { days: 35 });
    expect(shown.incidents.map((one) => [one.accounts.length, one.ofAccounts])).toEqual([[12, 12]]);
    expect(shown.silent).toEqual([]);
    expect(shown.closed.map((one) => one.accountNumber)).toEqual(['7012']);
  });

  it('the feed that stopped makes nothing silent and nothing good; what was never heard is unknown', async () => {
    const who = await aCompanyWith(async (tx, companyId) => {
      await anAccountWith(tx, companyId, '5001', [daily('ethernet', 1, nights(1, 10, '00:30'))]);
      await anAccountWith(tx, companyId, '5002', [daily('ethernet', 1, [])]);
    });
    const found = await perform(listSilences, who, { days: 35 });
    expect(found.silent).toEqual([]);
    expect(found.unknown.map((one) => [one.accountNumber, one.words])).toEqual([['5001', "one of one path can't tell"], ['5002', "one of one path can't tell"]]);
    expect(found.feeds[0]).toMatchObject({ receiver: '1', heardUntil: '2027-04-10T00:30:00.000Z' });
  });

  it('a closed gap stays told; another company sees none of it', async () => {
    const who = await aCompanyWith((tx, companyId) => anAccountWith(tx, companyId, '6001', [daily('ethernet', 1, [...nights(1, 5, '00:30'), ...nights(8, 20, '00:30')])]).then(() => undefined));
    expect((await perform(listSilences, who, { days: 35 })).closed).toEqual([expect.objectContaining({ accountNumber: '6001', fromAt: '2027-04-05T00:30:00.000Z', toAt: '2027-04-08T00:30:00.000Z', hours: 72 })]);
    expect(await perform(listSilences, { ...who, companyId: (await aCompanyWith(async () => undefined)).companyId }, { days: 35 })).toMatchObject({ counts: { paths: 0 }, closed: [], silent: [] });
  });
});
