import type { Cadence } from '@bellround/recurrence';
import { LIBRARY_CAUTION, type Programme } from '../programme.js';
import { COMPANY, rule } from './parts.js';

const YEARLY: Cadence = { kind: 'since-last', min: { months: 10 }, nominal: { months: 12 }, max: { months: 13 } };
const source = { clause: 'company practice', provenance: COMPANY };

/** What no standard asks for and a careful company does: environmental sensors, panic and medical, home-automation links. */
export const companyCare: Programme = {
  key: 'company-care', version: 2, title: 'Company rule: environmental, panic and home-automation devices yearly',
  regime: { kind: 'company', name: 'Company rule', edition: '' },
  systemKinds: ['environmental', 'panic', 'intrusion', 'co'], caution: LIBRARY_CAUTION, source: 'Company rule; no standard is claimed', checkedOn: null,
  rules: [
    rule({ key: 'environmental', title: 'Flood, temperature or gas sensor works', subject: 'device', applies: { deviceKinds: ['flood', 'temperature', 'gas', 'sound-level'] }, cadence: YEARLY, checkKinds: ['detector-actuation', 'environmental-sensor'], mandated: false, minutes: 3, source }),
    rule({ key: 'medical', title: 'Medical call device heard at the station', subject: 'device', applies: { deviceKinds: ['medical'] }, cadence: YEARLY, checkKinds: ['hold-up', 'personal-transmitter'], mandated: false, minutes: 4, source }),
    rule({ key: 'mesh-delivery', title: 'Home-automation device answers', subject: 'device', applies: { links: ['mesh'] }, cadence: YEARLY, checkKinds: ['mesh-delivery', 'mesh-hops'], mandated: false, minutes: 3, source }),
    rule({ key: 'repeater', title: 'Repeater link', subject: 'device', applies: { deviceKinds: ['repeater'] }, cadence: YEARLY, checkKinds: ['mesh-repeater'], mandated: false, minutes: 3, source }),
    rule({ key: 'camera', title: 'Usable picture', subject: 'device', applies: { deviceKinds: ['camera'] }, cadence: YEARLY, checkKinds: ['image-capture'], mandated: false, minutes: 3, source }),
    rule({ key: 'firmware', title: 'Control unit firmware is on the approved list', subject: 'system', cadence: YEARLY, checkKinds: ['firmware-currency'], remotely: true, mandated: false, minutes: 3, source }),
  ],
};
