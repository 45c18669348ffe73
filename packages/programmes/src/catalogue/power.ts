import { cautions } from './cautions.js';
import { atPanel, atStation, check, choice, commonPractice, companyRule, computed, date, limit, mustBe, number, published, yesNo } from './shape.js';

const tolerance = published('supply tolerance 85 to 110 % of nominal, UL; +10/-15 %, EN', 'from memory', 'MEM');
const fieldLoad = published('field load test: 95 % of nominal within 15 min, 90 % at 30 min', 'practitioner, UK fire forum', 'SEEN-R');
const eighty = published('replace below 80 % of rated capacity', 'IEEE 450, IEEE 1188', 'SEEN-R');
const fiveYears = published('replace within 5 years of manufacture', 'NFPA 72, 2007, table 10.4.4 item 6(d)(1)', 'SEEN-R');

// The wires whose resistance is known: NEC chapter 9 table 8 (SEEN-P) and IEC 60228 (MEM).
const wires = [
  ...[22].map((awg) => ({ code: `awg-${awg}-solid`, words: `${awg} AWG solid` })),
  ...[18, 16, 14, 12, 10].flatMap((awg) => [{ code: `awg-${awg}-solid`, words: `${awg} AWG solid` }, { code: `awg-${awg}-7-strand`, words: `${awg} AWG stranded` }]),
  ...[0.5, 0.75, 1, 1.5, 2.5].map((section) => ({ code: `mm2-${section}`, words: `${section} mm²` })),
];

export const powerChecks = [
  check({
    key: 'mains-supply', title: 'Mains supply present', subject: 'system', evidence: 'B', minutes: 2,
    readings: [yesNo('present', 'Mains supply present'), yesNo('sourceMarked', 'Breaker marked and locked or guarded', false)],
    limits: [mustBe('present', published('primary supply of control equipment', 'NFPA 72, table 10.4.4 rows 1(a)-(f), older edition', 'SEEN-P')), { ...mustBe('sourceMarked', commonPractice), level: 'marginal' }],
    procedure: ['Read the mains indicator at the control unit.', 'Find the breaker and see that it is marked as serving this system.'],
    source: commonPractice,
  }),
  check({
    key: 'supply-voltage', title: 'Supply voltage at the terminals', subject: 'system', evidence: 'A', minutes: 4, judge: 'supply-voltage',
    params: { lowPct: 15, highPct: 10, nearPct: 2 },
    readings: [
      number('volts', 'Voltage at the terminals', 'V', [0, 60, 0.01]),
      choice('loadState', 'Load while reading', [{ code: 'quiet', words: 'quiet' }, { code: 'alarm', words: 'in alarm' }]),
      choice('wire', 'Wire to the terminals, where known', wires, false), number('wireLengthM', 'Length of the run, one way', 'm', [0, 5000, 0.1], false), number('wireCurrentMa', 'Current on it', 'mA', [0, 20_000, 1], false),
    ],
    limits: [computed('volts', 'between', 'V', 'rated voltage less 15 %, plus 10 %; the expected cable drop is shown beside it', tolerance)],
    preconditions: ['Rated voltage of the supply known', 'The open cover is masked or the account on test: its tamper is a real signal'], disturbs: ['cover open'],
    cautions: [cautions.mains],
    procedure: ['Open the cover.', 'Measure at the terminals of the farthest load, then at the supply.', 'Note whether the system was quiet or in alarm.', 'Where the value is low, read wire, length and current: the drop to be expected then stands beside it.'],
    expectedResponses: [atPanel('cover tamper', 10)],
    source: commonPractice,
  }),
  check({
    key: 'battery-on-load', title: 'Standby battery on load', subject: 'battery', evidence: 'A', minutes: 15, judge: 'battery-on-load',
    params: { ageLimitYears: 5, nominalV: 12 }, needsHold: true,
    readings: [
      number('voltsOff', 'Voltage at rest', 'V', [0, 60, 0.01], false),
      number('voltsOn', 'Voltage under load', 'V', [0, 60, 0.01], false),
      number('loadA', 'Load current', 'A', [0, 50, 0.01], false),
      number('minutes', 'Minutes under load', 'min', [0, 1440, 1], false),
      number('temperatureC', 'Temperature in the enclosure', '°C', [-30, 70, 1], false),
      number('capacityPct', 'Measured capacity, share of rated', '%', [0, 150, 1], false),
      date('madeOn', 'Date of make'),
    ],
    limits: [
      computed('voltsOn', '>=', 'V', '95 % of nominal within 15 min, 90 % at 30 min', fieldLoad),
      computed('voltsOff', '>=', 'V', '12.5 V of 12 V nominal at rest', published('open circuit about 12.5 V', 'equipment handbook, name withheld', 'SEEN-R'), 'marginal'),
      limit('capacityPct', '>=', 80, '%', eighty),
      computed('capacityPct', '>=', 'Ah', "required Ah from this site's standby and alarm current, hours and allowance", published('24 h quiescent then 5 min alarm, or as the programme asks', 'NFPA 72, 10.6.7', 'SEEN-R')),
      computed('madeOn', '>=', '', 'younger than five years; an unknown date is treated as due', fiveYears, 'marginal'),
    ],
    disturbs: ['cover open', 'mains off'], after: ['mains-supply', 'supply-voltage'],
    cautions: [cautions.hold, cautions.mains, cautions.leadAcid, cautions.lithium],
    procedure: [
      'Read label, date of make and rated capacity; photograph the label, or the place where none is found.',
      'Measure at rest, then switch off the mains and apply the load.',
      'Read voltage, current and minutes at the end of the load; or enter the capacity the instrument shows.',
      'Switch the mains on again and see the charge begin.',
    ],
    expectedResponses: [atPanel('mains loss', 60), atStation('mains loss, often delayed on purpose', 10_800), atPanel('cover tamper', 10)],
    excusable: [{ code: 'just-replaced', words: 'replaced minutes ago, not yet charged', owedAgain: 'later' }],
    source: published('battery tests', 'NFPA 72, table 14.4.3.2, 2019 and later', 'SEEN-R'),
  }),
  check({
    key: 'charge-voltage', title: 'Charge voltage of the standby battery', subject: 'battery', evidence: 'A', minutes: 3, judge: 'charge-voltage', params: { nominalV: 12 },
    readings: [number('volts', 'Voltage on charge', 'V', [0, 60, 0.01]), number('temperatureC', 'Temperature beside the battery', '°C', [-30, 70, 1], false)],
    limits: [computed('volts', 'between', 'V', '2.25 to 2.32 V a cell at 25 °C, 3 mV a cell less for each °C above and more below (lead-acid)', published('float 2.25 to 2.30 V/cell; 2.30 +/- 0.02 V/cell; -3 mV/cell/°C', 'trade pages; NFPA 72 charger test', 'SEEN-R, range and 2.30 +/- 0.02 MEM'))],
    preconditions: ['Mains on and the battery charged: hours after a discharge it reads low without fault', 'The open cover is masked or the account on test: its tamper is a real signal'], disturbs: ['cover open'],
    cautions: [cautions.mains, cautions.leadAcid],
    procedure: ['With mains on, measure across the battery.', 'Read the temperature beside it.', 'Enter both; the range moves with the temperature.'],
    source: published('charger, annual', 'NFPA 72, table 14.4.3.2, editions to 2016', 'SEEN-R'),
  }),
  check({
    key: 'mains-loss-report', title: 'Mains loss is reported', subject: 'system', evidence: 'A', minutes: 4, needsHold: true, activation: true, disturbs: ['mains off'], after: ['mains-supply'],
    readings: [yesNo('shownAtPanel', 'Mains loss shown at the control unit'), number('secondsToShow', 'Seconds until it was shown', 's', [0, 3600, 1], false), yesNo('carriesOn', 'The system works on its battery'), yesNo('receivedAtStation', 'Heard at the station (it may come hours later)', false), yesNo('restoreShown', 'Return of mains shown')],
    limits: [...['shownAtPanel', 'carriesOn', 'receivedAtStation', 'restoreShown'].map((key) => mustBe(key, commonPractice)), limit('secondsToShow', '<=', 200, 's', published('trouble annunciated at the premises within 200 s', 'NFPA 72, 26.6.4', 'SEEN-R'))],
    preconditions: ['The battery carried its load, or a second supply is at hand'],
    cautions: [cautions.hold, cautions.mains, 'Ask first what else hangs on this breaker.', cautions.prevail],
    procedure: ['Switch off the mains of the system and count.', 'See it shown, and one detector work on the battery.', 'Switch on again and see it clear.', 'The station may get the report one to three hours later: leave it pending, it closes by itself.'],
    expectedResponses: [atPanel('mains loss', 200), atStation('mains loss, often delayed on purpose', 10_800), atPanel('mains restored', 200)],
    source: published('mains loss to the station delayed by 1 to 3 h', 'common delay; code band 60 to 180 min', 'SEEN-U, band MEM'),
  }),
  check({
    key: 'enclosure-tamper', title: 'Enclosure tamper contact', subject: 'system', evidence: 'A', minutes: 2, needsHold: true, activation: true,
    readings: [yesNo('reported', 'Tamper reported when the cover opens'), yesNo('restored', 'Restored when the cover is shut')],
    limits: [mustBe('reported', commonPractice), mustBe('restored', commonPractice)],
    disturbs: ['cover open'], after: ['supply-voltage', 'battery-on-load'],
    cautions: [cautions.hold],
    procedure: ['Shut the cover and see the tamper clear.', 'Open it and see the tamper come, here and at the station.', 'Shut it for good.'],
    expectedResponses: [atPanel('cover tamper', 10), atStation('tamper of the control unit', 90)],
    excusable: [{ code: 'cover-open', words: 'cover open for service', owedAgain: 'this-visit' }],
    source: published('tamper on the site check list', 'frequency and content of maintenance visits, PD 6662', 'SEEN-R'),
  }),
  check({
    key: 'set-unset', title: 'Set and unset exercise', subject: 'system', evidence: 'B', minutes: 4, needsHold: true, sounds: true,
    appliesTo: { systems: ['intrusion', 'hold-up'] },
    readings: [yesNo('set', 'System sets'), yesNo('unset', 'System unsets'), yesNo('partSet', 'Part set works', false), number('entryS', 'Entry time', 's', [0, 600, 1], false)],
    limits: [mustBe('set', commonPractice), mustBe('unset', commonPractice), mustBe('partSet', commonPractice), limit('entryS', '<=', 45, 's', companyRule, 'marginal')],
    cautions: [cautions.hold, cautions.hearing],
    procedure: ['Set by the way the user sets it, and leave.', 'Enter by the entry route and unset.', 'Repeat with the part set and each key-switch where fitted.'],
    expectedResponses: [atStation('closing, then opening', 90)],
    source: published('entry and exit on the site check list', 'frequency and content of maintenance visits, PD 6662', 'SEEN-R'),
  }),
  check({
    key: 'indicators-keys', title: 'Indicators and keys', subject: 'system', evidence: 'B', minutes: 3,
    readings: [yesNo('lamps', 'All indicators light'), yesNo('keys', 'All keys answer'), yesNo('buzzer', 'Buzzer heard'), yesNo('clock', 'Clock right within two minutes'), yesNo('annunciators', 'Remote annunciators show the same', false)],
    limits: ['lamps', 'keys', 'buzzer', 'clock', 'annunciators'].map((key) => mustBe(key, published('lamps and LEDs of control equipment', 'NFPA 72, table 10.4.4 rows 1(a)-(f), older edition', 'SEEN-P'))),
    procedure: ['Start the indicator step of the control unit or press each key.', 'Watch every lamp and the display.', 'Compare the clock with your phone.', 'Look at each remote annunciator.'],
    source: commonPractice,
  }),
  check({
    key: 'firmware-currency', title: 'Firmware currency', subject: 'system', evidence: 'B', minutes: 2, judge: 'firmware',
    readings: [{ key: 'version', label: 'Version shown', unit: '', kind: 'text', required: true }],
    limits: [computed('version', '=', '', "on the company's approved list", companyRule)],
    preconditions: ['The company keeps an approved list for this control unit'],
    procedure: ['Read the version at the control unit.', 'Enter it as shown, letters and dots included.'],
    source: companyRule,
  }),
] as const;
