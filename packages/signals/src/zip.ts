import { assign } from './assignment.js';
import { alarmKinds, type EventKind, routineKinds } from './event-words.js';

/** A device was activated here. `at` is the phone's clock, not corrected. */
export type Step = {
  readonly id: string;
  readonly at: string;
  readonly account: string;
  readonly zone: string;
  readonly text?: string | null;
  readonly path?: string | null;
  /** Seconds within which the station must have it. */
  readonly limitS: number;
  /** Reports held back on purpose (mains loss after hours): pending until then, seconds after the step. */
  readonly pendingS?: number;
  /** Kinds of event that answer this step ('fire' for a smoke detector). Absent: any but routine. See `kindsOfDevice`. */
  readonly kinds?: readonly EventKind[];
};

/** Something arrived there. `at` is the station's clock. */
export type Arrival = {
  readonly id: string;
  readonly at: string;
  readonly account: string;
  readonly zone: string | null;
  readonly text?: string | null;
  readonly path?: string | null;
  /** Restores of what was tripped are explained by it and never matched themselves. */
  readonly restore?: boolean;
  /** What the code says it is; absent or 'unknown' fits any step. Routine (opening, bypass, periodic) answers no step that did not ask for it. */
  readonly kind?: EventKind;
};

export type StepVerdict = 'right' | 'wrong-text' | 'wrong-path' | 'wrong-kind' | 'wrong-zone' | 'wrong-account' | 'late' | 'pending' | 'not-received';

export type ZippedStep = {
  readonly step: string;
  readonly arrival: string | null;
  readonly verdict: StepVerdict;
  /** Seconds from the step, on the station's clock, to the arrival. */
  readonly delayS: number | null;
  readonly twice: boolean;
  /** While pending: the instant, on the station's clock, from which it counts as not received; else null. */
  readonly waitsUntil: string | null;
  readonly words: string;
};

export type Zipped = {
  /** Seconds to add to the phone's clock; positive when the phone is slow. Null with fewer than three unambiguous pairs: one late arrival alone looks like a slow clock. */
  readonly offsetS: number | null;
  /** Pairs that the offset rests on. */
  readonly offsetPairs: number;
  /** Half the middle half of those pairs' differences, seconds: how sure the offset is; null without an offset. */
  readonly offsetSpreadS: number | null;
  readonly steps: readonly ZippedStep[];
  readonly unexplained: readonly string[];
  readonly twice: readonly string[];
  /** Arrivals that are daily business of the account (opened, bypassed, periodic) and answer no step. */
  readonly routine: readonly string[];
};

export type ZipOptions = {
  /** The station's clock now: decides between pending and not received. Absent: all is over. */
  readonly now?: string;
  /** Offset known otherwise (from the server's clock), used where the pairs give none; 0 when absent. */
  readonly knownOffsetS?: number;
  /** Arrivals later than this after a step are no answer to it. */
  readonly latestS?: number;
  /** How far before the corrected step an arrival may lie: the clocks' and fingers' inexactness. */
  readonly earlyS?: number;
  /** A wrong zone or account is only believed this close to the step. */
  readonly wrongWithinS?: number;
};

// A pair is always better than leaving both sides alone; among pairs nearness and agreement decide.
const cost = { unmatched: 100, late: 20, wrongText: 3, wrongPath: 2, wrongKind: 10, wrongZone: 30, wrongAccount: 40 };

/**
 * [SIG-40] Matches steps to arrivals by minimum cost, with the phone's clock offset taken from the unambiguous pairs.
 * The order of either list changes nothing.
 */
export function zip(steps: readonly Step[], arrivals: readonly Arrival[], options: ZipOptions = {}): Zipped {
  const orderedSteps = steps.toSorted((a, b) => Date.parse(a.at) - Date.parse(b.at) || (a.id < b.id ? -1 : 1));
  const ordered = arrivals.filter((a) => a.restore !== true).toSorted((a, b) => Date.parse(a.at) - Date.parse(b.at) || (a.id < b.id ? -1 : 1));
  const routine = ordered.filter((a) => isRoutine(a) && !orderedSteps.some((step) => step.kinds?.includes(a.kind!) === true));
  const candidates = ordered.filter((a) => !routine.includes(a));
  const pairs = offsetPairs(orderedSteps, candidates);
  const offsetS = pairs.length < 3 ? null : lowerMedian(pairs);
  const shiftS = offsetS ?? options.knownOffsetS ?? 0;
  const table = orderedSteps.map((step) => candidates.map((arrival) => pairCost(step, arrival, shiftS, options)));
  const chosen = assign(table, cost.unmatched);
  const used = new Set(chosen.filter((j) => j !== null));
  const matched = new Map(orderedSteps.map((step, i) => [step, chosen[i] === null ? null : candidates[chosen[i]!]!]));
  const left = candidates.filter((_, j) => !used.has(j));
  const twice = left.filter((arrival) => orderedSteps.some((step) => repeats(arrival, step, matched.get(step) ?? null, shiftS, options)));
  return {
    offsetS, offsetPairs: pairs.length, offsetSpreadS: offsetS === null ? null : spread(pairs),
    steps: orderedSteps.map((step) => verdictOf(step, matched.get(step) ?? null, shiftS, options, twice)),
    unexplained: left.filter((a) => !twice.includes(a)).map((a) => a.id),
    twice: twice.map((a) => a.id),
    routine: routine.map((a) => a.id),
  };
}

/**
 * Clock differences of pairs that can only belong together: one step and one arrival of that account and zone. Reports held back
 * on purpose say nothing of the clocks.
 */
function offsetPairs(steps: readonly Step[], arrivals: readonly Arrival[]): number[] {
  return steps.filter((step) => step.pendingS === undefined).flatMap((step) => {
    const sameSteps = steps.filter((s) => sameNumber(s.account, step.account) && sameNumber(s.zone, step.zone));
    const same = arrivals.filter((a) => sameNumber(a.account, step.account) && sameNumber(a.zone, step.zone) && kindFit(step, a) !== 'none');
    return sameSteps.length === 1 && same.length === 1 ? [(Date.parse(same[0]!.at) - Date.parse(step.at)) / 1000] : [];
  });
}

function delayOf(step: Step, arrival: Arrival, offsetS: number): number {
  return (Date.parse(arrival.at) - Date.parse(step.at)) / 1000 - offsetS;
}

/** '003' and '3' are one zone, '0815' and '815' one account: panels pad, people do not. */
export function sameNumber(a: string | null, b: string | null): boolean {
  if (a === null || b === null) return a === b;
  const plain = (text: string) => text.trim().toUpperCase().replace(/^0+(?=.)/, '');
  return plain(a) === plain(b);
}

/** A panel in its walk state reports 'point walked' with the zone: that answers a step as well as the alarm would. */
function isWalked({ kind, zone }: Arrival): boolean {
  return kind === 'proof' && zone !== null;
}

function isRoutine(arrival: Arrival): boolean {
  return arrival.kind !== undefined && routineKinds.includes(arrival.kind) && !isWalked(arrival);
}

/** 'other': an alarm of another kind than the step must give, which would send the wrong help; 'none': no answer to it at all. */
function kindFit(step: Step, arrival: Arrival): 'fits' | 'other' | 'none' {
  const { kind } = arrival;
  if (kind === undefined || isWalked(arrival) || kind === 'unknown' || step.kinds?.includes(kind) === true) return 'fits';
  if (routineKinds.includes(kind)) return 'none';
  if (step.kinds === undefined) return 'fits';
  return alarmKinds.includes(kind) && step.kinds.some((k) => alarmKinds.includes(k)) ? 'other' : 'none';
}

/** Infinity: these two cannot belong together. */
function pairCost(step: Step, arrival: Arrival, offsetS: number, options: ZipOptions): number {
  const delay = delayOf(step, arrival, offsetS);
  const latest = Math.max(options.latestS ?? 3600, step.pendingS ?? 0);
  if (delay < -(options.earlyS ?? 15) || delay > latest) return Infinity;
  const kind = kindFit(step, arrival);
  if (kind === 'none') return Infinity;
  const [otherZone, otherAccount] = [!sameNumber(arrival.zone, step.zone), !sameNumber(arrival.account, step.account)];
  if ((otherZone && otherAccount) || ((otherZone || otherAccount) && Math.abs(delay) > (options.wrongWithinS ?? 10))) return Infinity;
  const nearness = Math.min(1, Math.abs(delay) / Math.max(1, step.limitS));
  return nearness + (isLate(step, delay) ? cost.late + delay / latest : 0) + (otherZone ? cost.wrongZone : 0) + (otherAccount ? cost.wrongAccount : 0)
    + (kind === 'other' ? cost.wrongKind : 0) + (differs(step.text, arrival.text) ? cost.wrongText : 0) + (differs(step.path, arrival.path) ? cost.wrongPath : 0);
}

function isLate(step: Step, delayS: number): boolean {
  return delayS > (step.pendingS ?? step.limitS);
}

/** Only what both sides say can differ; letter case and blanks do not count. */
function differs(a: string | null | undefined, b: string | null | undefined): boolean {
  if (a == null || b == null) return false;
  const plain = (text: string) => text.trim().replace(/\s+/g, ' ').toLowerCase();
  return plain(a) !== plain(b);
}

function verdictOf(step: Step, arrival: Arrival | null, offsetS: number, options: ZipOptions, doubles: readonly Arrival[]): ZippedStep {
  if (arrival === null) {
    const waitsUntil = Date.parse(step.at) + (offsetS + (step.pendingS ?? step.limitS)) * 1000;
    const pending = options.now !== undefined && Date.parse(options.now) < waitsUntil;
    return {
      step: step.id, arrival: null, verdict: pending ? 'pending' : 'not-received', delayS: null, twice: false, waitsUntil: pending ? new Date(waitsUntil).toISOString() : null,
      words: pending ? 'Nothing yet; still in time.' : 'Nothing arrived.',
    };
  }
  const delayS = Math.round(delayOf(step, arrival, offsetS) * 10) / 10;
  const twice = doubles.some((d) => repeats(d, step, arrival, offsetS, options));
  const [verdict, words] = judged(step, arrival, delayS);
  return { step: step.id, arrival: arrival.id, verdict, delayS, twice, waitsUntil: null, words: twice ? `${words} Arrived more than once.` : words };
}

/** Each kind of wrong in its own words; the one that would mislead the station most comes first. */
function judged(step: Step, arrival: Arrival, delayS: number): [StepVerdict, string] {
  if (!sameNumber(arrival.account, step.account)) return ['wrong-account', `Arrived under account ${arrival.account} instead of ${step.account}.`];
  if (!sameNumber(arrival.zone, step.zone)) return ['wrong-zone', `Arrived as zone ${arrival.zone ?? 'none'} instead of ${step.zone}.`];
  if (kindFit(step, arrival) === 'other') return ['wrong-kind', `Right zone, but it arrived as ${arrival.kind} instead of ${step.kinds!.join(' or ')}: the station would send the wrong help.`];
  if (isLate(step, delayS)) return ['late', `Arrived after ${delayS} s, limit ${step.pendingS ?? step.limitS} s.`];
  if (differs(step.path, arrival.path)) return ['wrong-path', `Arrived by ${arrival.path} instead of ${step.path}.`];
  if (differs(step.text, arrival.text)) return ['wrong-text', `Right zone, but the station reads '${arrival.text}' for '${step.text}'.`];
  return ['right', `Arrived after ${delayS} s.`];
}

function repeats(arrival: Arrival, step: Step, matched: Arrival | null, offsetS: number, options: ZipOptions): boolean {
  if (matched === null || !sameNumber(arrival.account, step.account) || !sameNumber(arrival.zone, step.zone) || kindFit(step, arrival) === 'none') return false;
  const delay = delayOf(step, arrival, offsetS);
  return delay >= -(options.earlyS ?? 15) && delay <= (options.latestS ?? 3600);
}

/** [SIG-41] One step in a hold, live, against what has arrived so far. The offset is known from earlier steps or 0. */
export function liveVerdict(step: Step, arrivals: readonly Arrival[], now: string, offsetS = 0): ZippedStep {
  const shifted = { ...step, at: new Date(Date.parse(step.at) + offsetS * 1000).toISOString() };
  const candidates = arrivals.filter((a) => a.restore !== true);
  const best = candidates
    .map((arrival) => ({ arrival, cost: pairCost(shifted, arrival, 0, {}) }))
    .filter((c) => c.cost < Infinity)
    .toSorted((a, b) => a.cost - b.cost || Date.parse(a.arrival.at) - Date.parse(b.arrival.at))[0];
  return verdictOf(shifted, best?.arrival ?? null, 0, { now }, []);
}

// Delays only ever add: of two middle values the smaller is nearer to the clocks' true difference.
function lowerMedian(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[Math.floor((values.length - 1) / 2)]!;
}

function spread(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const at = (share: number) => sorted[Math.round(share * (sorted.length - 1))]!;
  return Math.round(((at(0.75) - at(0.25)) / 2) * 10) / 10;
}
