import { LIBRARY_CAUTION, type Programme } from '../programme.js';
import { ANNUAL, MEMORY, SEMIANNUAL, fireRule as rule } from './parts.js';

/** Carbon monoxide detection systems. */
export const carbonMonoxide: Programme = {
  key: 'carbon-monoxide', version: 1, title: 'Carbon monoxide detection: half-yearly look, yearly gas check, cell age',
  regime: { kind: 'standard', name: 'NFPA 720, in NFPA 72 since 2019', edition: 'adopted edition to be confirmed' },
  systemKinds: ['co', 'fire'], caution: LIBRARY_CAUTION, source: 'NFPA 720 and NFPA 72; the provenance of each row stands beside it', checkedOn: null,
  rules: [
    rule({ key: 'visual', title: 'Carbon monoxide detectors (visual)', subject: 'system', applies: { withDeviceKinds: ['co'] }, cadence: SEMIANNUAL, checkKinds: ['visual-inspection'], minutes: 5, source: { clause: 'NFPA 72 Table 14.3.1', provenance: MEMORY } }),
    rule({ key: 'functional', title: 'Carbon monoxide detector: gas or the maker\'s method', subject: 'device', applies: { deviceKinds: ['co'] }, cadence: ANNUAL, checkKinds: ['co-functional'], minutes: 5, by: 'licensed', licences: ['fire-alarm'], source: { clause: 'NFPA 720, yearly functional check', provenance: MEMORY } }),
    rule({ key: 'cell-age', title: 'Carbon monoxide cell at its end of life', subject: 'device', applies: { deviceKinds: ['co'] }, cadence: { kind: 'age', years: 7, early: { months: 6 }, late: { days: 0 } }, basis: 'manufacture', checkKinds: ['end-of-life-date'], minutes: 10, source: { clause: 'the marking or signal wins; typically 5 to 10 years', provenance: `${MEMORY}. 7 years: company rule` } }),
    rule({ key: 'battery', title: 'Standby battery on load', subject: 'battery', applies: { batteriesOf: 'system' }, cadence: SEMIANNUAL, checkKinds: ['battery-on-load'], minutes: 10, source: { clause: 'as for fire systems', provenance: 'company rule' } }),
  ],
};
