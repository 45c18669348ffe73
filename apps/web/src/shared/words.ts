import type { ACCOUNT_STATES, BATTERY_CHEMISTRIES, DEVICE_KINDS, DEVICE_LINKS, ENVIRONMENTS, OCCUPANCIES, PATH_TECHNOLOGIES, PlanState, PREVENTABLE_BY, RecordAttempt, Role, Severity, StepVerdict, SUBJECT_KINDS, SYSTEM_KINDS, Verdict, VisitState } from '@bellround/contracts';
import { phrase } from './language/index.js';

/**
 * A phrase for every value that the server sends as a word. Each map is exhaustive by its type: a value that is added to the
 * contract does not compile here until it has its phrase.
 */
type Words<T extends string> = Readonly<Record<T, string>>;

/** The word of a value; one that a newer server sends is shown as it came. */
export const wordOf = (words: Readonly<Record<string, string>>, value: string): string => words[value] ?? value.replaceAll('-', ' ');
export const wordsOf = (words: Readonly<Record<string, string>>, values: readonly string[]): string => values.map((value) => wordOf(words, value)).join(', ');

export const SEVERITY: Words<Severity> = {
  impairment: phrase('word.impairment'), critical: phrase('word.critical'), 'non-critical': phrase('word.non-critical'), observation: phrase('word.observation'),
};
export const ROLE: Words<Role> = { owner: phrase('word.owner'), dispatcher: phrase('word.dispatcher'), technician: phrase('word.technician'), auditor: phrase('word.auditor') };
export const PLAN_STATE: Words<PlanState> = {
  computing: phrase('word.plan-computing'), draft: phrase('word.plan-draft'), published: phrase('word.plan-published'), superseded: phrase('word.plan-superseded'),
  dropped: phrase('word.plan-dropped'), failed: phrase('word.plan-failed'), cancelled: phrase('word.plan-cancelled'),
};
export const VISIT_STATE: Words<VisitState> = {
  wanted: phrase('word.visit-wanted'), planned: phrase('word.visit-planned'), published: phrase('word.visit-published'), open: phrase('word.visit-open'),
  closed: phrase('word.visit-closed'), stopped: phrase('word.visit-stopped'), 'no-access': phrase('word.visit-no-access'), cancelled: phrase('word.visit-cancelled'),
};
export const VERDICT: Words<Verdict | 'not-enough-data'> = {
  pass: phrase('app.pass'), marginal: phrase('app.marginal'), fail: phrase('app.fail'), excused: phrase('word.excused'), 'not-done': phrase('app.not-done'), 'not-enough-data': phrase('app.cant-tell'),
};
export const STEP_VERDICT: Words<StepVerdict> = {
  right: phrase('word.step-right'), 'wrong-text': phrase('word.step-wrong-text'), 'wrong-path': phrase('word.step-wrong-path'), 'wrong-kind': phrase('word.step-wrong-kind'), 'wrong-zone': phrase('word.step-wrong-zone'),
  'wrong-account': phrase('word.step-wrong-account'), late: phrase('app.late'), pending: phrase('word.step-pending'), 'not-received': phrase('word.step-not-received'),
};
export const SYSTEM_KIND: Words<(typeof SYSTEM_KINDS)[number]> = {
  intrusion: phrase('word.intrusion'), fire: phrase('word.fire'), 'hold-up': phrase('word.hold-up'), medical: phrase('word.medical'), co: phrase('word.co'), environmental: phrase('word.environmental'), 'home-automation': phrase('word.home-automation'),
};
/** What of an account can be on test. */
export const HOLD_PART: Words<'intrusion' | 'fire' | 'panic' | 'hold-up' | 'medical' | 'co' | 'environmental' | 'paths' | 'everything'> = {
  intrusion: SYSTEM_KIND.intrusion, fire: SYSTEM_KIND.fire, panic: phrase('word.panic'), 'hold-up': SYSTEM_KIND['hold-up'], medical: SYSTEM_KIND.medical, co: SYSTEM_KIND.co,
  environmental: SYSTEM_KIND.environmental, paths: phrase('word.paths'), everything: phrase('visits.everything'),
};
export const OCCUPANCY: Words<(typeof OCCUPANCIES)[number]> = {
  home: phrase('word.home'), shop: phrase('word.shop'), office: phrase('word.office'), school: phrase('word.school'), care: phrase('word.care'), warehouse: phrase('word.warehouse'),
  'holiday-home': phrase('word.holiday-home'), hospitality: phrase('word.hospitality'), industrial: phrase('word.industrial'), public: phrase('word.public'),
};
export const ENVIRONMENT: Words<(typeof ENVIRONMENTS)[number]> = { mild: phrase('word.environment-mild'), harsh: phrase('word.environment-harsh') };
export const CHEMISTRY: Words<(typeof BATTERY_CHEMISTRIES)[number]> = {
  'lead-acid-sealed': phrase('word.lead-acid-sealed'), 'lead-acid-vented': phrase('word.lead-acid-vented'), 'nickel-cadmium': phrase('word.nickel-cadmium'),
  'lithium-primary': phrase('word.lithium-primary'), 'lithium-ion': phrase('word.lithium-ion'), alkaline: phrase('word.alkaline'),
};
export const ACCOUNT_STATE: Words<(typeof ACCOUNT_STATES)[number]> = { live: phrase('word.account-live'), suspended: phrase('word.account-suspended'), cancelled: phrase('word.account-cancelled') };
export const SUBJECT: Words<(typeof SUBJECT_KINDS)[number]> = { site: phrase('word.subject-site'), system: phrase('word.subject-system'), device: phrase('word.subject-device'), path: phrase('word.subject-path'), battery: phrase('word.subject-battery') };
export const DEVICE: Words<(typeof DEVICE_KINDS)[number]> = {
  contact: phrase('word.contact'), motion: phrase('word.motion'), beam: phrase('word.beam'), vibration: phrase('word.vibration'), 'glass-break': phrase('word.glass-break'), smoke: phrase('word.smoke'), heat: phrase('word.heat'),
  'duct-smoke': phrase('word.duct-smoke'), co: phrase('word.co'), 'call-point': phrase('word.call-point'), waterflow: phrase('word.waterflow'), 'valve-supervisory': phrase('word.valve-supervisory'), 'door-release': phrase('word.door-release'),
  sounder: phrase('word.sounder'), 'visual-alarm': phrase('word.visual-alarm'), keypad: phrase('word.keypad'), annunciator: phrase('word.annunciator'), 'key-switch': phrase('word.key-switch'), 'hold-up': SYSTEM_KIND['hold-up'], medical: SYSTEM_KIND.medical,
  duress: phrase('word.duress'), flood: phrase('word.flood'), temperature: phrase('word.temperature'), gas: phrase('word.gas'), 'sound-level': phrase('word.sound-level'), camera: phrase('word.camera'), lock: phrase('word.lock'), light: phrase('word.light'),
  thermostat: phrase('word.thermostat'), plug: phrase('word.plug'), repeater: phrase('word.repeater'), 'radio-module': phrase('word.radio-module'), expander: phrase('word.expander'), enclosure: phrase('word.enclosure'), 'power-supply': phrase('word.power-supply'),
};
export const DEVICE_LINK: Words<(typeof DEVICE_LINKS)[number]> = { wired: phrase('word.wired'), wireless: phrase('word.wireless'), mesh: phrase('word.mesh') };
export const TECHNOLOGY: Words<(typeof PATH_TECHNOLOGIES)[number]> = { ethernet: phrase('word.ethernet'), wifi: phrase('word.wifi'), cellular: phrase('word.cellular'), line: phrase('word.line'), radio: phrase('word.radio') };
export const PREVENTABLE: Words<(typeof PREVENTABLE_BY)[number]> = { ours: phrase('word.ours'), customer: phrase('word.customer'), station: phrase('word.station'), weather: phrase('word.weather'), 'part-supplier': phrase('word.part-supplier') };
export const ATTEMPT_HOW: Words<RecordAttempt['how']> = { 'at-door': phrase('word.at-door'), call: phrase('word.call'), message: phrase('word.message'), letter: phrase('word.letter') };
export const ATTEMPT_OUTCOME: Words<RecordAttempt['outcome']> = {
  'no-answer': phrase('word.no-answer'), refused: phrase('word.refused'), 'only-minors': phrase('word.only-minors'), 'wrong-contact': phrase('word.wrong-contact'), 'moved-appointment': phrase('word.moved-appointment'), unsafe: phrase('word.unsafe'), reached: phrase('word.reached'),
};
/** Where a step must complain. */
export const RESPONSE_AT: Words<'site' | 'station' | 'panel'> = { site: phrase('word.at-site'), station: phrase('word.at-station'), panel: phrase('word.at-panel') };
/** Entries of a deficiency's history. */
export const DEFICIENCY_FACT: Readonly<Record<string, string>> = {
  raised: phrase('word.raised'), 'seen-again': phrase('word.seen-again'), joined: phrase('word.joined'), 'part-replaced': phrase('word.part-replaced'), 'clock-over': phrase('word.clock-over'), reopened: phrase('word.reopened'), 'retest-passed': phrase('word.retest-passed'), 'retest-failed': phrase('word.retest-failed'), 'retest-planned': phrase('word.retest-planned'), retest: phrase('word.retest-planned'), accepted: phrase('word.accepted'),
  'acceptance-over': phrase('word.acceptance-over'), regraded: phrase('word.regraded'), told: phrase('word.told'), parts: phrase('word.parts'), photo: phrase('word.photo'), interim: phrase('word.interim'), 'interim-over': phrase('word.interim-over'),
};
/** Classes of parts of the model of exposure, and the links of a chain. */
export const PART_CLASS: Readonly<Record<string, string>> = {
  supply: phrase('word.supply'), battery: phrase('word.subject-battery'), 'control-unit': phrase('word.control-unit'), 'path-ethernet': phrase('word.path-ethernet'), 'path-wifi': phrase('word.path-wifi'), 'path-cellular': phrase('word.path-cellular'), 'path-line': phrase('word.path-line'),
  'path-radio': phrase('word.path-radio'), 'detector-wireless': phrase('word.detector-wireless'), 'detector-wired': phrase('word.detector-wired'), 'detector-life-safety': phrase('word.detector-life-safety'), sounder: phrase('word.sounder'), 'mesh-device': phrase('word.mesh-device'),
  power: phrase('word.power'), detection: phrase('word.detection'), path: phrase('word.subject-path'), paths: phrase('word.paths'), station: phrase('word.station'),
};
