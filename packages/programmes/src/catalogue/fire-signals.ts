import { cautions } from './cautions.js';
import { atPanel, atStation, check, commonPractice, companyRule, computed, limit, mustBe, number, published, text, yesNo } from './shape.js';

const fire = [cautions.hold, cautions.told, cautions.outputs, cautions.impaired, cautions.prevail];
const annual = (what: string, provenance: string) => published(`${what}, annual`, 'NFPA 72, table 14.4.3.2', provenance);
const temporal3 = published('temporal-3: three pulses of 0.5 s with 0.5 s between, 1.5 s pause, 4 s in all; 10 % either way is a company rule', 'NFPA 72, 18.4', 'SEEN-U');

/** What a fire system does to be heard, seen and obeyed, and how it notices its own broken wires. */
export const fireSignalChecks = [
  check({
    key: 'smoke-beam', title: 'Smoke beam detector', subject: 'device', evidence: 'A', minutes: 8, needsHold: true, activation: true, sounds: true, licensed: true,
    appliesTo: { systems: ['fire'], devices: ['beam'] }, disturbs: ['outputs isolated'],
    readings: [
      yesNo('alarmOnFilter', "Alarm with the maker's alarm filter"), yesNo('noAlarmOnWeakFilter', 'No alarm with the weaker filter', false), yesNo('faultWhenBlocked', 'Fault, and no alarm, when quickly blocked'), number('secondsToShow', 'Seconds to alarm', 's', [0, 600, 1], false),
      yesNo('rightText', 'Right point and text'), yesNo('receivedAtStation', 'Heard at the station', false),
    ],
    limits: [...['alarmOnFilter', 'noAlarmOnWeakFilter', 'faultWhenBlocked', 'rightText', 'receivedAtStation'].map((key) => mustBe(key, commonPractice)), limit('secondsToShow', '<=', 60, 's', companyRule)],
    cautions: [...fire, cautions.height, cautions.hearing],
    procedure: ['Look along the beam for new shelves, banners or dust; clean lens and reflector as the maker says.', "Hold the maker's alarm filter in front and count to the alarm.", 'Hold the weaker filter: no alarm may come.', 'Block it at once: it must show a fault.', 'Reset and see it normal.'],
    expectedResponses: [atPanel('fire alarm of this beam', 60), atStation('fire alarm of this zone', 150)],
    source: annual('beam detectors by their filter', 'MEM'),
  }),
  check({
    key: 'visual-alarm', title: 'Visual alarm device', subject: 'device', evidence: 'B', minutes: 3, needsHold: true, activation: true, licensed: true, appliesTo: { devices: ['visual-alarm'] },
    readings: [yesNo('flashes', 'Flashes'), number('ratePerS', 'Flashes in a second', '1/s', [0, 20, 0.1], false), yesNo('inStep', 'In step with others in view', false), yesNo('seen', 'Seen from where people are')],
    limits: [mustBe('flashes', annual('audible and visible appliances', 'SEEN-R')), mustBe('seen', commonPractice), mustBe('inStep', commonPractice), limit('ratePerS', '<=', 2, '1/s', published('one to two flashes in a second', 'from memory', 'MEM')), limit('ratePerS', '>=', 1, '1/s', published('one to two flashes in a second', 'from memory', 'MEM'))],
    cautions: [...fire, 'Flashing light can bring on a seizure: warn those in view first and keep it short.'],
    procedure: ['Warn the people in view.', 'Set it off and count the flashes of ten seconds.', 'Stand where people work, sleep or wash, and see it.', 'Compare with the others in view, then stop it.'],
    expectedResponses: [{ what: 'light flashing', where: 'site', withinS: 10 }],
    source: annual('audible and visible appliances', 'SEEN-R'),
  }),
  check({
    key: 'alarm-pattern', title: 'Alarm sound and its pattern', subject: 'device', evidence: 'B', minutes: 2, needsHold: true, activation: true, sounds: true, licensed: true, appliesTo: { systems: ['fire'], devices: ['sounder'] },
    readings: [yesNo('rightSound', 'The sound the site expects for fire'), number('cycleS', 'One whole pattern', 's', [0, 60, 0.1], false), number('pauseS', 'Pause in the pattern', 's', [0, 60, 0.1], false), yesNo('lowTone', 'Low tone of about 520 Hz where people sleep', false), yesNo('toldApart', 'Told apart from every other sound here')],
    limits: [mustBe('rightSound', commonPractice), mustBe('toldApart', commonPractice), { ...mustBe('lowTone', published('520 Hz low-frequency tone where people sleep, new installations', 'NFPA 72, 18.4', 'SEEN-U')), level: 'marginal' as const }, { ...limit('cycleS', 'between', 3.6, 's', temporal3, 'marginal'), upper: 4.4 }, { ...limit('pauseS', 'between', 1.35, 's', temporal3, 'marginal'), upper: 1.65 }],
    cautions: [...fire, cautions.hearing],
    procedure: ['Warn the building and count down.', 'Sound it and time three whole patterns.', 'Ask somebody who works here what the sound means.', 'Silence it.'],
    expectedResponses: [{ what: 'alarm sounding', where: 'site', withinS: 10 }],
    source: temporal3,
  }),
  check({
    key: 'fire-outputs', title: 'Fire outputs: air, lifts, shutters, doors', subject: 'system', evidence: 'B', minutes: 15, needsHold: true, activation: true, licensed: true, appliesTo: { systems: ['fire'] },
    disturbs: ['outputs isolated'], after: ['smoke-functional'],
    readings: [yesNo('airHandling', 'Air handling stops or turns as planned', false), yesNo('lifts', 'Lifts go where they must', false), yesNo('shutters', 'Shutters and dampers move fully', false), yesNo('asPlan', 'All of the cause-and-effect plan was tried and did what it says'), yesNo('restored', 'Every output back in service'), text('notTried', 'What was not tried, and why')],
    limits: ['airHandling', 'lifts', 'shutters', 'asPlan', 'restored'].map((key) => mustBe(key, commonPractice)),
    preconditions: ['The cause-and-effect plan is here', 'Lift, air and building operators are told and stand by'],
    cautions: [...fire, cautions.doors],
    procedure: ['Go through the plan line by line with whoever runs each plant.', 'Release one output after the other and see it move to its end.', 'Reset, and see each back in service.', 'Write down every line that was not tried, with its reason.'],
    expectedResponses: [{ what: 'each output of the plan', where: 'site', withinS: 60 }],
    source: annual('interfaced equipment and functions', 'SEEN-P (older edition, table 10.4.4 rows 1(a)-(f))'),
  }),
  check({
    key: 'circuit-supervision', title: 'Broken wire is noticed', subject: 'system', evidence: 'A', minutes: 6, needsHold: true, activation: true, appliesTo: { systems: ['fire', 'intrusion', 'co'] },
    disturbs: ['device disconnected'],
    readings: [yesNo('faultShown', 'Fault shown when a conductor is opened'), number('secondsToShow', 'Seconds until it was shown', 's', [0, 3600, 1], false), yesNo('rightCircuit', 'Right circuit in the text'), yesNo('receivedAtStation', 'Heard at the station', false), yesNo('restored', 'Cleared when joined again')],
    limits: [...['faultShown', 'rightCircuit', 'receivedAtStation', 'restored'].map((key) => mustBe(key, commonPractice)), limit('secondsToShow', '<=', 200, 's', published('trouble annunciated at the premises within 200 s', 'NFPA 72, 26.6.4', 'SEEN-R'))],
    cautions: [cautions.hold, cautions.insulation, cautions.mains, cautions.prevail],
    procedure: ['Choose the farthest device of a circuit, another at each visit.', 'Open one of its conductors and count.', 'Read circuit and text; see the fault at the station.', 'Join it again and see it clear.'],
    expectedResponses: [atPanel('fault of this circuit', 200), atStation('fault of this circuit', 290)],
    source: commonPractice,
  }),
  check({
    key: 'false-alarm-rate', title: 'False alarms against the number of detectors', subject: 'system', evidence: 'B', minutes: 3, judge: 'false-alarm-rate', appliesTo: { systems: ['fire', 'intrusion'] },
    params: { perHundred: 4, leastForPolice: 3 },
    readings: [number('falseAlarms', 'False alarms in the last twelve months', '', [0, 10_000, 1]), number('detectors', 'Detectors of the system', '', [0, 100_000, 1], false), number('monthsKnown', 'Months the record covers', 'months', [0, 60, 1], false)],
    limits: [
      computed('falseAlarms', '<=', '', 'fire: at most 4 a year for each 100 detectors', published('more than 4 per 100 detectors a year is looked into', 'six monthly inspection page, BS 5839-1', 'SEEN-R'), 'marginal'),
      computed('falseAlarms', '<', '', 'intrusion: fewer than 3 in twelve months; 2 warn', published('3 in rolling 12 months may withdraw police response, 2 a warning', 'UK policy', 'SEEN-U')),
    ],
    procedure: ['Count false alarms of twelve months in the log and at the station.', 'Count the detectors.', 'Name the cause of each; an unknown cause is a finding.'],
    source: published('false-alarm record', 'six monthly inspection page, BS 5839-1', 'SEEN-R'),
  }),
];
