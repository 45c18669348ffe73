import { cautions } from './cautions.js';
import { atStation, check, commonPractice, companyRule, limit, mustBe, number, published, text, yesNo } from './shape.js';

const pd6662 = published('site check list', 'frequency and content of maintenance visits, PD 6662', 'SEEN-R');

export const visitChecks = [
  check({
    key: 'event-log-review', title: 'Event log review', subject: 'system', evidence: 'B', minutes: 5,
    readings: [yesNo('reviewed', 'Log read since the last visit'), number('falseAlarms', 'False alarms since the last visit', '', [0, 10_000, 1], false), number('unexplained', 'Faults not explained', '', [0, 10_000, 1])],
    limits: [
      mustBe('reviewed', pd6662),
      limit('unexplained', '<=', 0, '', commonPractice, 'marginal'),
      limit('falseAlarms', '<=', 2, '', published('3 in rolling 12 months may withdraw police response, 2 a warning', 'UK policy', 'SEEN-U'), 'marginal'),
    ],
    procedure: ['Before touching anything, read the log back to the last visit.', 'Note present faults, bypassed zones and the clock.', 'Ask about every entry nobody can explain.'],
    source: pd6662,
  }),
  check({
    key: 'visual-inspection', title: 'Visual inspection', subject: 'system', evidence: 'B', minutes: 10,
    readings: [
      yesNo('noChanges', 'Building and use unchanged'), yesNo('noObstruction', 'Nothing obstructs or covers devices'), yesNo('noDamage', 'No damage, dirt or corrosion'),
      number('clearanceMm', 'Least clear space around a detector', 'mm', [0, 10_000, 10], false), text('changes', 'What changed'),
    ],
    limits: [
      ...['noChanges', 'noObstruction', 'noDamage'].map((key) => mustBe(key, published('building, occupancy, environment, obstruction, damage, dirt; annual', 'NFPA 72-2013, table 14.3.1 row 1', 'SEEN-P'))),
      limit('clearanceMm', '>=', 500, 'mm', published('500 mm clear below and around detectors', 'six monthly inspection page, BS 5839-1', 'SEEN-R'), 'marginal'),
    ],
    cautions: [cautions.height],
    procedure: ['Walk the building with the list of devices.', 'Ask about changes: walls, stock, use, new machines.', 'Look at each device, cable and cabinet.'],
    source: published('visual inspection', 'NFPA 72-2013, table 14.3.1', 'SEEN-P'),
  }),
  check({
    key: 'user-confidence', title: 'User confidence', subject: 'site', evidence: 'B', minutes: 5,
    readings: [yesNo('canOperate', 'User can set, unset and cancel'), yesNo('knowsWhomToCall', 'User knows whom to call'), text('taught', 'What was taught')],
    limits: [mustBe('canOperate', pd6662), mustBe('knowsWhomToCall', commonPractice)],
    procedure: ['Let the user operate the system without help.', 'Teach what was not known; note it.'],
    source: pd6662,
  }),
  check({
    key: 'as-fitted-record', title: 'As-fitted record', subject: 'site', evidence: 'B', minutes: 5,
    readings: [yesNo('present', 'Record present'), yesNo('agrees', 'Agrees with what is fitted'), number('notListed', 'Found, not listed', '', [0, 1000, 1], false), number('notFound', 'Listed, not found', '', [0, 1000, 1], false)],
    limits: [mustBe('present', pd6662), mustBe('agrees', pd6662), limit('notListed', '<=', 0, '', companyRule, 'marginal'), limit('notFound', '<=', 0, '', companyRule, 'marginal')],
    procedure: ['Compare the record with what you found on the round.', 'Enter each device found and not listed, and each listed and not found.'],
    source: pd6662,
  }),
  check({
    key: 'restore-normal', title: 'Restore to normal', subject: 'site', evidence: 'A', minutes: 6, restores: true,
    readings: [
      yesNo('coversOn', 'Covers on, tampers clear'), yesNo('mainsOn', 'Mains on, battery charging'), yesNo('nothingBypassed', 'Nothing bypassed, muted or isolated'),
      yesNo('holdClosed', 'Hold closed, confirmed by the station'), yesNo('liveSignal', 'One live signal seen by the station after the hold'), number('signalsCounted', 'Signals the station counted in the hold', '', [0, 10_000, 1], false),
    ],
    limits: ['coversOn', 'mainsOn', 'nothingBypassed', 'holdClosed', 'liveSignal'].map((key) => mustBe(key, commonPractice)),
    cautions: ['Nothing stays on test, bypassed, muted, unplugged or open when you leave; what must stay is handed over by name.', 'The live signal after the hold is a real one: tell the station that it comes.'],
    procedure: ['Empty the put-back list.', 'Close the hold with the station and compare the count of signals.', 'Send one live signal and see it received as live.', 'Tell the occupants that the system is back.'],
    expectedResponses: [atStation('one live signal after the hold', 90)],
    source: published('off test and confirmed before leaving', 'general practice', 'SEEN-U'),
  }),
] as const;
