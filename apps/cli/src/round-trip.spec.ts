import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { encodeDc09 } from '@bellround/signals';
import { afterAll, describe, expect, it } from 'vitest';
import type { Terminal } from './act.js';
import { runCommand } from './command-line.js';

const none = () => Promise.reject(new Error('no database here'));
const closed: Terminal = { perform: Object.assign(none, { bulk: none }) as unknown as Terminal['perform'], companies: none, house: none, newId: () => '0190a000-0000-7000-8000-000000000001', now: () => new Date(0) };
const run = (...argv: string[]) => runCommand(argv, closed);
const folder = mkdtempSync(join(tmpdir(), 'bellround-'));
afterAll(() => rmSync(folder, { recursive: true }));
const file = (name: string, ...lines: string[]): string => {
  writeFileSync(join(folder, name), `${lines.join('\n')}\n`);
  return join(folder, name);
};

describe('round-trip', () => {
  // Scenario 9: the phone is 37 s slow; nine right, one wrong text, one 140 s after, one absent, one nobody tripped.
  const base = Date.UTC(2027, 2, 1, 9);
  const at = (s: number) => new Date(base + s * 1000).toISOString();
  const names = ['hall', 'kitchen', 'study', 'garage', 'cellar', 'landing', 'bath', 'office', 'store', 'porch', 'attic', 'lounge'];
  const steps = file('steps.csv', 'id,at,account,zone,text,limit_s,device_kind', ...names.map((name, i) => `s${i + 1},${at(i * 60)},4711,${i + 1},${name},90,contact`));
  const events = file('events.csv', 'id,at,account,zone,text,code', ...names.flatMap((name, i) => (i === 11 ? [] : [`e${i + 1},${at(i * 60 + 37 + (i === 10 ? 140 : i % 3))},4711,00${i + 1},${i === 2 ? 'garage' : name},131`])), `stray,${at(540)},4711,040,shed,131`, `close,${at(545)},4711,003,,401`);
  it('scenario 9 out of two files', async () => {
    const said = await run('round-trip', steps, events);
    const lines = said.out.trim().split('\n');
    expect(lines[0]).toMatch(/^phone's clock: 3[6-9] s slow \(\+\/- [0-2](\.\d)? s, from 11 pairs\)$/);
    expect(lines.at(-1)).toBe('9 right, 1 wrong-text, 1 late, 1 not-received, 1 unexplained');
    expect(said.out).toContain("s3\twrong-text\te3");
    expect(said.out).toContain('close\troutine of the account');
    expect(said.code).toBe(1);
    expect(JSON.parse((await run('round-trip', steps, events, '--json')).out).unexplained).toEqual(['stray']);
  });
  it("the station's own export by its mapping; what does not read is named", async () => {
    const mapping = file('map.json', JSON.stringify({ account: 'Acct', receivedAt: 'When', code: 'Code', zone: 'Zone', text: 'Text', dateForm: 'dd.mm.yyyy', timeZone: 'Europe/Madrid' }));
    const history = file('station.csv', 'Acct;When;Code;Zone;Text', '4711;01.03.2027 10:00:40;E131;1;hall', '4711;01.03.2027 10:01:39;E131;2;kitchen', '4711;01.03.2027 10:02:38;E131;3;study');
    const three = file('three.csv', 'id,at,account,zone,text', ...[0, 1, 2].map((i) => `s${i + 1},${at(i * 60)},4711,${i + 1},${names[i]}`));
    expect((await run('round-trip', three, history, '--mapping', mapping)).out).toContain('3 right');
    const wrong = await run('round-trip', file('bad.csv', 'at,account,zone', '2027-03-01 09:00,4711,1'), events);
    expect(wrong).toMatchObject({ code: 1, err: expect.stringMatching(/row 2, at: '2027-03-01 09:00' is no instant/) });
    expect(await run('round-trip', file('short.csv', 'at,zone', 'x,1'), events)).toMatchObject({ code: 1, err: expect.stringContaining('lacks the column account') });
  });
});

describe('silence', () => {
  const mapping = file('history.json', JSON.stringify({ account: 'Acct', receivedAt: 'When', code: 'Code', path: 'Path', receiver: 'Rcv', dateForm: 'iso', timeZone: 'Europe/Madrid' }));
  const days = (count: number, from: number, hour: string) => Array.from({ length: count }, (_, i) => `${new Date(Date.UTC(2027, 3, from + i)).toISOString().slice(0, 10)}T${hour}`);
  it('scenario 14: path 2 silent 222.5 h although path 1 is fine; no gap at the change of the clock', async () => {
    const history = file('h.csv', 'Acct,When,Code,Path,Rcv', ...days(20, 1, '02:30:00').map((when) => `A1,${when},602,1,1`), ...days(11, 1, '02:30:00').map((when) => `A1,${when},602,2,1`));
    const said = await run('silence', history, '--mapping', mapping, '--interval', '24', '--now', '2027-04-20T07:00:00Z');
    expect(said.out).toContain('A1, path 2: Silent for 222.5 h = 9 d 6.5 h, limit 25 h.');
    expect(said.out).toContain('A1: one of two paths silent');
    const spring = file('spring.csv', 'Acct,When,Code,Path,Rcv', ...['2027-03-27T02:30:00', '2027-03-28T03:30:00', '2027-03-29T02:30:00'].map((when) => `A1,${when},602,1,1`));
    expect(await run('silence', spring, '--mapping', mapping, '--interval', '24')).toMatchObject({ code: 0, out: expect.stringContaining('0 gaps of their own') });
  });
  it('scenario 14: 41 of 43 accounts of receiver 2 are one incident with 41 names; rows given twice change nothing', async () => {
    const polls = (account: string, isOut: boolean) => ['00:10', '01:10', '02:10', ...(isOut ? [] : ['03:10', '04:10', '05:10']), '05:40', '06:40'].map((at) => `${account},2027-04-20T${at}:00,602,1,2`);
    const rows = Array.from({ length: 43 }, (_, i) => polls(`B${String(i + 1).padStart(2, '0')}`, i < 41)).flat();
    const once = await run('silence', file('r2.csv', 'Acct,When,Code,Path,Rcv', ...rows), '--mapping', mapping, '--interval', '1', '--grace', '0.5');
    expect(once.out).toMatch(/^41 of 43 accounts of receiver 2 silent together from 2027-04-20T00:10:00.000Z to 2027-04-20T03:40:00.000Z: one incident of the station\. B01, B02, .*B41\n/);
    expect(once.out).toContain('1 incidents of the station, 0 gaps of their own');
    const twice = await run('silence', file('r2b.csv', 'Acct,When,Code,Path,Rcv', ...rows, ...rows), '--mapping', mapping, '--interval', '1', '--grace', '0.5');
    expect(twice.out.split('\n')[0]).toBe(once.out.split('\n')[0]);
    expect(twice.out).toContain(`${rows.length} rows repeated`);
  });
  it('a wrong mapping or interval is told', async () => {
    const history = file('few.csv', 'Acct,When', 'A1,2027-04-01T02:30:00');
    expect(await run('silence', history, '--mapping', mapping, '--interval', '24')).toMatchObject({ code: 1, err: expect.stringContaining("'Code' for code is not in the file") });
    expect(await run('silence', file('ok.csv', 'Acct,When,Code,Path,Rcv', 'A1,2027-04-01T02:30:00,602,1,1'), '--mapping', mapping, '--interval', 'daily')).toMatchObject({ code: 2 });
  });
});

describe('zone-lists', () => {
  it('two lists against the third', async () => {
    const list = (name: string, ...texts: string[]) => file(name, 'zone,text', ...texts.map((text, i) => `${i + 1},${text}`));
    const said = await run('zone-lists', '--panel', list('p.csv', 'Hall', 'Study'), '--ours', list('o.csv', 'Hall', 'Study'), '--station', list('s.csv', 'Hall', 'Garage'));
    expect(said.out).toBe("Zone 2: the control unit 'Study', our list 'Study', the station's list 'Garage'.\n  Let the station's list read 'Study' for zone 2.\n1 zones agree, 1 differs.\n");
    expect(await run('zone-lists', '--panel', list('p2.csv', 'Hall'), '--ours', list('o2.csv', 'Hall'))).toMatchObject({ code: 0, out: expect.stringContaining("station's list was not read: can't tell") });
  });
});

describe('decode-event', () => {
  const key = '00112233445566778899AABBCCDDEEFF';
  const secret = encodeDc09({ token: 'ADM-CID', sequence: 7, receiver: null, line: '0', account: '7099', data: '#7099|1131 01 003', extensions: [], sentAt: '2027-03-01T08:00:00.000Z', keyHex: key });
  it('opens an encrypted frame with its key, holds its age where a clock is given, and refuses without', async () => {
    const bare = secret.slice(1, -1);
    expect((await run('decode-event', bare, '--key', key)).out).toBe('burglary, perimeter: new, account 7099, zone 003, area 01, sent 2027-03-01T08:00:00.000Z, dc-09 131\n');
    expect(await run('decode-event', bare)).toMatchObject({ code: 1, err: expect.stringContaining('no key of this account') });
    expect(await run('decode-event', bare, '--key', '00')).toMatchObject({ code: 1 });
    expect(await run('decode-event', bare, '--key', key, '--clock', '2027-03-01T08:00:40Z')).toMatchObject({ code: 0 });
    expect(await run('decode-event', bare, '--key', key, '--clock', '2027-03-01T08:00:41Z')).toMatchObject({ code: 1, err: expect.stringContaining('41 s old') });
  });
  it('a file, one on each line; good ones are kept, bad ones named by line', async () => {
    const said = await run('decode-event', '--file', file('frames.txt', '1234181131010158', 'A18D0027"ADM-CID"0001L0#7099[#7099|1131 01 003]', '1234181131010157', '\x1b[31mred'));
    expect(said.code).toBe(1);
    expect(said.out).toContain('3\trefused: The checksum');
    expect(said.out).toContain('2 events, 2 lines refused');
    expect(said.out).not.toContain('\x1b');
    expect(await run('decode-event')).toMatchObject({ code: 2 });
  });
});
