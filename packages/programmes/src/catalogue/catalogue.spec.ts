import { judge, type CheckDefinition } from '@bellround/acceptance';
import { describe, expect, it } from 'vitest';
import { catalogue, catalogueProblems, checkDefinition, quickSet } from './index.js';

const keys = [
  'mains-supply', 'supply-voltage', 'battery-on-load', 'enclosure-tamper', 'set-unset', 'indicators-keys', 'image-capture', 'firmware-currency',
  'sounder-level', 'transmission-path', 'path-changeover', 'receiver-self-test', 'wireless-margin', 'detector-actuation', 'mesh-delivery', 'mesh-hops',
  'mesh-repeater', 'acoustic-response', 'background-sound', 'periodic-signal', 'smoke-functional', 'smoke-sensitivity', 'heat-functional', 'co-functional',
  'end-of-life-date', 'call-point', 'waterflow', 'valve-supervisory', 'door-release', 'hold-up', 'event-log-review', 'visual-inspection',
  'user-confidence', 'as-fitted-record', 'restore-normal',
  'charge-voltage', 'mains-loss-report', 'path-supervision', 'keypad-duress', 'personal-transmitter', 'key-switch', 'remote-annunciator', 'user-list-review', 'zone-list-review', 'environmental-sensor',
  'beam-alignment', 'device-tamper', 'device-cell', 'radio-supervision', 'receiver-noise', 'smoke-beam', 'visual-alarm', 'alarm-pattern', 'fire-outputs', 'circuit-supervision', 'false-alarm-rate',
];

describe('the check catalogue', () => {
  it('holds exactly the agreed kinds of check', () => expect(catalogue.map((d) => d.key).toSorted()).toEqual(keys.toSorted()));

  it('is complete: every limit has a source, every hold and sound its caution', () => expect(catalogueProblems(catalogue)).toEqual([]));

  it('survives JSON unchanged, as the phone receives it', () => expect(JSON.parse(JSON.stringify(catalogue))).toEqual(catalogue));

  it.each(catalogue.map((d) => [d.key, d] as const))('%s: nothing read is never good, and an unknown reading is refused', (_, definition) => {
    expect(judge(definition, {}, {}, '2027-03-01').verdict).toBe('not-enough-data');
    expect(judge(definition, { invented: true }, {}, '2027-03-01').notes.join()).toContain("no reading 'invented'");
  });

  it('the quick set needs no activation, hold or sound', () => {
    expect(quickSet.map((d) => d.key).toSorted()).toEqual([
      'as-fitted-record', 'background-sound', 'charge-voltage', 'device-cell', 'end-of-life-date', 'event-log-review', 'false-alarm-rate', 'firmware-currency', 'image-capture', 'indicators-keys', 'mains-supply', 'mesh-delivery',
      'mesh-hops', 'mesh-repeater', 'periodic-signal', 'receiver-noise', 'receiver-self-test', 'remote-annunciator', 'supply-voltage', 'user-confidence', 'user-list-review', 'visual-inspection', 'wireless-margin', 'zone-list-review',
    ]);
  });

  it.each<[string, (d: CheckDefinition) => CheckDefinition, string]>([
    ['a limit without source', (d) => ({ ...d, limits: [{ ...d.limits[0]!, source: { text: '', provenance: '' } }] }), 'has no source'],
    ['a limit on no reading', (d) => ({ ...d, limits: [{ ...d.limits[0]!, reading: 'colour' }] }), 'which is no reading'],
    ['a hold without caution', (d) => ({ ...d, cautions: [] }), 'has no caution'],
    ['no reading', (d) => ({ ...d, readings: [] }), 'no reading'],
    ['an excluded check that does not exist', (d) => ({ ...d, excludes: ['nowhere'] }), "names 'nowhere'"],
    ['no limit', (d) => ({ ...d, limits: [] }), 'no limit'],
    ['an activation expecting nothing', (d) => ({ ...d, expectedResponses: [] }), 'expects no response'],
    ['after itself', (d) => ({ ...d, after: [d.key] }), 'after itself'],
  ])('refuses %s', (_, spoil, words) => {
    const sound = checkDefinition('sounder-level')!;
    expect(catalogueProblems(catalogue.map((d) => (d.key === sound.key ? spoil(d) : d))).join(' ')).toContain(words);
  });
});
