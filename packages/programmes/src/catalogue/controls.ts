import { cautions } from './cautions.js';
import { atPanel, atStation, check, commonPractice, companyRule, limit, mustBe, number, published, text, yesNo } from './shape.js';

const siteList = published('hold-up devices, set and unset, user interfaces on the site check list', 'frequency and content of maintenance visits, PD 6662', 'SEEN-R');

/** What people press, turn, wear and read: each is a way in or a last way to call. */
export const controlChecks = [
  check({
    key: 'keypad-duress', title: 'Duress code at a keypad', subject: 'device', evidence: 'A', minutes: 4, needsHold: true, activation: true,
    appliesTo: { devices: ['keypad', 'duress'] },
    readings: [yesNo('receivedAtStation', 'Heard at the station as duress'), yesNo('rightText', 'Right person or place in the text'), yesNo('silent', 'Nothing on site gave it away'), yesNo('unsetAsUsual', 'The system unset as with a usual code')],
    limits: ['receivedAtStation', 'rightText', 'silent', 'unsetAsUsual'].map((key) => mustBe(key, commonPractice)),
    preconditions: ['The occupant who holds the code is here and willing', 'The station is told that duress follows, and by whom it is called off'],
    cautions: [cautions.hold, 'Duress sends police to a person in danger: have the operator confirm that this account is on test before the code is entered.', 'Never see, ask for or write down an occupant\'s code.', cautions.prevail],
    procedure: ['Confirm with the operator that duress of this account is on test.', 'Turn away while the occupant enters the duress code.', 'Watch that display, buzzer and lamps behave as with a usual code.', 'Have the station read back what it got, then close it there.'],
    expectedResponses: [atStation('duress', 90)],
    excusable: [{ code: 'not-programmed', words: 'no duress code is programmed, by the occupant\'s written wish', owedAgain: 'later' }],
    source: siteList,
  }),
  check({
    key: 'personal-transmitter', title: 'Panic or medical transmitter', subject: 'device', evidence: 'A', minutes: 5, needsHold: true, activation: true,
    appliesTo: { devices: ['hold-up', 'medical', 'duress'], links: ['wireless'] },
    readings: [
      yesNo('receivedAtStation', 'Heard at the station'), yesNo('rightText', 'Right person or place in the text'), yesNo('farthestPlace', 'Works from the farthest place it is meant for'), number('secondsToStation', 'Seconds to the station', 's', [0, 600, 1], false),
      yesNo('batteryGood', 'Its battery shows good'), yesNo('voiceBothWays', 'Voice heard both ways', false), yesNo('worn', 'Worn or in its place', false),
    ],
    limits: [
      ...['receivedAtStation', 'rightText', 'farthestPlace', 'batteryGood', 'voiceBothWays'].map((key) => mustBe(key, commonPractice)), limit('secondsToStation', '<=', 90, 's', companyRule), { ...mustBe('worn', commonPractice), level: 'marginal' as const },
    ],
    preconditions: ['The occupant agrees and knows that help is not coming now'],
    cautions: [cautions.hold, 'For the wearer this is a lifeline: say when it is out of use and when it is back, and never leave them without one.', cautions.prevail],
    procedure: ['Ask where the transmitter is used: bath, garden, stairs.', 'Press it in the farthest of those places, cupboard doors shut.', 'Listen and speak where a voice channel is fitted.', 'Have the station read back person and place; reset.', 'Read its battery state and look at strap or cord.'],
    expectedResponses: [atPanel('call of this transmitter', 10), atStation('panic or medical call', 90)],
    source: siteList,
  }),
  check({
    key: 'key-switch', title: 'Key-switch', subject: 'device', evidence: 'B', minutes: 4, needsHold: true, activation: true,
    appliesTo: { devices: ['key-switch'] },
    readings: [yesNo('sets', 'Sets the right area'), yesNo('unsets', 'Unsets it'), yesNo('refusesWhenOpen', 'Refuses to set with a zone open', false), yesNo('indicator', 'Its lamp shows the right state'), yesNo('tight', 'Mounted tight, key cannot be drawn half-way'), yesNo('receivedAtStation', 'Opening and closing heard at the station', false)],
    limits: [...['sets', 'unsets', 'refusesWhenOpen', 'indicator', 'receivedAtStation'].map((key) => mustBe(key, commonPractice)), { ...mustBe('tight', commonPractice), level: 'marginal' as const }],
    cautions: [cautions.hold, 'Setting arms the area with you in it: shut other zones, and know the way to unset.'],
    procedure: ['Leave one zone open and turn the key: it must not set.', 'Shut the zone, set, and look at lamp and keypad.', 'Unset, and look again.', 'Try the switch for play; count who holds a key.'],
    expectedResponses: [atPanel('area set, then unset', 10), atStation('closing, then opening', 90)],
    source: siteList,
  }),
  check({
    key: 'remote-annunciator', title: 'Remote annunciator or keypad', subject: 'device', evidence: 'B', minutes: 4,
    appliesTo: { devices: ['annunciator', 'keypad'] },
    readings: [
      yesNo('sameAsPanel', 'Shows what the control unit shows'), yesNo('lamps', 'All lamps and the display light'), yesNo('keys', 'All keys answer'), yesNo('buzzer', 'Buzzer heard'), yesNo('legend', 'Zone legend or plan beside it is right', false),
      number('volts', 'Voltage at its terminals', 'V', [0, 60, 0.01], false),
    ],
    limits: [...['sameAsPanel', 'lamps', 'keys', 'buzzer'].map((key) => mustBe(key, published('lamps and LEDs of control equipment', 'NFPA 72, table 10.4.4 rows 1(a)-(f), older edition', 'SEEN-P'))), { ...mustBe('legend', commonPractice), level: 'marginal' as const }],
    procedure: ['Compare display and lamps with the control unit, line by line.', 'Start its lamp step or press each key.', 'Compare the legend or plan with the list of zones.', 'Where it is far away, measure at its terminals.'],
    source: published('lamps and LEDs of control equipment', 'NFPA 72, table 10.4.4 rows 1(a)-(f), older edition', 'SEEN-P'),
  }),
  check({
    key: 'user-list-review', title: 'Users and codes reviewed', subject: 'system', evidence: 'B', minutes: 5,
    appliesTo: { systems: ['intrusion', 'hold-up', 'medical'] },
    readings: [yesNo('leaversOut', 'Nobody who has left still has a code, tag or key'), yesNo('contactsRight', "Call list at the station is right"), yesNo('makerCodesGone', "No maker's code is left in use"), number('users', 'Users on the list', '', [0, 10_000, 1], false), text('changed', 'What was changed')],
    limits: [mustBe('leaversOut', commonPractice), mustBe('contactsRight', commonPractice), mustBe('makerCodesGone', commonPractice)],
    cautions: ['Names and roles only: never see, ask for or write down a code.'],
    procedure: ['Go through the list of users by name with whoever answers for the site.', 'Let them take out who has left.', "Read the station's call list aloud and correct it.", "See that no maker's code opens the control unit."],
    source: commonPractice,
  }),
  check({
    key: 'zone-list-review', title: 'Zone lists compared', subject: 'system', evidence: 'B', minutes: 8,
    readings: [yesNo('panelRead', "The control unit's list was read"), yesNo('stationRead', "The station's list was read"), number('differ', 'Zones that differ', '', [0, 10_000, 1]), number('notListed', 'Found, not listed', '', [0, 1000, 1], false), number('notFound', 'Listed, not found', '', [0, 1000, 1], false)],
    limits: [
      { ...mustBe('panelRead', companyRule), level: 'marginal' as const }, { ...mustBe('stationRead', companyRule), level: 'marginal' as const }, limit('differ', '<=', 0, 'zones', companyRule),
      limit('notListed', '<=', 0, 'devices', companyRule), limit('notFound', '<=', 0, 'devices', companyRule),
    ],
    procedure: ["Read the control unit's zones and texts.", "Get the station's list of the account.", 'Compare both with ours; look at what differs before anything is changed.', 'Correct our list; ask the station to correct theirs, and prove it by a new right signal.'],
    source: companyRule,
  }),
];
