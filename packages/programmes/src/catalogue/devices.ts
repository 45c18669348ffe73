import { cautions } from './cautions.js';
import { atPanel, atStation, check, choice, commonPractice, companyRule, computed, limit, mustBe, number, published, text, yesNo } from './shape.js';

const margin = published('margin 10 dB the least, 20 dB preferred', 'common practice', 'MEM');
const nfpaAudible = published('15 dB over average ambient or 5 over a 60 s maximum; sleeping 75 dB(A); ceiling 110 dB(A)', 'NFPA 72, 18.4', 'SEEN-R/U');

export const deviceChecks = [
  check({
    key: 'detector-actuation', title: 'Detector actuation', subject: 'device', evidence: 'A', minutes: 3, needsHold: true, activation: true,
    appliesTo: { devices: ['contact', 'motion', 'beam', 'vibration', 'flood', 'temperature', 'gas', 'duress', 'key-switch', 'sound-level'] },
    readings: [
      yesNo('seenAtPanel', 'Seen at the control unit'), yesNo('rightZone', 'Right zone'), yesNo('rightText', 'Right text'),
      number('secondsToShow', 'Seconds to show', 's', [0, 600, 0.5], false), number('steps', 'Steps walked before it saw (motion)', 'steps', [0, 50, 1], false),
      yesNo('receivedAtStation', 'Heard at the station', false),
    ],
    limits: [
      ...['seenAtPanel', 'rightZone', 'rightText', 'receivedAtStation'].map((key) => mustBe(key, commonPractice)),
      limit('secondsToShow', '<=', 10, 's', companyRule),
      limit('steps', '<=', 4, 'steps', published('walk test: alarm within 4 steps, UL', 'two licensing-exam pages', 'SEEN-R')),
    ],
    preconditions: ['The device is reachable and not bypassed'],
    cautions: [cautions.hold, cautions.height, cautions.insulation, cautions.prevail],
    procedure: ['Trip the device by the thing it detects: open, walk, break the beam on each side, wet the probe.', 'Read zone and text at the control unit.', 'See the event at the station: account, zone, text.', 'Let it restore.'],
    expectedResponses: [atPanel('the zone of this device', 10), atStation('alarm of this zone', 90)],
    excusable: [{ code: 'covered-for-works', words: 'covered on purpose during building works', owedAgain: 'later' }],
    source: published('every detector result', 'frequency and content of maintenance visits, PD 6662', 'SEEN-R'),
  }),
  check({
    key: 'hold-up', title: 'Hold-up, duress or medical device', subject: 'device', evidence: 'A', minutes: 3, needsHold: true, activation: true,
    appliesTo: { devices: ['hold-up', 'medical', 'duress'] },
    readings: [yesNo('receivedAtStation', 'Heard at the station'), yesNo('rightText', 'Right text at the station'), yesNo('silent', 'Silent on site where it must be', false), yesNo('reset', 'Reset by its key')],
    limits: ['receivedAtStation', 'rightText', 'silent', 'reset'].map((key) => mustBe(key, commonPractice)),
    cautions: [cautions.hold, 'Never write down an occupant\'s duress code; let the occupant enter it unseen.', cautions.prevail],
    procedure: ['Confirm that this part of the account is on test.', 'Press both buttons, or let the occupant use the transmitter from the farthest place.', 'Have the station read back what it says.', 'Reset the device and see it restored.'],
    expectedResponses: [atStation('hold-up, duress or medical alarm', 90)],
    source: published('hold-up devices on the site check list', 'frequency and content of maintenance visits, PD 6662', 'SEEN-R'),
  }),
  check({
    key: 'sounder-level', title: 'Sounder level', subject: 'device', evidence: 'A', minutes: 4, judge: 'sounder-level', needsHold: true, sounds: true, activation: true,
    params: { referenceDistanceM: 3.05 }, appliesTo: { devices: ['sounder'] },
    readings: [
      number('levelDb', 'Level while sounding', 'dB(A)', [20, 140, 0.1]), number('distanceM', 'Distance from the sounder', 'm', [0.1, 200, 0.1]),
      number('ambientDb', 'Ambient, average', 'dB(A)', [10, 120, 0.1]), number('maximumAmbientDb', 'Loudest ambient lasting a minute', 'dB(A)', [10, 130, 0.1], false),
      choice('rule', 'Rule asked for here, where it is not the usual one', [
        { code: 'public', words: 'public: 15 dB over ambient (NFPA 72)' }, { code: 'private', words: 'private: 10 dB over ambient (NFPA 72)' }, { code: 'sleeping', words: 'sleeping: 75 dB(A) and 15 over ambient (NFPA 72)' },
        { code: 'bs-general', words: 'generally: 65 dB(A) (BS 5839-1)' }, { code: 'bs-small-room', words: 'small room or stairs: 60 dB(A) (BS 5839-1)' }, { code: 'bs-bedhead', words: 'bedhead: 75 dB(A) (BS 5839-1)' },
      ], false),
    ],
    limits: [
      computed('levelDb', '>=', 'dB(A)', 'the greatest of ambient + 15 dB, maximum + 5 dB and 75 dB(A) where people sleep; public mode unless the site or the technician says otherwise; the rules that may be chosen stand below', nfpaAudible),
      computed('levelDb', '>=', 'dB(A)', 'rated level at the reference distance (3.05 m) where it is known', published('rating distance 10 ft', 'inverse square', 'SEEN-R, formula MEM')),
      limit('levelDb', '<=', 110, 'dB(A)', published('ceiling at the least hearing distance', 'NFPA 72, 18.4.1.2', 'SEEN-U')),
    ],
    preconditions: ['Noise is allowed at this hour', 'Occupants and neighbours told'], disturbs: ['sounder muted'],
    cautions: [cautions.hearing, cautions.hold, cautions.told, cautions.prevail],
    procedure: ['Measure the ambient for a minute.', 'Count down, sound, and measure where people are.', 'Note the distance to the sounder.', 'Silence it and clear the mute.'],
    expectedResponses: [atPanel('alarm sounding', 5), atStation('alarm', 90)],
    source: published('audible appliances, annual', 'NFPA 72, table 14.4.3.2', 'SEEN-R'),
  }),
  check({
    key: 'image-capture', title: 'Image capture', subject: 'device', evidence: 'B', minutes: 3, appliesTo: { devices: ['camera'] },
    readings: [yesNo('usable', 'Picture usable: sharp, lit, right place'), yesNo('photoKept', 'Picture attached', false)],
    limits: [mustBe('usable', commonPractice)],
    cautions: [cautions.privacy],
    procedure: ['Tell the occupant and clear the room.', 'Take a picture with the device.', 'Look whether a person could be recognised in it, by day and by night light.'],
    source: commonPractice,
  }),
  check({
    key: 'wireless-margin', title: 'Wireless link margin', subject: 'device', evidence: 'A', minutes: 2, judge: 'wireless-margin',
    params: { minMarginDb: 10, goodMarginDb: 20, stepDb: 6 }, appliesTo: { links: ['wireless'] },
    readings: [
      number('levelDbm', 'Received level', 'dBm', [-150, 10, 1], false), number('noiseDbm', 'Noise at the receiver', 'dBm', [-150, 0, 1], false),
      number('distanceM', 'Distance to the receiver', 'm', [0.1, 5000, 0.1], false), number('floors', 'Floors between', '', [0, 50, 1], false), number('transmitDbm', "Device's transmit power", 'dBm', [-40, 40, 0.1], false), number('frequencyMhz', 'Frequency', 'MHz', [30, 6000, 0.01], false),
      choice('place', 'Kind of building', [{ code: 'residential', words: 'dwelling' }, { code: 'office', words: 'office' }, { code: 'commercial', words: 'shop or hall' }], false),
      choice('linkClass', 'Class shown by the receiver', [{ code: 'strong', words: 'strong' }, { code: 'marginal', words: 'marginal' }, { code: 'none', words: 'none' }], false),
    ],
    limits: [computed('levelDbm', '>=', 'dB', 'level less noise: 10 dB the least', margin), computed('levelDbm', '>=', 'dB', 'level less noise: 20 dB good', margin, 'marginal')],
    procedure: ['Read the received level of the device at the receiver.', 'Read the noise at the receiver with the device quiet.', 'Where the receiver shows only a class, choose it.', 'Where the margin is weak, enter distance, floors, power and frequency: what they explain then stands beside it.'],
    source: margin,
  }),
  check({
    key: 'mesh-delivery', title: 'Mesh delivery rate', subject: 'device', evidence: 'A', minutes: 2, judge: 'mesh-delivery',
    params: { leastSent: 30, maxFailedPct: 10 }, appliesTo: { devices: ['lock', 'light', 'thermostat', 'plug', 'repeater'], links: ['mesh'] },
    readings: [number('sentDirect', 'Delivered direct', '', [0, 1_000_000, 1]), number('sentVia', 'Delivered through others', '', [0, 1_000_000, 1]), number('failed', 'Failed', '', [0, 1_000_000, 1])],
    limits: [computed('failed', '<=', '%', 'failure share with its 95 % interval against 10 %; fewer than 30 transmissions are not enough data', companyRule)],
    preconditions: ['No life-safety detector: those are never on this mesh'],
    procedure: ['Read the counters of the device.', 'Enter direct, relayed and failed as shown.'],
    source: companyRule,
  }),
  check({
    key: 'mesh-hops', title: 'Mesh hop path', subject: 'device', evidence: 'B', minutes: 1, judge: 'mesh-hops',
    params: { maxHops: 4 }, appliesTo: { devices: ['lock', 'light', 'thermostat', 'plug', 'repeater'], links: ['mesh'] },
    readings: [number('hops', 'Hops', '', [0, 4, 1]), text('through', 'Through which devices')],
    limits: [limit('hops', '<', 4, 'hops', commonPractice, 'marginal')],
    preconditions: ['No life-safety detector: those are never on this mesh'],
    procedure: ['Read the route of the device.', 'Name the devices it passes.'],
    source: commonPractice,
  }),
  check({
    key: 'mesh-repeater', title: 'Mesh repeater link', subject: 'device', evidence: 'B', minutes: 1, judge: 'fitted-module',
    appliesTo: { devices: ['repeater'], links: ['mesh'] },
    readings: [
      choice('answer', 'Repeater', [{ code: 'answers', words: 'answers' }, { code: 'silent', words: 'fitted, does not answer' }, { code: 'not-fitted', words: 'not fitted' }]),
      number('levelDbm', 'Level', 'dBm', [-150, 0, 1], false),
    ],
    limits: [mustBe('answer', commonPractice, 'answers')],
    procedure: ['Ask the repeater to answer.', 'Read its level.'],
    source: commonPractice,
  }),
  check({
    key: 'acoustic-response', title: 'Acoustic detector response', subject: 'device', evidence: 'A', minutes: 5, judge: 'acoustic-response', needsHold: true, sounds: true, activation: true,
    appliesTo: { devices: ['glass-break'] }, excludes: ['background-sound'],
    readings: [
      yesNo('detected', 'Detected'),
      choice('method', 'Method', [{ code: 'simulator', words: 'matching simulator' }, { code: 'hand-clap', words: 'hand clap (quick look only)' }]),
      number('distanceM', 'Distance from the far point of the pane', 'm', [0, 30, 0.1], false), yesNo('receivedAtStation', 'Heard at the station', false),
    ],
    limits: [mustBe('detected', published('at installation and yearly with a matching simulator; a hand clap proves power and microphone only', 'equipment handbook, name withheld', 'SEEN-R')), mustBe('receivedAtStation', commonPractice)],
    preconditions: ['Curtains and blinds as at night'], disturbs: ['detector in its test mode'],
    cautions: [cautions.hold, cautions.hearing],
    procedure: ['Put the detector in its own trial state.', 'Play the simulator at the far corner of the farthest pane.', 'Confirm both halves of the pattern.', 'Take the detector back to normal.'],
    expectedResponses: [atPanel('the zone of this device', 10), atStation('alarm of this zone', 90)],
    source: published('glass-break detector: yearly, in its own mode, with a matching simulator', 'equipment handbook, name withheld', 'SEEN-R'),
  }),
  check({
    key: 'background-sound', title: 'Background sound level', subject: 'device', evidence: 'A', minutes: 3, judge: 'background-sound',
    appliesTo: { devices: ['glass-break', 'sound-level'] }, excludes: ['acoustic-response'],
    readings: [number('levelDb', 'Background level', 'dB(A)', [10, 130, 0.1])],
    limits: [computed('levelDb', '<', 'dB(A)', 'below the warning level set for the room', companyRule)],
    preconditions: ['No acoustic detector in the same unit is enabled; otherwise defer'],
    procedure: ['Let the room be as it usually is.', 'Read the level for a minute.'],
    source: companyRule,
  }),
] as const;
