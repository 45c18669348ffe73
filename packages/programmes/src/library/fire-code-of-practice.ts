import type { Cadence } from '@bellround/recurrence';
import { LIBRARY_CAUTION, type Programme, type Rule } from '../programme.js';
import { MEMORY, WEEKLY, fireRule as rule, within } from './parts.js';

const VISIT_LIST = 'SEEN-R: page "Six monthly inspection"';
const TWELVE = within({ months: 9 }, { months: 12 });
const ALL_DEVICES = 'SEEN-R: all devices once in 12 months; 25 % at each of four visits from memory. Early edge: company rule';

/** The service visit's list, with the interval of the edition. */
const visit = (cadence: Cadence, clause: string, provenance: string): Rule[] => [
  rule({ key: 'service-visit', title: 'Service visit: logbook, building changes, false-alarm record', subject: 'system', cadence, checkKinds: ['visual-inspection', 'event-log-review'], meets: 'all', minutes: 30, source: { clause, provenance } }),
  rule({ key: 'service-indicators', title: 'Service visit: indicators', subject: 'system', cadence, checkKinds: ['indicators-keys'], minutes: 5, source: { clause, provenance: VISIT_LIST } }),
  rule({ key: 'service-mains', title: 'Service visit: mains supply', subject: 'system', cadence, checkKinds: ['mains-supply'], minutes: 3, source: { clause, provenance: VISIT_LIST } }),
  rule({ key: 'service-battery', title: 'Service visit: battery on load', subject: 'battery', applies: { batteriesOf: 'system' }, cadence, checkKinds: ['battery-on-load'], minutes: 10, source: { clause, provenance: VISIT_LIST } }),
  rule({ key: 'service-path', title: 'Service visit: signal to the station, each path', subject: 'path', cadence, checkKinds: ['transmission-path'], minutes: 6, source: { clause, provenance: MEMORY } }),
];

const rest: Rule[] = [
  rule({ key: 'weekly-user', sounds: true, title: 'Weekly: one call point, a different one each week', subject: 'site', cadence: WEEKLY, checkKinds: ['user-confidence'], by: 'occupant', minEvidence: 'C', skills: [], minutes: 1, reminderStagesDays: [2], source: { clause: 'BS 5839-1 clause 44', provenance: 'SEEN-R: forum summary' } }),
  rule({ key: 'devices-smoke', title: 'Smoke detector, within 12 months', subject: 'device', applies: { deviceKinds: ['smoke', 'duct-smoke'] }, cadence: TWELVE, checkKinds: ['smoke-functional'], minutes: 4, source: { clause: 'BS 5839-1 clause 45, all devices in 12 months', provenance: ALL_DEVICES } }),
  rule({ key: 'devices-heat', title: 'Heat detector, within 12 months', subject: 'device', applies: { deviceKinds: ['heat'] }, cadence: TWELVE, checkKinds: ['heat-functional'], minutes: 4, source: { clause: 'BS 5839-1 clause 45, all devices in 12 months', provenance: ALL_DEVICES } }),
  rule({ key: 'devices-call-point', title: 'Call point, within 12 months', subject: 'device', applies: { deviceKinds: ['call-point'] }, cadence: TWELVE, checkKinds: ['call-point'], minutes: 3, source: { clause: 'BS 5839-1 clause 45, all devices in 12 months', provenance: ALL_DEVICES } }),
  rule({ key: 'devices-sounder', title: 'Sounder, within 12 months', subject: 'device', applies: { deviceKinds: ['sounder'] }, cadence: TWELVE, checkKinds: ['sounder-level'], minutes: 3, source: { clause: 'BS 5839-1 clause 45, all devices in 12 months', provenance: ALL_DEVICES } }),
  rule({ key: 'detectors-share', title: 'A quarter of the detectors each quarter, all within the year', subject: 'system', applies: { deviceKinds: ['smoke', 'heat', 'duct-smoke'] }, cadence: { kind: 'share', period: 'quarter', numerator: 1, denominator: 4 }, checkKinds: ['smoke-functional', 'heat-functional'], mandated: false, minutes: 4, source: { clause: 'BS 5839-1 clause 45, share at quarterly visits', provenance: MEMORY } }),
  rule({ key: 'battery-age', title: 'Standby battery at 4 years', subject: 'battery', applies: { batteriesOf: 'system' }, cadence: { kind: 'age', years: 4, early: { months: 6 }, late: { days: 0 } }, basis: 'manufacture', checkKinds: ['battery-on-load'], mandated: false, minutes: 10, source: { clause: 'BS 5839-1, design life of at least 4 years and a visible date label', provenance: 'SEEN-R: fire forum. Replacing at 4 years: company rule' } }),
];

const base = {
  systemKinds: ['fire'] as Programme['systemKinds'], caution: LIBRARY_CAUTION, checkedOn: null,
  source: 'BS 5839-1 clauses 44 and 45; the provenance of each row stands beside it',
};

/** Fire by the British code of practice, 2017: no more than six months between visits. */
export const fireCodeOfPractice2017: Programme = {
  ...base, key: 'fire-code-of-practice-2017', version: 1, title: 'Fire, code of practice: visits at most 6 months apart',
  regime: { kind: 'standard', name: 'BS 5839-1', edition: '2017' },
  rules: [...visit(within({ months: 4 }, { months: 6 }), 'BS 5839-1:2017 45.3', 'SEEN-P: text of 45.3, period between visits not over 6 months. Early edge: company rule'), ...rest],
};

/** Fire by the British code of practice, 2025: visits five to seven months apart. */
export const fireCodeOfPractice2025: Programme = {
  ...base, key: 'fire-code-of-practice-2025', version: 1, title: 'Fire, code of practice: visits 5 to 7 months apart',
  regime: { kind: 'standard', name: 'BS 5839-1', edition: '2025' },
  rules: [...visit({ kind: 'since-last', min: { months: 5 }, nominal: { months: 6 }, max: { months: 7 } }, 'BS 5839-1:2025, visits', 'SEEN-R: IET Wiring Matters, November 2025, part 2'), ...rest],
};
