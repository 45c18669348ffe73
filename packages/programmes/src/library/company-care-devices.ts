import type { Cadence } from '@bellround/recurrence';
import { LIBRARY_CAUTION, type Programme, type Rule } from '../programme.js';
import { COMPANY, fireRule, rule } from './parts.js';

const YEARLY: Cadence = { kind: 'since-last', min: { months: 10 }, nominal: { months: 12 }, max: { months: 13 } };
const source = { clause: 'company practice', provenance: COMPANY };

type Given = Partial<Rule> & Pick<Rule, 'subject' | 'minutes'>;
const yearly = (make: typeof rule, key: string, title: string, checkKind: string, given: Given): Rule => make({ key, title, cadence: YEARLY, checkKinds: [checkKind], mandated: false, source, ...given });
const care = (key: string, title: string, checkKind: string, given: Given): Rule => yearly(rule, key, title, checkKind, given);
const fire = (key: string, title: string, checkKind: string, given: Given): Rule => yearly(fireRule, key, title, checkKind, given);

/** What a careful company adds on intrusion and panic systems: ways to call and to set, wireless cells, receivers, users, lists. */
export const companyCareDevices: Programme = {
  key: 'company-care-devices', version: 1, title: 'Company rule: keypads, transmitters, cells, receivers, users and lists yearly',
  regime: { kind: 'company', name: 'Company rule', edition: '' },
  systemKinds: ['intrusion', 'panic'], caution: LIBRARY_CAUTION, source: 'Company rule; no standard is claimed', checkedOn: null,
  rules: [
    care('keypad-duress', 'Duress code heard at the station', 'keypad-duress', { subject: 'device', applies: { deviceKinds: ['keypad'] }, minutes: 4 }),
    care('transmitter', 'Panic or medical transmitter from its farthest place', 'personal-transmitter', { subject: 'device', applies: { deviceKinds: ['hold-up', 'medical'], links: ['wireless'] }, minutes: 5 }),
    care('key-switch', 'Key-switch sets and unsets', 'key-switch', { subject: 'device', applies: { deviceKinds: ['key-switch'] }, minutes: 4 }),
    care('annunciator', 'Remote annunciator shows the same', 'remote-annunciator', { subject: 'device', applies: { deviceKinds: ['annunciator'] }, minutes: 4 }),
    care('beam', 'Beam blocked at both ends and in the middle', 'beam-alignment', { subject: 'device', applies: { deviceKinds: ['beam'] }, minutes: 8 }),
    care('background', 'Background sound of a room with an acoustic detector', 'background-sound', { subject: 'device', applies: { deviceKinds: ['glass-break'] }, minutes: 3 }),
    care('device-tamper', 'Tamper contact of expanders, supplies and sounders', 'device-tamper', { subject: 'device', applies: { deviceKinds: ['expander', 'power-supply', 'sounder'] }, minutes: 2 }),
    care('cell', 'Cell of each wireless device', 'device-cell', { subject: 'device', applies: { links: ['wireless'] }, minutes: 2 }),
    care('radio-loss', 'Loss of a wireless device is noticed', 'radio-supervision', { subject: 'device', applies: { deviceKinds: ['repeater'], links: ['wireless'] }, minutes: 5 }),
    care('receiver-noise', 'Noise at each radio receiver', 'receiver-noise', { subject: 'device', applies: { deviceKinds: ['radio-module'] }, minutes: 2 }),
    care('charge', 'Charge voltage of the standby battery', 'charge-voltage', { subject: 'battery', applies: { batteriesOf: 'system' }, minutes: 3 }),
    care('mains-report', 'Mains loss is reported', 'mains-loss-report', { subject: 'system', minutes: 4 }),
    care('path-loss', 'Loss of a path is noticed', 'path-supervision', { subject: 'path', minutes: 6 }),
    care('users', 'Users and call list reviewed', 'user-list-review', { subject: 'system', minutes: 5 }),
    care('zone-lists', 'Zone lists of control unit, company and station agree', 'zone-list-review', { subject: 'system', minutes: 8 }),
    care('false-alarms', 'False alarms counted', 'false-alarm-rate', { subject: 'system', remotely: true, minutes: 3 }),
    care('wires', 'A broken wire is noticed', 'circuit-supervision', { subject: 'system', minutes: 6 }),
  ],
};

/** What a careful company adds on fire systems: what is heard, seen and moved, broken wires, false alarms, lists. */
export const companyCareFire: Programme = {
  key: 'company-care-fire', version: 1, title: 'Company rule: fire signals, outputs, broken wires and lists yearly',
  regime: { kind: 'company', name: 'Company rule', edition: '' },
  systemKinds: ['fire'], caution: LIBRARY_CAUTION, source: 'Company rule; no standard is claimed', checkedOn: null,
  rules: [
    fire('smoke-beam', 'Smoke beam by its filter', 'smoke-beam', { subject: 'device', applies: { deviceKinds: ['beam'] }, minutes: 8 }),
    fire('visual', 'Visual alarm seen from where people are', 'visual-alarm', { subject: 'device', applies: { deviceKinds: ['visual-alarm'] }, minutes: 3 }),
    fire('pattern', 'Alarm sound is the one the site expects', 'alarm-pattern', { subject: 'device', applies: { deviceKinds: ['sounder'] }, minutes: 2 }),
    fire('outputs', 'Fire outputs do what the plan says', 'fire-outputs', { subject: 'system', minutes: 15 }),
    fire('wires', 'A broken wire is noticed', 'circuit-supervision', { subject: 'system', minutes: 6 }),
    fire('false-alarms', 'False alarms against the number of detectors', 'false-alarm-rate', { subject: 'system', remotely: true, minutes: 3 }),
    fire('charge', 'Charge voltage of the standby battery', 'charge-voltage', { subject: 'battery', applies: { batteriesOf: 'system' }, minutes: 3 }),
    fire('mains-report', 'Mains loss is reported', 'mains-loss-report', { subject: 'system', minutes: 4 }),
    fire('path-loss', 'Loss of a path is noticed', 'path-supervision', { subject: 'path', minutes: 6 }),
    fire('annunciator', 'Remote annunciator shows the same', 'remote-annunciator', { subject: 'device', applies: { deviceKinds: ['annunciator'] }, minutes: 4 }),
    fire('zone-lists', 'Zone lists of control unit, company and station agree', 'zone-list-review', { subject: 'system', minutes: 8 }),
  ],
};
