/** The structure of one system: which components stand in for each other, and which must all work. Rules STR-1..8 in SPEC.md. */
import type { ComponentClass, ComponentRole } from './component-classes.js';
import { CAUSES, type ComponentState, componentState, logSurvival, logSurvivalByCause } from './component-state.js';
import type { RiskModel } from './fit-model.js';
import type { ComponentInput, ScoreWhen, SiteInput, SystemInput } from './site-input.js';

/** Links in the order of the alarm's way. */
export const LINKS: readonly ComponentRole[] = ['power', 'detection', 'control-unit', 'path', 'sounder'];

/** Members (by place in `states`) that protect one area, and its share of the link. */
interface Area {
  readonly members: readonly number[];
  readonly share: number;
}

/** One system ready to be evaluated, with its scratch space. */
export interface Chain {
  readonly system: SystemInput;
  readonly weight: number;
  readonly states: readonly ComponentState[];
  /** Those that report a part of their faults by themselves. */
  readonly reporting: readonly ComponentState[];
  readonly supplies: readonly number[];
  readonly batteries: readonly number[];
  readonly controlUnits: readonly number[];
  readonly paths: readonly number[];
  readonly detection: readonly Area[];
  readonly sounders: readonly Area[];
  readonly soundersCount: boolean;
  /** The counted groups of two or more that stand in for each other: paths, and the members of each area. */
  readonly standIns: readonly (readonly number[])[];
  readonly supplyLoss: number;
  readonly commonCause: number;
  readonly logs: Float64Array;
  readonly parts: Float64Array;
  readonly splits: Float64Array;
  readonly linkLogs: Float64Array;
}

/** What a link without any record is taken to hold; every such component is reported as missing. */
const ASSUMED: Readonly<Record<Exclude<ComponentRole, 'sounder'>, ComponentClass>> = {
  power: 'supply',
  detection: 'detector-wired',
  'control-unit': 'control-unit',
  path: 'path-line',
};

/** Builds the chain of one system. */
export function buildChain(model: RiskModel, site: SiteInput, system: SystemInput, when: ScoreWhen): Chain {
  const lifeSafety = system.lifeSafety ?? site.lifeSafety;
  const inputs = [...system.components, ...assumedComponents(system, lifeSafety)];
  const states = inputs.map((c) => {
    const state = componentState(model, c, when);
    return c.id.startsWith(ASSUMED_ID) ? { ...state, gaps: [{ field: 'component', counted: 'one that nobody ever proved', good: {} } as const] } : state;
  });
  const where = (test: (c: ComponentInput) => boolean) => inputs.flatMap((c, at) => (test(c) ? [at] : []));
  const role = (name: ComponentRole) => where((c) => c.role === name);
  const paths = role('path');
  const detection = areas(inputs, role('detection'), system);
  const sounders = areas(inputs, role('sounder'), system);
  return {
    system,
    weight: site.weight * (lifeSafety ? model.settings.lifeSafetyWeight : 1),
    states,
    reporting: states.filter((state) => state.reportedShare > 0),
    supplies: where((c) => c.role === 'power' && c.class !== 'battery'),
    batteries: where((c) => c.role === 'power' && c.class === 'battery'),
    controlUnits: role('control-unit'),
    paths,
    detection,
    sounders,
    soundersCount: lifeSafety,
    standIns: [paths, ...[...detection, ...(lifeSafety ? sounders : [])].map((area) => area.members)].filter((members) => members.length > 1),
    supplyLoss: model.settings.supplyLossAtAlarm,
    commonCause: model.settings.commonCause,
    logs: new Float64Array(states.length),
    parts: new Float64Array(states.length * CAUSES.length),
    splits: new Float64Array(states.length),
    linkLogs: new Float64Array(LINKS.length),
  };
}

/** Start of the id of a component that stands for a missing record. */
export const ASSUMED_ID = 'assumed:';

function assumedComponents(system: SystemInput, lifeSafety: boolean): ComponentInput[] {
  const has = (test: (c: ComponentInput) => boolean) => system.components.some(test);
  const made: ComponentInput[] = [];
  const assume = (role: ComponentRole, cls: ComponentClass) => made.push(assumedComponent(role, cls));
  if (!has((c) => c.role === 'power' && c.class !== 'battery')) assume('power', 'supply');
  if (!has((c) => c.role === 'power' && c.class === 'battery')) assume('power', 'battery');
  for (const role of ['detection', 'control-unit', 'path'] as const) if (!has((c) => c.role === role)) assume(role, ASSUMED[role]);
  if (lifeSafety && !has((c) => c.role === 'sounder')) assume('sounder', 'sounder');
  return made;
}

const ROLE_WORDS: Readonly<Record<ComponentRole, string>> = { power: 'power supply', detection: 'detector', 'control-unit': 'control unit', path: 'transmission path', sounder: 'sounder' };

function assumedComponent(role: ComponentRole, cls: ComponentClass): ComponentInput {
  return {
    id: `${ASSUMED_ID}${cls}`,
    class: cls,
    role,
    label: `no ${cls === 'battery' ? 'battery' : ROLE_WORDS[role]} recorded`,
    installedDay: null,
    lastProofDay: null,
    failures: 0,
    hoursInService: 0,
    ageYears: null,
    temperatureC: null,
    marginDb: null,
    marginalCount: 0,
    selfReported: false,
    supervisionH: null,
    coverage: null,
    protects: null,
  };
}

function areas(inputs: readonly ComponentInput[], members: readonly number[], system: SystemInput): Area[] {
  const byArea = new Map<string, number[]>();
  for (const at of members) {
    const { protects, id } = inputs[at] as ComponentInput;
    const key = protects === null ? `alone:${id}` : `area:${protects}`;
    const group = byArea.get(key);
    if (group === undefined) byArea.set(key, [at]);
    else group.push(at);
  }
  const weightOf = (key: string) => (key.startsWith('area:') ? (system.areaWeights?.[key.slice(5)] ?? 1) : 1);
  let total = 0;
  for (const key of byArea.keys()) total += weightOf(key);
  return [...byArea].map(([key, group]) => ({ members: group, share: weightOf(key) / total }));
}

/**
 * Expected unprotected share of the system at `hour` from now, 0..1. Leaves each link's log-survival in `linkLogs`, and with `causes` each
 * component's part of its link's in `splits` (they sum to the link's) and its causes in `parts`.
 */
export function unprotectedAt(chain: Chain, hour: number, proofAtH: number, causes: boolean): number {
  const { states, logs, parts, linkLogs } = chain;
  if (causes) for (let i = 0; i < states.length; i++) logs[i] = logSurvivalByCause(states[i] as ComponentState, hour, proofAtH, parts, i * CAUSES.length);
  else for (let i = 0; i < states.length; i++) logs[i] = logSurvival(states[i] as ComponentState, hour, proofAtH);
  linkLogs[0] = powerLink(chain, causes);
  linkLogs[1] = areaLink(chain, chain.detection, causes);
  linkLogs[2] = seriesLink(chain, chain.controlUnits);
  linkLogs[3] = parallelLink(chain, chain.paths, causes);
  // A sounder that does not count is drawn, so it is asked for only with the causes.
  linkLogs[4] = causes || chain.soundersCount ? areaLink(chain, chain.sounders, causes) : 0;
  return -Math.expm1(-counted(chain));
}

/** Log-survival of the system: the sum over the links that count. */
export function counted({ linkLogs, soundersCount }: Chain): number {
  const sum = (linkLogs[0] as number) + (linkLogs[1] as number) + (linkLogs[2] as number) + (linkLogs[3] as number);
  return soundersCount ? sum + (linkLogs[4] as number) : sum;
}

// Log-survival of something down with probability `down`; certainty is held just short of infinity so that shares stay numbers.
function lossLog(down: number): number {
  return -Math.log1p(-Math.min(down, 1 - 1e-15));
}

function seriesLink({ logs, splits }: Chain, members: readonly number[]): number {
  let sum = 0;
  for (const i of members) {
    splits[i] = logs[i] as number;
    sum += logs[i] as number;
  }
  return sum;
}

// Members stand in for each other; a share `commonCause` of the best one's failures takes all at once.
function parallelLink({ logs, splits, commonCause }: Chain, members: readonly number[], split: boolean): number {
  if (members.length === 0) return 0;
  if (members.length === 1) {
    const only = members[0] as number;
    const log = logs[only] as number;
    splits[only] = log;
    return log;
  }
  let least = Infinity;
  let sum = 0;
  let allDown = 1;
  for (const i of members) {
    const log = logs[i] as number;
    if (log < least) least = log;
    sum += log;
    allDown *= -Math.expm1(-(1 - commonCause) * log);
  }
  const group = commonCause * least + lossLog(allDown);
  if (split) for (const i of members) splits[i] = sum > 0 ? (group * (logs[i] as number)) / sum : 0;
  return group;
}

// Areas are averaged: an hour in which one of four equal areas is deaf counts a quarter of an hour.
function areaLink(chain: Chain, list: readonly Area[], split: boolean): number {
  if (list.length === 0) return 0;
  const { splits } = chain;
  let deaf = 0;
  for (const { members, share } of list) {
    const log = parallelLink(chain, members, split);
    const down = -Math.expm1(-log) * share;
    deaf += down;
    // Until the whole is known, each member holds its part of the area's unprotected share.
    if (split) for (const i of members) splits[i] = log > 0 ? ((splits[i] as number) / log) * down : 0;
  }
  const link = lossLog(deaf);
  if (split && deaf > 0) for (const { members } of list) for (const i of members) splits[i] = ((splits[i] as number) * link) / deaf;
  return link;
}

// The alarm has power when a supply and the mains are there, or a battery holds.
function powerLink(chain: Chain, split: boolean): number {
  const { logs, splits, supplies, batteries, supplyLoss } = chain;
  let supplyDown = 1;
  let supplyLogs = 0;
  for (const i of supplies) {
    supplyDown *= -Math.expm1(-(logs[i] as number));
    supplyLogs += logs[i] as number;
  }
  let batteryDown = 1;
  let batteryLogs = 0;
  for (const i of batteries) {
    batteryDown *= -Math.expm1(-(logs[i] as number));
    batteryLogs += logs[i] as number;
  }
  const down = (1 - (1 - supplyDown) * (1 - supplyLoss)) * batteryDown;
  const link = lossLog(down);
  if (!split) return link;
  // Mains lost with a sound supply is the battery's alone; both faults together are shared by how bad each is.
  const both = supplyDown * batteryDown;
  const toSupply = both > 0 && down > 0 ? ((both * supplyDown) / (supplyDown + batteryDown) / down) * link : 0;
  for (const i of supplies) splits[i] = supplyLogs > 0 ? (toSupply * (logs[i] as number)) / supplyLogs : 0;
  for (const i of batteries) splits[i] = batteryLogs > 0 ? ((link - toSupply) * (logs[i] as number)) / batteryLogs : 0;
  return link;
}
