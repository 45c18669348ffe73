import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { Terminal } from './act.js';
import { runCommand } from './command-line.js';

const none = () => Promise.reject(new Error('no database here'));
const closed: Terminal = { perform: Object.assign(none, { bulk: none }) as unknown as Terminal['perform'], companies: none, house: none, newId: () => '0190a000-0000-7000-8000-000000000001', now: () => new Date(0) };
const run = (...argv: string[]) => runCommand(argv, closed);
const folder = mkdtempSync(join(tmpdir(), 'bellround-'));
afterAll(() => rmSync(folder, { recursive: true }));
const facts = (name: string, what: unknown): string => {
  writeFileSync(join(folder, name), JSON.stringify(what));
  return join(folder, name);
};

describe('checks', () => {
  it('lists all and the quick set; shows one with its cautions before its steps', async () => {
    expect((await run('checks')).out).toContain('battery-on-load');
    expect((await run('checks', '--quick')).out).not.toContain('battery-on-load');
    const one = (await run('checks', 'keypad-duress')).out;
    expect(one.indexOf('CAUTION')).toBeLessThan(one.indexOf('\n1. '));
    expect(one).toContain('Local codes and licensed practice prevail.');
    expect(one).toContain('meets: Duress code heard at the station');
    expect(await run('checks', 'dance')).toMatchObject({ code: 1, err: expect.stringContaining('is no check of the catalogue') });
  });
});

describe('judge', () => {
  // Scenario 11: 0.45 A x 24 h, 1.9 A x 0.5 h, x 1.25 = 14.69 Ah; 83 % of 17 Ah = 14.11 Ah.
  const site = facts('battery.json', { battery: { chemistry: 'lead-acid-sealed', nominalMv: 12_000, ratedMah: 17_000, madeOn: '2025-01-10' }, load: { standbyMa: 450, alarmMa: 1900, standbyH: 24, alarmMin: 30, allowance: 1.25 } });
  it('scenario 11 at the terminal: fails by 0.58 Ah although 83 % is above the rule', async () => {
    const said = await run('judge', 'battery-on-load', '--on', '2027-03-01', '--reading', 'capacityPct=83', '--facts', site);
    expect(said.code).toBe(1);
    for (const words of ['fail: Has 14.11 Ah', '14.69 Ah', 'fails by 0.58 Ah although 83 % is above the 80 % rule', 'margin -0.5775 Ah', 'Short by 0.58 Ah, most of it asked by the standby load']) expect(said.out).toContain(words);
  });
  it('two readings, cable and its hint; what is missing and who can supply it', async () => {
    const supply = facts('supply.json', { supply: { ratedMv: 24_000 } });
    expect((await run('judge', 'supply-voltage', '--on', '2027-03-01', '--reading', 'volts=21.7', '--reading', 'loadState=alarm', '--reading', 'wire=awg-18-7-strand', '--reading', 'wireLengthM=91.44', '--reading', 'wireCurrentMa=500', '--facts', supply)).out).toContain('explained by the cable');
    expect((await run('judge', 'transmission-path', '--on', '2027-03-01', '--reading', 'receivedAtStation=yes')).out).toContain('missing, from the station: Ask the station, or read its history: seconds from sending to the station.');
  });
  it.each([
    [['judge', 'battery-on-load', '--on', '2027-03-01', '--reading', 'volume=3'], 1, "has no reading 'volume'"], [['judge', 'battery-on-load', '--on', '2027-03-01', '--reading', 'voltsOn=500'], 1, 'cannot be believed'],
    [['judge', 'battery-on-load', '--on', 'today'], 2, 'accepted is a date'], [['judge', 'battery-on-load', '--on', '2027-03-01', '--reading', 'voltsOn=high'], 1, 'is not a number'],
  ])('%j is refused in words', async (argv, code, words) => expect(await run(...argv)).toMatchObject({ code, err: expect.stringContaining(words) }));
});
