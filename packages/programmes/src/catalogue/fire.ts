import { cautions } from './cautions.js';
import { atPanel, atStation, check, commonPractice, companyRule, computed, date, limit, mustBe, number, published, yesNo } from './shape.js';

const fire = [cautions.hold, cautions.told, cautions.outputs, cautions.impaired, cautions.prevail];
const annual = (what: string, provenance: string) => published(`${what}, annual`, 'NFPA 72, table 14.4.3.2', provenance);
const actuated = [yesNo('alarmAtPanel', 'Alarm at the control unit'), yesNo('rightText', 'Right point and text'), yesNo('receivedAtStation', 'Heard at the station', false), number('secondsToShow', 'Seconds to alarm', 's', [0, 600, 1], false)];
const actuatedLimits = ['alarmAtPanel', 'rightText', 'receivedAtStation'].map((key) => mustBe(key, commonPractice));
const works = [{ code: 'covered-for-works', words: 'covered on purpose during building works', owedAgain: 'later' }] as const;

export const fireChecks = [
  check({
    key: 'smoke-functional', title: 'Smoke detector, functional', subject: 'device', evidence: 'A', minutes: 4, needsHold: true, activation: true, sounds: true, licensed: true,
    appliesTo: { systems: ['fire'], devices: ['smoke', 'duct-smoke', 'beam'] },
    readings: actuated, limits: [...actuatedLimits, limit('secondsToShow', '<=', 60, 's', companyRule)],
    disturbs: ['outputs isolated'], cautions: [...fire, cautions.aerosol, cautions.height, cautions.hearing],
    procedure: ['Bring smoke or a listed aerosol into the chamber; a magnet is not enough.', 'Read point and text at the control unit.', 'See the alarm at the station.', 'Clear the chamber and reset.'],
    expectedResponses: [atPanel('fire alarm of this point', 60), atStation('fire alarm of this zone', 90)], excusable: works,
    source: annual('smoke into the chamber', 'SEEN-R/U'),
  }),
  check({
    key: 'smoke-sensitivity', title: 'Smoke detector, sensitivity', subject: 'device', evidence: 'A', minutes: 5, judge: 'smoke-sensitivity', licensed: true, needsHold: true,
    params: { tolerancePctPerFt: 0.25 }, appliesTo: { systems: ['fire'], devices: ['smoke', 'duct-smoke'] }, after: ['smoke-functional'],
    readings: [number('pctPerFt', 'Sensitivity', '%/ft', [0, 15, 0.01]), number('markedLow', 'Marked range, low', '%/ft', [0, 15, 0.01], false), number('markedHigh', 'Marked range, high', '%/ft', [0, 15, 0.01], false)],
    limits: [computed('pctPerFt', 'between', '%/ft', 'the range marked on the detector, 0.25 %/ft outside fails', published('off by 0.25 %/ft outside the marked range: clean and recalibrate, or replace', 'fire detector maintenance page', 'SEEN-R'))],
    cautions: [...fire, cautions.height],
    procedure: ['Use the calibrated instrument or the control unit\'s own reading, as the maker allows.', 'Read the range marked on the detector.', 'Enter both.'],
    source: published('within 1 year, then every other year, to 5 years when stable', 'NFPA 72, 14.4.5.3 (2010/2013 numbering)', 'SEEN-R'),
  }),
  check({
    key: 'heat-functional', title: 'Heat detector, functional', subject: 'device', evidence: 'A', minutes: 4, needsHold: true, activation: true, sounds: true, licensed: true,
    appliesTo: { systems: ['fire'], devices: ['heat'] },
    readings: [...actuated, yesNo('restorable', 'Restorable type')],
    limits: [...actuatedLimits, limit('secondsToShow', '<=', 120, 's', companyRule)],
    preconditions: ['Restorable types only by heat; a non-restorable one is proven electrically, never by heat'],
    disturbs: ['outputs isolated'], cautions: [...fire, 'Never heat a non-restorable detector; never use a flame.', cautions.height, cautions.hearing],
    procedure: ['Find out whether the detector restores.', 'Warm it with a listed tool, or prove the circuit where it does not restore.', 'Read point and text; see the alarm at the station.', 'Reset.'],
    expectedResponses: [atPanel('fire alarm of this point', 120), atStation('fire alarm of this zone', 90)], excusable: works,
    source: published('restorable: two or more per circuit each year, all within 5 years; non-restorable after 15 years', 'NFPA 72', 'MEM, 15 y SEEN-U'),
  }),
  check({
    key: 'co-functional', title: 'Carbon monoxide detector, functional', subject: 'device', evidence: 'A', minutes: 5, needsHold: true, activation: true, sounds: true, licensed: true,
    appliesTo: { systems: ['co', 'fire'], devices: ['co'] },
    readings: actuated, limits: [...actuatedLimits, limit('secondsToShow', '<=', 300, 's', companyRule)],
    cautions: [...fire, cautions.gas, cautions.hearing],
    procedure: ['Apply the gas or the maker\'s method; the button alone proves the horn.', 'Read point and text; see the alarm at the station.', 'Ventilate and reset.'],
    expectedResponses: [atPanel('carbon monoxide alarm', 300), atStation('carbon monoxide alarm', 90)],
    source: published('functional with gas or maker\'s method, annual', 'NFPA 720, merged into NFPA 72 in 2019', 'MEM'),
  }),
  check({
    key: 'end-of-life-date', title: 'End-of-life date', subject: 'device', evidence: 'B', minutes: 1, judge: 'end-of-life',
    params: { lifeYears: 10, 'lifeYears.co': 5, 'lifeYears.gas': 5, 'lifeYears.heat': 15, warnDays: 183 }, appliesTo: { devices: ['smoke', 'heat', 'co', 'gas'] },
    readings: [date('endOfLifeOn', 'End of life marked'), date('madeOn', 'Date of make'), yesNo('endSignal', 'Device signals end of life', false)],
    limits: [computed('endOfLifeOn', '>', '', 'the marked date wins; else from make: smoke 10, CO and gas 5 (the short end of 5 to 10), heat 15 years; a date that can\'t be told is treated as due', published('household smoke alarm within 10 years of manufacture; CO marking, typically 5 to 10; non-restorable heat 15', 'NFPA 72, 29.10.1 (2007 and later)', 'SEEN-R; CO MEM; heat SEEN-U'))],
    cautions: [cautions.height],
    procedure: ['Take the device off its base and read the label.', 'Enter the date as marked; where none is legible, leave it empty and photograph the label.'],
    source: published('household smoke alarm within 10 years of manufacture', 'NFPA 72, 29.10.1', 'SEEN-R'),
  }),
  check({
    key: 'call-point', title: 'Manual call point', subject: 'device', evidence: 'A', minutes: 3, needsHold: true, activation: true, sounds: true, licensed: true,
    appliesTo: { systems: ['fire'], devices: ['call-point'] },
    readings: [...actuated, yesNo('reset', 'Reset and intact')], limits: [...actuatedLimits, limit('secondsToShow', '<=', 10, 's', companyRule), mustBe('reset', commonPractice)],
    disturbs: ['outputs isolated'], cautions: [...fire, cautions.hearing],
    procedure: ['Operate it with its key or by hand.', 'Read point and text; see the alarm at the station.', 'Reset it and look at the element.'],
    expectedResponses: [atPanel('fire alarm of this point', 10), atStation('fire alarm of this zone', 90)],
    source: annual('manual stations', 'SEEN-R/U'),
  }),
  check({
    key: 'waterflow', title: 'Waterflow switch', subject: 'device', evidence: 'A', minutes: 10, needsHold: true, activation: true, sounds: true, licensed: true,
    appliesTo: { systems: ['fire'], devices: ['waterflow'] },
    readings: [number('secondsToAlarm', 'Seconds from flow to alarm', 's', [0, 600, 1]), yesNo('rightText', 'Right point and text'), yesNo('receivedAtStation', 'Heard at the station', false)],
    limits: [limit('secondsToAlarm', '<=', 90, 's', published('within 90 s of the flow of one sprinkler', 'NFPA 72', 'SEEN-U')), mustBe('rightText', commonPractice), mustBe('receivedAtStation', commonPractice)],
    disturbs: ['outputs isolated', 'drain open'], cautions: [...fire, cautions.water, cautions.hearing],
    procedure: ['Open the inspector\'s connection and start counting.', 'Stop counting at the alarm; read point and text.', 'Shut the connection, see it restored, and the drain dry.'],
    expectedResponses: [atPanel('waterflow alarm', 90), atStation('waterflow alarm', 180)],
    source: published('waterflow and valve supervisory, semiannual', 'NFPA 72, 14.4.3.2 (2025); NFPA 25 may want quarterly', 'SEEN-R'),
  }),
  check({
    key: 'valve-supervisory', title: 'Valve supervisory switch', subject: 'device', evidence: 'A', minutes: 6, judge: 'valve-supervisory', needsHold: true, activation: true, licensed: true,
    params: { maxTurns: 2, maxTravelPct: 20 }, appliesTo: { systems: ['fire'], devices: ['valve-supervisory'] },
    readings: [yesNo('signalled', 'Signal while closing'), number('turns', 'Turns of the wheel to the signal', 'turns', [0, 100, 0.25], false), number('travelPct', 'Travel to the signal', '%', [0, 100, 1], false), yesNo('restoredOnlyOpen', 'Restored only when fully open')],
    limits: [
      mustBe('signalled', published('signal within 2 turns or 1/5 of travel', 'NFPA 72', 'SEEN-U')), limit('turns', '<=', 2, 'turns', published('signal within 2 turns', 'NFPA 72', 'SEEN-U')),
      limit('travelPct', '<=', 20, '%', published('signal within 1/5 of travel', 'NFPA 72', 'SEEN-U')), mustBe('restoredOnlyOpen', published('restores only fully open', 'NFPA 72', 'SEEN-U')),
    ],
    disturbs: ['valve moved'], cautions: [...fire, cautions.water, 'A valve left shut is an impairment: open it fully, lock it, record it.'],
    procedure: ['Close the valve slowly and count the turns to the signal.', 'Read the text at the control unit.', 'Open it fully: it must not restore before.', 'Lock the valve open.'],
    expectedResponses: [atPanel('valve supervisory', 30), atStation('valve supervisory', 120)],
    source: published('waterflow and valve supervisory, semiannual', 'NFPA 72, 14.4.3.2 (2025)', 'SEEN-R'),
  }),
  check({
    key: 'door-release', title: 'Door release', subject: 'device', evidence: 'B', minutes: 3, needsHold: true, activation: true, licensed: true,
    appliesTo: { systems: ['fire', 'intrusion'], devices: ['door-release'] },
    readings: [yesNo('released', 'Released on alarm'), yesNo('releasedOnLoss', 'Released on loss of power', false), yesNo('closed', 'Door closed fully'), yesNo('heldAgain', 'Holds again after reset')],
    limits: ['released', 'releasedOnLoss', 'closed', 'heldAgain'].map((key) => mustBe(key, commonPractice)),
    disturbs: ['door released'], cautions: [...fire, cautions.doors],
    procedure: ['Clear the doorway.', 'Operate the release by an alarm, then by loss of its power.', 'See the door close fully.', 'Reset and see it hold.'],
    expectedResponses: [{ what: 'door released', where: 'site', withinS: 10 }],
    source: commonPractice,
  }),
] as const;
