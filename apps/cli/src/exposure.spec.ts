import { batteryForecastOf, listExposure } from '@bellround/operations';
import { describe, expect, it } from 'vitest';
import type { Terminal } from './act.js';
import { runCommand } from './command-line.js';

const row = { siteId: '0190a000-0000-7000-8000-000000000001', siteName: 'Harbour store', locality: null, score: 71.6, percentile: 90, exposureH: 40, exposurePerYearH: 312.25, mainCause: 'battery-age', mainShare: 0.6, reasons: ['battery 5.2 years at 31 °C: 61 % of the exposure'], missing: [], missingCount: 2, scoredOn: '2027-03-01' };
const answers = new Map<unknown, unknown>([
  [listExposure, { rows: [row], total: 3, causes: [] }],
  [batteryForecastOf, { from: '2027-03-01', months: ['2027-03-01', '2027-04-01'], inService: 9, undated: 1, modelVersion: 'm', ratings: [{ ratedMah: 7000, inService: 9, failedNow: 1, expected: [0.25, 0.5], upper: [1, 2], orderNow: 3 }], batteries: [] }],
]);
const asked: unknown[] = [];
const terminal = { perform: async (act: unknown, _who: unknown, input: unknown) => { asked.push(input); return answers.get(act); }, house: async () => ({}) } as unknown as Terminal;

describe('exposure at the terminal', () => {
  it('lists sites with their first reason, and says how to see more', async () => {
    const said = await runCommand(['exposure', '--cause', 'battery-age', '--limit', '1'], terminal);
    expect(said.out.split('\n')).toEqual([' 72     312.3 h a year  Harbour store: battery 5.2 years at 31 °C: 61 % of the exposure (2 values can\'t be told)', '... 1 of 3; --limit shows more', '']);
    expect(asked.at(-1)).toMatchObject({ cause: 'battery-age', limit: 1 });
  });

  it('refuses a cause that there is not, naming those there are', async () => {
    expect(await runCommand(['exposure', '--cause', 'moon'], terminal)).toMatchObject({ code: 2, err: expect.stringMatching(/--cause is 'moon'; accepted: silent-fault, battery-age/) });
  });

  it('says what to order, and refuses months that cannot be', async () => {
    expect((await runCommand(['batteries', '--months', '2'], terminal)).out).toContain('7 Ah: order 3 now (1 failed); expected by month 0.3 0.5; 9 in service');
    expect(await runCommand(['batteries', '--months', '99'], terminal)).toMatchObject({ code: 2 });
  });
});
