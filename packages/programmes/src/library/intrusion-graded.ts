import type { Cadence } from '@bellround/recurrence';
import { LIBRARY_CAUTION, type Programme, type Rule } from '../programme.js';
import { COMMON, COMPANY, intrusionRule as rule } from './parts.js';

/** Two visits a year: 4 to 7 months apart, nominally 6. The tolerance is a company rule. */
const HALF_YEARLY: Cadence = { kind: 'since-last', min: { months: 4 }, nominal: { months: 6 }, max: { months: 7 } };
/** Once a year: 10 to 13 months after the last. The tolerance is a company rule. */
const YEARLY: Cadence = { kind: 'since-last', min: { months: 10 }, nominal: { months: 12 }, max: { months: 13 } };

const VISITS = 'SEEN-U: notes whose author says they were not checked against the book (two visits a year when remotely signalled, one when audible only); other pages differ, so clone and set it. Tolerance: company rule';
const SITE_LIST = 'SEEN-R: page on frequency and content of maintenance visits under PD 6662, list of the site visit. Tolerance: company rule';
const REMOTE_LIST = 'SEEN-R: the same page, list of the remote visit. Tolerance: company rule';
const FREQUENCY = 'EN 50131-7 and BS 9263, maintenance: frequency of visits';
const CONTENT = 'EN 50131-7 and BS 9263, maintenance: content of a visit';

const DETECTORS = ['contact', 'motion', 'beam', 'vibration'] as const;

function siteRules(): Rule[] {
  return [
    rule({ key: 'look-round', title: 'Site visit: look round', subject: 'system', cadence: YEARLY, checkKinds: ['visual-inspection'], minutes: 10, source: { clause: CONTENT, provenance: SITE_LIST } }),
    rule({ key: 'site-record', title: 'Site visit: as-fitted record and user confidence', subject: 'site', cadence: YEARLY, checkKinds: ['as-fitted-record', 'user-confidence'], meets: 'all', minutes: 10, source: { clause: CONTENT, provenance: SITE_LIST } }),
    rule({ key: 'tamper', title: 'Enclosure tamper reports', subject: 'system', cadence: YEARLY, checkKinds: ['enclosure-tamper'], minutes: 3, source: { clause: CONTENT, provenance: SITE_LIST } }),
    rule({ key: 'set-unset', title: 'Set and unset, entry and exit', subject: 'system', cadence: YEARLY, checkKinds: ['set-unset'], minutes: 5, source: { clause: CONTENT, provenance: SITE_LIST } }),
    rule({ key: 'indicators', title: 'Indicators and keys', subject: 'system', cadence: YEARLY, checkKinds: ['indicators-keys'], minutes: 3, source: { clause: CONTENT, provenance: SITE_LIST } }),
    rule({ key: 'detector', title: 'Detector works, each one', subject: 'device', applies: { deviceKinds: [...DETECTORS] }, cadence: YEARLY, checkKinds: ['detector-actuation'], minutes: 2, source: { clause: CONTENT, provenance: SITE_LIST } }),
    rule({ key: 'acoustic', title: 'Acoustic glass-break detector answers a simulator', subject: 'device', applies: { deviceKinds: ['glass-break'] }, cadence: YEARLY, checkKinds: ['acoustic-response'], minutes: 5, source: { clause: 'equipment handbook practice: at installation and yearly', provenance: 'SEEN-R: equipment handbook (name withheld); a hand clap is a quick look only' } }),
    rule({ key: 'hold-up', title: 'Hold-up device, each one', subject: 'device', applies: { deviceKinds: ['hold-up', 'duress'] }, cadence: YEARLY, checkKinds: ['hold-up'], minutes: 4, source: { clause: CONTENT, provenance: SITE_LIST } }),
    rule({ key: 'sounder', title: 'Sounder level', subject: 'device', applies: { deviceKinds: ['sounder'] }, cadence: YEARLY, checkKinds: ['sounder-level'], minutes: 3, source: { clause: CONTENT, provenance: SITE_LIST } }),
    rule({ key: 'radio-margin', title: 'Radio margin of each wireless device', subject: 'device', applies: { links: ['wireless'] }, cadence: YEARLY, checkKinds: ['wireless-margin'], mandated: false, minutes: 2, source: { clause: 'company practice', provenance: COMPANY } }),
    rule({ key: 'receiver', title: 'Receiver module answers', subject: 'device', applies: { deviceKinds: ['radio-module'] }, cadence: YEARLY, checkKinds: ['receiver-self-test'], mandated: false, minutes: 2, source: { clause: 'company practice', provenance: COMPANY } }),
    rule({ key: 'battery', title: 'Standby battery on load', subject: 'battery', applies: { batteriesOf: 'system' }, cadence: YEARLY, checkKinds: ['battery-on-load'], minutes: 10, source: { clause: CONTENT, provenance: SITE_LIST } }),
    rule({ key: 'battery-age', title: 'Standby battery reaches its replacement age', subject: 'battery', applies: { batteriesOf: 'system' }, cadence: { kind: 'age', years: 5, early: { months: 6 }, late: { days: 0 } }, basis: 'manufacture', checkKinds: ['battery-on-load'], mandated: false, minutes: 10, source: { clause: 'replacement age of standby batteries, 3 to 5 years', provenance: 'SEEN-R: several pages; 4 and 5 year rules both seen. Company rule: 5' } }),
  ];
}

const systemChecks = (cadence: Cadence): Rule[] => [
  rule({ key: 'event-log', title: 'Event log looked through', subject: 'system', cadence, checkKinds: ['event-log-review'], remotely: true, minutes: 5, source: { clause: CONTENT, provenance: REMOTE_LIST } }),
  rule({ key: 'mains', title: 'Mains supply present', subject: 'system', cadence, checkKinds: ['mains-supply'], remotely: true, minutes: 2, source: { clause: CONTENT, provenance: REMOTE_LIST } }),
  rule({ key: 'supply-voltage', title: 'Supply voltage at the terminals', subject: 'system', cadence: YEARLY, checkKinds: ['supply-voltage'], minutes: 3, source: { clause: CONTENT, provenance: SITE_LIST } }),
];

/** Intrusion, remotely signalled: two looks a year, one of which may be remote. */
export const intrusionMonitored: Programme = {
  key: 'intrusion-graded-monitored', version: 1, title: 'Intrusion, graded, remotely signalled: two visits a year',
  regime: { kind: 'standard', name: 'EN 50131-7, PD 6662 and BS 9263', edition: 'edition to be confirmed' },
  systemKinds: ['intrusion', 'panic'], caution: LIBRARY_CAUTION, source: `Frequency: ${VISITS}`, checkedOn: null,
  rules: [
    ...systemChecks(HALF_YEARLY),
    rule({ key: 'path', title: 'Each transmission path heard at the station', subject: 'path', cadence: HALF_YEARLY, checkKinds: ['transmission-path'], minEvidence: 'B', minutes: 6, source: { clause: FREQUENCY, provenance: VISITS } }),
    rule({ key: 'path-changeover', title: 'One path cut, the other carries', subject: 'system', applies: { minPaths: 2 }, cadence: YEARLY, checkKinds: ['path-changeover'], minutes: 10, source: { clause: CONTENT, provenance: SITE_LIST } }),
    rule({ key: 'periodic-signal', title: 'Periodic signal arrives from each path', subject: 'path', cadence: { kind: 'once-per', period: 'month', minGapDays: 0 }, checkKinds: ['periodic-signal'], remotely: true, mandated: false, minutes: 0, source: { clause: 'company practice', provenance: COMMON } }),
    ...siteRules(),
  ],
};

/** Intrusion, audible only: one visit a year. */
export const intrusionAudible: Programme = {
  key: 'intrusion-graded-audible', version: 1, title: 'Intrusion, graded, audible only: one visit a year',
  regime: { kind: 'standard', name: 'EN 50131-7, PD 6662 and BS 9263', edition: 'edition to be confirmed' },
  systemKinds: ['intrusion'], caution: LIBRARY_CAUTION, source: `Frequency: ${VISITS}`, checkedOn: null,
  rules: [...systemChecks(YEARLY), ...siteRules()],
};

/** Intrusion on a certificate: the owner's contract decides the interval; yearly is the usual one. */
export const intrusionCertificated: Programme = {
  key: 'intrusion-certificated', version: 1, title: 'Intrusion on a certificate: yearly inspection',
  regime: { kind: 'contract', name: 'UL 681 and NFPA 731 chapter 10', edition: 'edition to be confirmed' },
  systemKinds: ['intrusion', 'panic'], caution: LIBRARY_CAUTION,
  source: 'UL 681 periodic inspection, often yearly: from memory. NFPA 731 chapter 10 lays testing on owner, user or provider, delegated by written contract: SEEN-P, sample of 10.1.1 to 10.1.4. Its intervals for each item were not found.', checkedOn: null,
  rules: [
    ...systemChecks(YEARLY),
    rule({ key: 'path', title: 'Each transmission path heard at the station', subject: 'path', cadence: YEARLY, checkKinds: ['transmission-path'], minutes: 6, source: { clause: 'UL 681, periodic inspection', provenance: 'from memory: verify against your adopted edition' } }),
    ...siteRules(),
  ],
};
