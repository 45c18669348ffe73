import { cautions } from './cautions.js';
import { atPanel, atStation, check, choice, commonPractice, companyRule, limit, mustBe, number, published, yesNo } from './shape.js';

const everyDetector = published('every detector result, environment', 'frequency and content of maintenance visits, PD 6662', 'SEEN-R');
const tamperable = ['contact', 'motion', 'beam', 'vibration', 'glass-break', 'sounder', 'keypad', 'annunciator', 'expander', 'radio-module', 'enclosure', 'power-supply', 'repeater', 'key-switch'] as const;

/** Sensors that need more than being tripped, and what keeps wireless ones alive. */
export const sensorChecks = [
  check({
    key: 'environmental-sensor', title: 'Environmental sensor', subject: 'device', evidence: 'A', minutes: 5, needsHold: true, activation: true,
    appliesTo: { devices: ['flood', 'temperature', 'gas', 'sound-level'] },
    readings: [
      yesNo('seenAtPanel', 'Alarm at the control unit'), yesNo('rightText', 'Right zone and text'), yesNo('receivedAtStation', 'Heard at the station', false), number('differenceC', 'Its temperature less a thermometer beside it', '°C', [-50, 50, 0.1], false),
      number('secondsToShow', 'Seconds to alarm', 's', [0, 3600, 1], false), yesNo('placedRight', 'Where the water, cold or gas would come', false), yesNo('restored', 'Restored by itself'),
    ],
    limits: [
      ...['seenAtPanel', 'rightText', 'receivedAtStation', 'restored'].map((key) => mustBe(key, commonPractice)), { ...mustBe('placedRight', commonPractice), level: 'marginal' as const },
      limit('differenceC', '<=', 2, '°C', companyRule), limit('differenceC', '>=', -2, '°C', companyRule), limit('secondsToShow', '<=', 300, 's', companyRule),
    ],
    cautions: [cautions.hold, cautions.gas, 'Keep water off mains sockets and away from what it may spoil; dry the probe afterwards.'],
    procedure: ['Wet the probe, chill or warm the element, or apply the gas its maker allows.', 'Compare its shown value with a thermometer beside it.', 'Read zone and text; see the event at the station.', 'Dry or clear it and see it restore.'],
    expectedResponses: [atPanel('the zone of this sensor', 300), atStation('environmental alarm of this zone', 390)],
    source: everyDetector,
  }),
  check({
    key: 'beam-alignment', title: 'Beam detector', subject: 'device', evidence: 'A', minutes: 8, needsHold: true, activation: true,
    appliesTo: { systems: ['intrusion', 'hold-up'], devices: ['beam'] },
    readings: [
      number('alignPct', 'Received strength, share of full', '%', [0, 150, 1], false), yesNo('nearEnd', 'Alarm when blocked near the sender'), yesNo('middle', 'Alarm when blocked in the middle'), yesNo('farEnd', 'Alarm when blocked near the receiver'),
      yesNo('clearPath', 'Nothing grows or stands in the way'), yesNo('rightText', 'Right zone and text'), yesNo('receivedAtStation', 'Heard at the station', false),
    ],
    limits: [...['nearEnd', 'middle', 'farEnd', 'clearPath', 'rightText', 'receivedAtStation'].map((key) => mustBe(key, commonPractice)), limit('alignPct', '>=', 80, '%', companyRule, 'marginal')],
    cautions: [cautions.hold, cautions.height],
    procedure: ['Walk the way of the beam and clear what grows into it.', 'Read the strength at the receiver; clean both lenses and read it again.', 'Cross at the near end, the middle and the far end, at running and at crawling height.', 'Read zone and text; see the event at the station.'],
    expectedResponses: [atPanel('the zone of this beam', 10), atStation('alarm of this zone', 90)],
    source: everyDetector,
  }),
  check({
    key: 'device-tamper', title: 'Tamper contact of a device', subject: 'device', evidence: 'A', minutes: 2, needsHold: true, activation: true,
    appliesTo: { devices: [...tamperable] }, disturbs: ['cover open'],
    readings: [yesNo('reported', 'Reported when its cover opens'), yesNo('restored', 'Restored when the cover is shut'), yesNo('rightText', 'Right device in the text', false), yesNo('receivedAtStation', 'Heard at the station', false)],
    limits: ['reported', 'restored', 'rightText', 'receivedAtStation'].map((key) => mustBe(key, commonPractice)),
    cautions: [cautions.hold, cautions.height],
    procedure: ['Open the cover until the contact lets go.', 'Read the text at the control unit; see it at the station.', 'Shut the cover and see it clear.'],
    expectedResponses: [atPanel('tamper of this device', 10), atStation('tamper of this device', 90)],
    excusable: [{ code: 'cover-open', words: 'cover open for service', owedAgain: 'this-visit' }],
    source: published('tamper on the site check list', 'frequency and content of maintenance visits, PD 6662', 'SEEN-R'),
  }),
  check({
    key: 'device-cell', title: 'Cell of a wireless device', subject: 'device', evidence: 'B', minutes: 2, appliesTo: { links: ['wireless', 'mesh'] },
    readings: [
      yesNo('lowShown', 'Low battery shown or in the log'), number('volts', 'Voltage in use (3 V lithium cell only)', 'V', [0, 10, 0.01], false),
      choice('cell', 'Kind of cell', [{ code: 'li-mno2', words: 'lithium, 3 V' }, { code: 'li-socl2', words: 'lithium, 3.6 V: its voltage tells nothing until the end' }, { code: 'alkaline', words: 'alkaline' }, { code: 'other', words: 'other' }], false),
      { key: 'fittedOn', label: 'Fitted on', unit: '', kind: 'date', required: false },
    ],
    limits: [
      mustBe('lowShown', commonPractice, false), limit('volts', '>=', 2, 'V', published('capacity of a 3 V cell is rated to 2.0 V', "Linden's Handbook of Batteries, figures 14.50 to 14.52", 'SEEN-P')),
      limit('volts', '>=', 2.7, 'V', published('low flag about 2.6 to 2.7 V', 'from memory', 'MEM'), 'marginal'),
    ],
    preconditions: ['The device is in reach, or its state is read at the control unit'],
    cautions: [cautions.lithium, cautions.height],
    procedure: ['Read the battery state at the control unit and in its log.', 'Where the cover must come off anyway, read kind and date of the cell.', 'Of a 3 V lithium cell, measure while the device sends.'],
    source: commonPractice,
  }),
  check({
    key: 'radio-supervision', title: 'Loss of a wireless device is noticed', subject: 'device', evidence: 'A', minutes: 5, needsHold: true, activation: true, appliesTo: { links: ['wireless'] },
    disturbs: ['device without its cell'],
    readings: [yesNo('lossShown', 'Loss shown at the control unit'), number('hoursToShow', 'Hours until it was shown', 'h', [0, 200, 0.1], false), yesNo('rightText', 'Right device in the text', false), yesNo('receivedAtStation', 'Heard at the station', false), yesNo('restored', 'Shown as back when it sends again')],
    limits: [...['lossShown', 'rightText', 'receivedAtStation', 'restored'].map((key) => mustBe(key, commonPractice)), limit('hoursToShow', '<=', 12, 'h', companyRule)],
    preconditions: ['One device of each receiver is enough; it may be begun first and read last'],
    cautions: [cautions.hold, 'The device protects nothing meanwhile: say so, and put its cell back before you leave.'],
    procedure: ['Take the cell out of one device, or shield it, and note the time.', 'Go on with other checks.', 'Read when the loss was shown; put the cell back and see the device return.'],
    expectedResponses: [atPanel('supervision of this device lost', 43_200), atStation('supervision lost', 43_290)],
    source: commonPractice,
  }),
  check({
    key: 'receiver-noise', title: 'Noise at the radio receiver', subject: 'device', evidence: 'A', minutes: 2, appliesTo: { devices: ['radio-module', 'repeater'] },
    readings: [number('noiseDbm', 'Noise with all devices quiet', 'dBm', [-150, 0, 1]), yesNo('jamShown', 'Interference in the log since the last visit', false)],
    limits: [limit('noiseDbm', '<=', -85, 'dBm', companyRule), limit('noiseDbm', '<=', -95, 'dBm', companyRule, 'marginal'), { ...mustBe('jamShown', commonPractice, false), level: 'marginal' as const }],
    procedure: ['Let all devices of the receiver be quiet for a minute.', 'Read the noise it shows.', 'Look for new transmitters, power supplies or screens nearby where it has risen.'],
    source: commonPractice,
  }),
];
