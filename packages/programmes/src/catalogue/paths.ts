import { cautions } from './cautions.js';
import { atPanel, atStation, check, choice, commonPractice, companyRule, computed, limit, mustBe, number, published, text, yesNo } from './shape.js';

const en50136 = published('reporting times by category', 'EN 50136-1:2012', 'MEM, SP6 and DP4 primary SEEN-R');

export const pathChecks = [
  check({
    key: 'transmission-path', title: 'Transmission path', subject: 'path', evidence: 'A', minutes: 8, judge: 'transmission-path', needsHold: true,
    params: { roundTripLimitS: 90 },
    readings: [
      yesNo('receivedAtStation', 'Received at the station'),
      number('roundTripS', 'Seconds from sending to the station', 's', [0, 86_400, 0.1], false),
      choice('levelKind', 'Level as shown', [{ code: 'dbm', words: 'level in dBm' }, { code: 'rsrp', words: 'LTE RSRP in dBm' }, { code: 'csq', words: '+CSQ code 0 to 31' }], false),
      number('level', 'Level', 'dBm', [-160, 99, 1], false),
      text('operatorNetwork', 'Operator network'),
    ],
    limits: [
      mustBe('receivedAtStation', published('off-premises transmission', 'NFPA 72, table 14.4.3.2', 'SEEN-R')),
      limit('roundTripS', '<=', 90, 's', companyRule),
      computed('level', '>=', 'dBm', 'level class of the technology: weak or none only warns', published('level classes', '3GPP TS 27.007 +CSQ, LTE RSRP and Wi-Fi tables', 'SEEN-R'), 'marginal'),
    ],
    preconditions: ['The other paths are held back, so that this one alone carries the signal'],
    disturbs: ['other paths held back'],
    cautions: [cautions.hold, cautions.prevail],
    procedure: ['Hold back the other paths.', 'Send one signal and start counting.', 'Ask the station, or see in the feed, by which path and when it came.', 'Read the level and the network, then release the other paths.'],
    expectedResponses: [atStation('the signal sent, by this path', 90)],
    excusable: [{ code: 'not-yet-registered', words: 'account not yet registered with the station on this path', owedAgain: 'later' }],
    source: published('all transmission paths on the check list', 'frequency and content of maintenance visits, PD 6662', 'SEEN-R'),
  }),
  check({
    key: 'path-changeover', title: 'Path changeover, both directions', subject: 'system', evidence: 'A', minutes: 15, judge: 'path-changeover', needsHold: true,
    params: { reportLimitS: 200 },
    readings: [
      yesNo('primaryLossReported', 'Loss of the first path reported by the second'), number('primaryReportS', 'Seconds to report it', 's', [0, 200_000, 1]),
      yesNo('primaryRestored', 'Return of the first path reported'), number('primaryRestoreS', 'Seconds to restore', 's', [0, 200_000, 1], false),
      yesNo('alternateLossReported', 'Loss of the second path reported by the first'), number('alternateReportS', 'Seconds to report it', 's', [0, 200_000, 1]),
      yesNo('alternateRestored', 'Return of the second path reported'),
    ],
    limits: [
      ...['primaryLossReported', 'primaryRestored', 'alternateLossReported', 'alternateRestored'].map((key) => mustBe(key, commonPractice)),
      computed('primaryReportS', '<=', 's', "the category's reporting time; 200 s where the category is not known", en50136),
      computed('alternateReportS', '<=', 's', "the category's reporting time; 200 s where the category is not known", en50136),
    ],
    preconditions: ['Two paths fitted', 'Each path proven alone'], after: ['transmission-path'], disturbs: ['first path cut', 'second path cut'],
    cautions: [cautions.hold, cautions.prevail],
    procedure: ['Cut the first path and time the report that comes by the second.', 'Restore it and see the return reported.', 'Do the same with the second path.', 'Plug both in again and look at both indicators.'],
    expectedResponses: [atPanel('path fault', 200), atStation('path fault by the other path', 200), atStation('path restored', 200)],
    source: en50136,
  }),
  check({
    key: 'path-supervision', title: 'Loss of a path is noticed', subject: 'path', evidence: 'A', minutes: 6, judge: 'path-supervision', needsHold: true, activation: true, disturbs: ['path cut'], after: ['transmission-path'],
    params: { panelLimitS: 200, stationLimitS: 3600 },
    readings: [yesNo('shownAtPanel', 'Loss shown at the control unit'), number('panelS', 'Seconds until it was shown', 's', [0, 200_000, 1], false), yesNo('noticedAtStation', 'Loss noticed at the station', false), number('noticedS', 'Seconds until the station noticed', 's', [0, 3_000_000, 1], false), yesNo('restored', 'Return shown and heard')],
    limits: [
      mustBe('shownAtPanel', commonPractice), mustBe('noticedAtStation', commonPractice), mustBe('restored', commonPractice), limit('panelS', '<=', 200, 's', published('trouble annunciated at the premises within 200 s', 'NFPA 72, 26.6.4', 'SEEN-R')),
      computed('noticedS', '<=', 's', "the category's reporting time; 60 min where the category is not known", published('reporting times by category; single technology within 60 min', 'EN 50136-1:2012; NFPA 72, 26.6.3 (2022)', 'MEM, SP6 and DP4 primary SEEN-R; 60 min SEEN-R')),
    ],
    preconditions: ['No other system of the site lives on this path'],
    cautions: [cautions.hold, cautions.prevail],
    procedure: ['Cut the path: unplug it, or cover its aerial.', 'Count until the control unit shows it.', 'Ask the station when it noticed, or read its history afterwards.', 'Put the path back and see it return on both sides.'],
    expectedResponses: [atPanel('path fault', 200), atStation('path lost', 3600)],
    source: published('path-fault reporting', 'frequency and content of maintenance visits, PD 6662', 'SEEN-R'),
  }),
  check({
    key: 'periodic-signal', title: 'Periodic signal received', subject: 'path', evidence: 'A', minutes: 0, judge: 'periodic-signal',
    readings: [number('hoursSinceLast', 'Hours since last received', 'h', [0, 100_000, 0.1]), number('longestGapH', 'Longest silence since the last visit', 'h', [0, 100_000, 0.1], false)],
    limits: [computed('longestGapH', '<=', 'h', 'interval promised for the path plus its grace', published('automatic signal at least monthly, household; 6 h digital communicator', 'NFPA 72-2007 11.7.8(6), as quoted by the Texas State Fire Marshal, May 2014; NFPA 72, 2013', 'SEEN-P, 6 h SEEN-R'))],
    preconditions: ["The station's history of this path"],
    procedure: ["Read the station's history of this path; no visit is needed."],
    source: published('household monitored system: automatic signal at least monthly', 'NFPA 72-2007 11.7.8(6)', 'SEEN-P'),
  }),
  check({
    key: 'receiver-self-test', title: 'Receiver module self-check', subject: 'device', evidence: 'B', minutes: 2, judge: 'fitted-module',
    appliesTo: { devices: ['radio-module', 'repeater', 'expander'] },
    readings: [
      choice('answer', 'Module', [{ code: 'answers', words: 'answers' }, { code: 'silent', words: 'fitted, does not answer' }, { code: 'not-fitted', words: 'not fitted' }]),
      number('levelDbm', 'Level', 'dBm', [-150, 0, 1], false),
    ],
    limits: [mustBe('answer', commonPractice, 'answers')],
    procedure: ['Start the module check of the control unit.', 'Note for each fitted module whether it answers.'],
    source: commonPractice,
  }),
] as const;
