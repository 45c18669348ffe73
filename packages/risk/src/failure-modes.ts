/**
 * How each class fails, and which checks find it. Faults that a system reports by itself are counted by `reportedShare` of its class; what is
 * left is silent, and each silent mode waits for a check that reveals it. Check kinds are the keys of the catalogue. Rules MODE-1..4 in SPEC.md.
 */
import type { ComponentClass } from './component-classes.js';

/** One way in which a class fails unseen. Shares of a class sum to 1. */
export interface FailureMode {
  readonly mode: string;
  readonly words: string;
  /** Share of the class's silent failures, 0..1. */
  readonly share: number;
  /** Keys of the checks that reveal it; none: only renewal ends it. */
  readonly revealedBy: readonly string[];
}

/** Where the shares come from: no published split was found. */
export const MODES_SOURCE = 'company rule: what each check of the catalogue looks at; shares are judgement, to be replaced by own findings';

const mode = (name: string, words: string, share: number, revealedBy: readonly string[]): FailureMode => ({ mode: name, words, share, revealedBy });

const ACTUATION = ['detector-actuation', 'hold-up', 'acoustic-response', 'personal-transmitter', 'key-switch', 'keypad-duress', 'environmental-sensor', 'beam-alignment'];
const FIRE_ACTUATION = ['smoke-functional', 'heat-functional', 'co-functional', 'call-point', 'waterflow', 'valve-supervisory', 'smoke-beam', 'environmental-sensor', 'detector-actuation'];
const PATH = [
  mode('no-arrival', 'signals no longer arrive', 0.65, ['transmission-path', 'path-changeover', 'periodic-signal']),
  mode('too-slow', 'signals arrive too late or as the wrong account', 0.1, ['transmission-path']),
  mode('unnoticed', 'its loss is noticed by nobody', 0.1, ['path-supervision', 'path-changeover']),
  mode('no-alone', 'works only while the other path helps', 0.1, ['transmission-path', 'path-changeover']),
  mode('hidden', 'what no check looks at', 0.05, []),
];

/** The silent failure modes of every class. */
export const FAILURE_MODES: Readonly<Record<ComponentClass, readonly FailureMode[]>> = {
  supply: [
    mode('no-output', 'no or wrong output voltage', 0.55, ['supply-voltage', 'mains-supply']),
    mode('no-charge', 'does not charge the battery', 0.25, ['supply-voltage']),
    mode('no-report', 'loss of mains is not reported', 0.1, ['mains-loss-report']),
    mode('hidden', 'what no check looks at', 0.1, []),
  ],
  battery: [
    mode('capacity', 'capacity lost', 0.65, ['battery-on-load']),
    mode('charge', 'held at a wrong voltage', 0.05, ['charge-voltage']),
    mode('connection', 'connection or fuse open under load', 0.2, ['battery-on-load']),
    mode('hidden', 'what no check looks at', 0.1, []),
  ],
  'control-unit': [
    mode('no-set', 'does not set or does not alarm when set', 0.4, ['set-unset']),
    mode('inputs', 'inputs, keys or indicators dead', 0.25, ['indicators-keys', 'set-unset']),
    mode('tamper', 'cover contact dead', 0.1, ['enclosure-tamper']),
    mode('programming', 'programme or log wrong', 0.1, ['event-log-review', 'firmware-currency']),
    mode('hidden', 'what no check looks at', 0.15, []),
  ],
  'path-ethernet': PATH,
  'path-wifi': PATH,
  'path-cellular': PATH,
  'path-line': PATH,
  'path-radio': PATH,
  'detector-wireless': [
    mode('deaf', 'no longer senses what it should', 0.45, ACTUATION),
    mode('link', 'its signal no longer reaches the control unit', 0.25, [...ACTUATION, 'wireless-margin', 'radio-supervision']),
    mode('cell', 'its cell gives out without a warning', 0.1, ['device-cell']),
    mode('wrong-zone', 'reports the wrong zone or text', 0.15, ACTUATION),
    mode('hidden', 'what no check looks at', 0.05, []),
  ],
  'detector-wired': [
    mode('deaf', 'no longer senses what it should', 0.6, ACTUATION),
    mode('wiring', 'its wiring no longer carries an alarm', 0.2, ACTUATION),
    mode('wrong-zone', 'reports the wrong zone or text', 0.15, ACTUATION),
    mode('hidden', 'what no check looks at', 0.05, []),
  ],
  'detector-life-safety': [
    mode('deaf', 'no longer senses what it should', 0.6, FIRE_ACTUATION),
    mode('sensitivity', 'senses too late', 0.2, ['smoke-sensitivity']),
    mode('wrong-zone', 'reports the wrong point or text', 0.15, FIRE_ACTUATION),
    mode('hidden', 'what no check looks at', 0.05, ['end-of-life-date']),
  ],
  sounder: [
    mode('silent', 'gives no alarm', 0.65, ['sounder-level', 'alarm-pattern', 'visual-alarm']),
    mode('quiet', 'too quiet or too dim', 0.2, ['sounder-level', 'visual-alarm']),
    mode('pattern', 'gives the wrong signal', 0.1, ['alarm-pattern', 'visual-alarm']),
    mode('hidden', 'what no check looks at', 0.05, []),
  ],
  'mesh-device': [
    mode('no-delivery', 'messages are lost', 0.6, ['mesh-delivery', 'mesh-repeater']),
    mode('far', 'reached over too many others', 0.3, ['mesh-hops']),
    mode('hidden', 'what no check looks at', 0.1, []),
  ],
};

/** Every check that reveals some silent mode of the class. */
export function checksRevealing(cls: ComponentClass): string[] {
  return [...new Set(FAILURE_MODES[cls].flatMap((one) => one.revealedBy))];
}

/** Share of the class's silent failures that these checks together reveal, 0..1. */
export function coverageOf(cls: ComponentClass, checks: readonly string[]): number {
  let sum = 0;
  for (const one of FAILURE_MODES[cls]) if (one.revealedBy.some((check) => checks.includes(check))) sum += one.share;
  return sum;
}

/** A check of one kind that found the component good, and when it last did. */
export interface Look {
  readonly check: string;
  readonly day: number;
}

/** Per mode that was ever looked for: its share and the day of the last good look. Modes never looked for are left out. */
export function modesLookedFor(cls: ComponentClass, looks: readonly Look[]): { share: number; day: number }[] {
  const found: { share: number; day: number }[] = [];
  for (const { share, revealedBy } of FAILURE_MODES[cls]) {
    let day = -Infinity;
    for (const look of looks) if (look.day > day && revealedBy.includes(look.check)) day = look.day;
    if (day > -Infinity) found.push({ share, day });
  }
  return found;
}
