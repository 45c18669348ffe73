import { LIBRARY_CAUTION, type Programme } from '../programme.js';
import { MEMORY, MONTHLY, fireRule, rule } from './parts.js';

/** Household monitored systems: what the occupant does, what the path does by itself, what ages. */
export const householdMonitored: Programme = {
  key: 'household-monitored', version: 1, title: 'Household monitored system: monthly signal, occupant\'s monthly check, ten-year alarms',
  regime: { kind: 'standard', name: 'NFPA 72, household systems', edition: '2007 and later; adopted edition to be confirmed' },
  systemKinds: ['fire', 'co'], caution: LIBRARY_CAUTION, source: 'The provenance of each row stands beside it. A check by a contractor every 3 years was looked for and not found, so it is no duty here.', checkedOn: null,
  rules: [
    rule({ key: 'monthly-signal', title: 'Automatic signal from each path at least once a month', subject: 'path', applies: { monitored: true }, cadence: MONTHLY, checkKinds: ['periodic-signal'], remotely: true, minutes: 0, reminderStagesDays: [7], source: { clause: 'NFPA 72-2007 11.7.8(6): any other signal in the month counts; a missing one is a trouble to act on', provenance: 'SEEN-P: Texas State Fire Marshal notice, May 2014, quoting it' } }),
    rule({ key: 'occupant-monthly', title: 'Occupant tries each alarm once a month', subject: 'device', applies: { deviceKinds: ['smoke', 'co'] }, cadence: MONTHLY, checkKinds: ['smoke-functional', 'co-functional'], by: 'occupant', minEvidence: 'C', mandated: false, minutes: 1, reminderStagesDays: [7], source: { clause: 'NFPA 72, single and multiple station alarms: occupant, at least monthly', provenance: 'SEEN-R: licensing-exam pages' } }),
    fireRule({ key: 'smoke-alarm-age', title: 'Smoke alarm replaced within 10 years of manufacture', subject: 'device', applies: { deviceKinds: ['smoke'] }, cadence: { kind: 'age', years: 10, early: { months: 6 }, late: { days: 0 } }, basis: 'manufacture', checkKinds: ['end-of-life-date'], minutes: 10, source: { clause: 'NFPA 72 29.10.1 (alarms of UL 217, not system detectors of UL 268)', provenance: 'SEEN-R: page quoting 29.10.1. Planned 6 months early: company rule' } }),
    fireRule({ key: 'co-alarm-age', title: 'Carbon monoxide alarm at its end of life', subject: 'device', applies: { deviceKinds: ['co'] }, cadence: { kind: 'age', years: 7, early: { months: 6 }, late: { days: 0 } }, basis: 'manufacture', checkKinds: ['end-of-life-date'], minutes: 10, source: { clause: 'the marking or signal on the alarm wins; typically 5 to 10 years', provenance: `${MEMORY}. 7 years: company rule` } }),
  ],
};
