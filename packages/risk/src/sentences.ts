/** What people read: one component, one link, one gap in words with numbers. Rules SAY-1..5 in SPEC.md. */
import { CLASS_DEFAULTS, type LinkName } from './component-classes.js';
import { ASSUMED_ID } from './chain.js';
import { CAUSES, type ComponentState, type Gap, HOURS_PER_DAY } from './component-state.js';

/** '61 %', or 'under 1 %' for what would round to nothing. */
export function percent(share: number): string {
  const whole = Math.round(share * 100);
  if (share > 0 && whole === 0) return 'under 1 %';
  if (share < 1 && whole === 100) return 'over 99 %';
  return `${whole} %`;
}

/** Hours in words: minutes below one hour, one decimal below ten. */
export function hoursInWords(hours: number): string {
  if (hours < 1 / 60) return 'under a minute';
  if (hours < 1) return `${Math.round(hours * 60)} min`;
  return hours < 10 ? `${hours.toFixed(1)} h` : `${Math.round(hours)} h`;
}

/** A component with what makes it risky, as in 'battery 5.2 years at 31 °C' or 'wireless detector "Hall": margin 6 dB, proven 412 days ago'. */
export function componentInWords(state: ComponentState, named: boolean): string {
  const { input, battery } = state;
  if (input.id.startsWith(ASSUMED_ID)) return input.label;
  const words = CLASS_DEFAULTS[input.class].words;
  const name = named && input.label !== '' ? `${words} '${input.label}'` : words;
  if (state.down) return `${name} known to be down`;
  if (battery !== null) return `${name} ${has(state, 'age') ? 'of unknown age' : `${battery.calendarYears.toFixed(1)} years`} at ${has(state, 'temperature') ? 'unknown temperature' : `${Math.round(battery.temperatureC)} °C`}`;
  const facts: string[] = [];
  if (input.failures > 0) facts.push(`${input.failures} ${input.failures === 1 ? 'failure' : 'failures'} on record`);
  if (CLASS_DEFAULTS[input.class].radio) facts.push(input.marginDb === null ? 'radio margin never read' : `radio margin ${Math.round(input.marginDb)} dB`);
  if (input.marginalCount > 0) facts.push(`${input.marginalCount} marginal ${input.marginalCount === 1 ? 'reading' : 'readings'}`);
  facts.push(input.lastProofDay === null ? 'never proven' : `proven ${Math.round(state.sinceProofH / HOURS_PER_DAY)} days ago`);
  return `${name}: ${facts.join(', ')}`;
}

function has(state: ComponentState, field: Gap['field']): boolean {
  return state.gaps.some((gap) => gap.field === field);
}

/** Why a component weighs, from its largest cause (place in CAUSES). */
export function causeInWords(cause: number): string {
  const words: Record<(typeof CAUSES)[number], string> = {
    'reported-fault': 'faults it reports, until repaired',
    'silent-fault': 'silent faults since its last proof',
    'battery-age': 'its age',
    'outside-checks': 'what its checks do not reveal',
    'weak-radio': 'what moves its rate above the class: radio margin, marginal readings or environment',
    'known-fault': 'a fault that is known and not yet repaired',
  };
  return words[CAUSES[cause] as (typeof CAUSES)[number]];
}

const FIELD_WORDS: Readonly<Record<Gap['field'], string>> = {
  proof: 'last proof',
  installed: 'date of installation',
  age: 'age',
  temperature: 'temperature',
  margin: 'radio margin',
  coverage: 'share of faults its check reveals',
  supervision: 'supervision interval',
  environment: 'environment',
  component: 'record',
};

/** One gap: what is not known, how it was counted, and what a good value would change when that was computed. */
export function gapInWords(state: ComponentState, gap: Gap, lessShare: number | null): string {
  const change = lessShare === null ? '' : `; a good one would take ${percent(lessShare)} off the exposure`;
  if (gap.field === 'component') return `${state.input.label}: counted as ${gap.counted}${change}`;
  const name = state.input.label === '' ? CLASS_DEFAULTS[state.input.class].words : `${CLASS_DEFAULTS[state.input.class].words} '${state.input.label}'`;
  return `${name}: ${FIELD_WORDS[gap.field]} not known, counted as ${gap.counted}${change}`;
}

/** The environment of several parts of a system at once: it is recorded for a place, not part by part. */
export function placesInWords(parts: number, lessShare: number | null): string {
  const change = lessShare === null ? '' : `; a mild one would take ${percent(lessShare)} off the exposure`;
  return `environment of ${parts} parts not known, counted as harsh${change}`;
}

export const LINK_WORDS: Readonly<Record<LinkName, string>> = {
  power: 'power',
  detection: 'detection',
  'control-unit': 'control unit',
  path: 'transmission path',
  station: 'station',
  sounder: 'sounder',
};
