import { describe, expect, it } from 'vitest';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Terminal } from './act.js';
import { ACTS, runCommand } from './command-line.js';

const none = () => Promise.reject(new Error('no database here'));
const closed: Terminal = { perform: Object.assign(none, { bulk: none }) as unknown as Terminal['perform'], companies: none, house: none, newId: () => '0190a000-0000-7000-8000-000000000001', now: () => new Date(0) };
const run = (...argv: string[]) => runCommand(argv, closed);

describe('the terminal door', () => {
  it('writes the occurrences of a rule, one local date-time a line', async () => {
    const said = await run('occurrences', '--dtstart', '2027-03-01T09:00:00', '--tz', 'Europe/Madrid', '--rrule', 'FREQ=WEEKLY;COUNT=3');
    expect(said).toEqual({ code: 0, out: '2027-03-01T09:00:00\n2027-03-08T09:00:00\n2027-03-15T09:00:00\n', err: '' });
    expect(JSON.parse((await run('occurrences', '--dtstart', '2027-03-01T09:00:00', '--tz', 'Europe/Madrid', '--rrule', 'FREQ=DAILY', '--limit', '2', '--json')).out)).toHaveLength(2);
  });

  it('writes the windows of a duty out of a file, late ones with their days', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'bellround-'));
    const file = join(folder, 'history.json');
    writeFileSync(file, JSON.stringify({ cadence: { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 'month-end', early: { months: 1 }, late: { months: 1 } }, from: '2026-06-01', basisOn: '2026-03-10', proofs: [{ on: '2027-05-06', ref: 'c' }] }));
    const lines = (await run('windows', file, '--as-of', '2027-05-10')).out.split('\n');
    expect(lines[0]).toBe('on 2027-05-10: proven');
    expect(lines[1]).toMatch(/^2027-02-01\t2027-03-31\t2027-04-30\tlate 2027-05-06, 6 days late\t/);
    expect(lines[2]).toMatch(/^2028-02-01\t2028-03-31\t2028-04-30\tnot met\t/);
    const windows = [['fire', '2027-01-10', '2027-04-10'], ['body', '2027-02-01', '2027-04-30'], ['insurer', '2027-03-20', '2027-06-30']].map(([name, opens, lapses]) => ({ name, opens, lapses, noisy: true }));
    writeFileSync(file, JSON.stringify({ windows, calendar: { openWeekdays: [1, 2, 3, 4, 5], quiet: [{ from: '2027-03-22', to: '2027-04-02', reason: 'exams' }] } }));
    const said = (await run('together', file)).out;
    expect(said).toContain('days: 2027-04-05 to 2027-04-09 (5 days)');
    expect(said).toContain('not before, because: no sounders: exams');
    expect(said).toContain('not after, because: fire lapses 10 Apr 2027');
    writeFileSync(file, '{');
    expect(await run('together', file)).toMatchObject({ code: 2, err: expect.stringMatching(/is no JSON/) });
    writeFileSync(file, '{}');
    expect(await run('windows', file, '--as-of', '2027-05-10')).toMatchObject({ code: 2, err: expect.stringMatching(/lacks cadence, from, proofs/) });
    rmSync(folder, { recursive: true });
  });

  it('answers a bad rule with a problem on standard error and a non-zero exit', async () => {
    const said = await run('occurrences', '--dtstart', '2027-03-01T09:00:00', '--tz', 'Europe/Madrid', '--rrule', 'FREQ=SOMETIMES');
    expect(said.code).toBe(1);
    expect(JSON.parse(said.err)).toMatchObject({ type: 'urn:bellround:problem:bad-input', status: 400 });
    expect(said.err).not.toMatch(/at .*\.ts/);
  });

  it('decodes an event report, and names what is wrong with one', async () => {
    // a message printed in public text restating SIA DC-05 (checksum 8)
    expect((await run('decode-event', '1234181131010158')).out).toMatch(/1234/);
    const wrong = await run('decode-event', '1234181131010157');
    expect(wrong.code).toBe(1);
    expect(JSON.parse(wrong.err).detail).toMatch(/checksum/i);
  });

  it('says what is accepted when it is used wrongly', async () => {
    expect(await run('dance')).toMatchObject({ code: 2, err: expect.stringMatching(/accepted: import, list, plan/) });
    expect(await run('occurrences', '--speed', '3')).toMatchObject({ code: 2, err: expect.stringMatching(/usage: occurrences/) });
    expect(await run('import', 'sites')).toMatchObject({ code: 2 });
    expect((await run('--help')).out).toMatch(/import <kind>/);
    expect((await run('plan', '--help')).out).toMatch(/--seconds/);
  });

  it('answers wrong use as a problem too when JSON is asked for', async () => {
    const said = await run('list', 'horses', '--json');
    expect(JSON.parse((await runCommand(['import', 'clients', '/nowhere.csv', '--json'], terminal([]))).err)).toMatchObject({ status: 400, detail: 'there is no file /nowhere.csv' });
    expect(said.code).not.toBe(0);
  });

  it('takes a date-time list by commas or given again', async () => {
    const rule = ['occurrences', '--dtstart', '2027-03-01T09:00:00', '--tz', 'Europe/Madrid', '--rrule', 'FREQ=WEEKLY;COUNT=2'];
    const both = await run(...rule, '--rdate', '2027-03-02T09:00:00', '--rdate', '2027-03-03T09:00:00', '--exdate', '2027-03-08T09:00:00');
    expect(both.out.trim().split('\n')).toEqual(['2027-03-01T09:00:00', '2027-03-02T09:00:00', '2027-03-03T09:00:00']);
    expect((await run(...rule, '--rdate', '2027-03-02T09:00:00,2027-03-03T09:00:00', '--exdate', '2027-03-08T09:00:00')).out).toBe(both.out);
  });

  it('names wrong options and files before it asks for a database', async () => {
    for (const [argv, words] of [
      [['standing', '--as-of', 'tomorrow'], /asOf/], [['plan', 'week', '--from', '2027-03-01', '--seed', 'x'], /--seed is 'x'; accepted/], [['plan', 'month'], /accepted is 'plan week'/],
      [['company', 'remove'], /accepted is 'company add'/], [['user', 'add', '--email', 'x'], /--email/], [['import', 'horses', '/nowhere.csv'], /must be one of clients/],
      [['import', 'sites', tmpdir()], /is a folder; accepted is a file/], [['verify', tmpdir()], /is a folder/], [['list', 'horses'], /accepted: companies, sites/], [['bench', 'walk'], /accepted: vrptw, week/], [['together'], /give a file, or --site/], [['catch-up', '--hours', '0'], /--hours is '0'; accepted/], [['windows', tmpdir(), '--as-of', '2027-01-01'], /is a folder/],
    ] as const) expect(await run(...argv)).toMatchObject({ code: 2, out: '', err: expect.stringMatching(words) });
  });

  it('every act has help, with each of its options', async () => {
    for (const act of ACTS) {
      const said = await run(act.name, '--help');
      expect(said).toMatchObject({ code: 0, err: '' });
      for (const option of Object.keys(act.options)) expect(said.out).toContain(`--${option}`);
    }
  });

  it('lists the companies', async () => {
    expect(await runCommand(['list', 'companies'], terminal([]))).toEqual({ code: 0, out: 'one\tOne\tEurope/Madrid\n', err: '' });
  });

  it('a dry run previews only; otherwise the previewed file is read again and kept under the same id', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'cli-'));
    const file = join(folder, 'clients.csv');
    writeFileSync(file, 'key,name\nC-1,One\n');
    for (const [argv, modes] of [[['--dry-run'], ['preview']], [[], ['preview', 'keep']]] as const) {
      const seen: Record<string, unknown>[] = [];
      const said = await runCommand(['import', 'clients', file, ...argv], terminal(seen));
      expect(said).toMatchObject({ code: 0, err: '', out: expect.stringMatching(/clients\.csv: 1 rows read; 1 new/) });
      expect(seen.map((one) => [one['mode'], one['runId'], one['fileName'], one['kind']])).toEqual(modes.map((mode) => [mode, 'run-1', 'clients.csv', 'clients']));
    }
    rmSync(folder, { recursive: true });
  });
});

function terminal(seen: Record<string, unknown>[]): Terminal {
  const bulk = async (_act: unknown, _who: unknown, input: Record<string, unknown>) => {
    seen.push({ ...input, runId: 'run-1' });
    return { fileName: input['fileName'], rowsRead: 1, rowsNew: 1, rowsChanged: 0, rowsSame: 0, rowsHeld: 0, problems: [], problemsTotal: 0 };
  };
  return { perform: Object.assign(() => Promise.reject(new Error('not here')), { bulk }) as unknown as Terminal['perform'], companies: async () => [{ slug: 'one', name: 'One', timeZone: 'Europe/Madrid' }], house: async () => ({ companyId: 'c', userId: null, name: 'terminal', role: 'house', technicianId: null }), newId: () => '0190a000-0000-7000-8000-000000000001', now: () => new Date(0) };
}
