import { judge } from '@bellround/acceptance';
import { checkDefinition } from '@bellround/programmes';
import { describe, expect, it } from 'vitest';
import { checkFactsOf, companyRules, type Installed, type Subject } from './installed.js';

const past = [['2025-03-03', -78], ['2025-09-01', -82], ['2026-03-02', -86]].map(([performedOn, number]) => ({ subjectId: 'r1', checkKind: 'receiver-noise', performedOn: performedOn as string, key: 'noiseDbm', number: number as number }));
const at = {
  site: { sleepingRisk: false }, systems: [{ id: 's1', kind: 'intrusion', accountId: null, controlUnit: null }], batteries: [], paths: [], accounts: [], rules: companyRules({}),
  devices: [{ id: 'r1', systemId: 's1', kind: 'radio-module', link: 'wired', madeOnState: 'not-asked', madeOn: null, installedOn: null, firstSeenOn: null }],
  drops: new Map(),
  past: new Map([['r1', [...past, { ...past[0]!, checkKind: 'receiver-self-test', key: 'levelDbm', number: -60 }]]]),
} as unknown as Installed;
const receiver: Subject = { kind: 'device', id: 'r1', name: 'Receiver', room: null, systemId: 's1', systemKind: 'intrusion', deviceKind: 'radio-module', link: 'wired', accountId: null };

describe('what is known of a subject', () => {
  it('its earlier numbers, told apart by check, so that their trend is told with the new one', () => {
    const facts = checkFactsOf(at, receiver);
    expect(facts).toMatchObject({ systemKind: 'intrusion', series: { 'receiver-noise/noiseDbm': past.map(({ performedOn, number }) => ({ on: performedOn, value: number })), 'receiver-self-test/levelDbm': [{ value: -60 }] } });
    const rising = checkFactsOf({ ...at, past: new Map([['r1', past.map((one, i) => ({ ...one, number: -98 + i * 1 }))]]) }, receiver);
    const judged = judge(checkDefinition('receiver-noise')!, { noiseDbm: -95.4 }, rising, '2026-09-01');
    expect(judged).toMatchObject({ verdict: 'pass', findings: [{ code: 'trend' }] });
    expect(judged.notes.join(' ')).toMatch(/rises by .* dBm a year over 4 dates .* meets its limit, at most -95 dBm, about 202/);
  });
  it('nothing earlier gives no history', () => expect(checkFactsOf({ ...at, past: new Map() }, receiver)).not.toHaveProperty('series'));
});
