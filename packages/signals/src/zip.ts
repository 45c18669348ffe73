import { assign } from './assignment.js';

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
};

export type StepVerdict = 'right' | 'wrong-text' | 'wrong-path' | 'wrong-zone' | 'wrong-account' | 'late' | 'pending' | 'not-received';

export type ZippedStep = {
  readonly step: string;
  readonly arrival: string | null;
  readonly verdict: StepVerdict;
  /** Seconds from the step, on the station's clock, to the arrival. */
  readonly delayS: number | null;
  readonly twice: boolean;
  readonly words: string;
};

export type Zipped = {
  /** Seconds to add to the phone's clock; positive when the phone is slow. Null with fewer than three unambiguous pairs: one late arrival alone looks like a slow clock. */
  readonly offsetS: number | null;
  /** Pairs that the offset rests on. */
  readonly offsetPairs: number;
  readonly steps: readonly ZippedStep[];
  readonly unexplained: readonly string[];
  readonly twice: readonly string[];
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
const cost = { unmatched: 100, late: 20, wrongText: 3, wrongPath: 2, wrongZone: 30, wrongAccount: 40 };

/**
 * [SIG-40] Matches steps to arrivals by minimum cost, with the phone's clock offset taken from the unambiguous pairs.
 * The order of either list changes nothing.
 */
export function zip(steps: readonly Step[], arrivals: readonly Arrival[], options: ZipOptions = {}): Zipped {
  const orderedSteps = steps.toSorted((a, b) => Date.parse(a.at) - Date.parse(b.at) || (a.id < b.id ? -1 : 1));
  const candidates = arrivals.filter((a) => a.restore !== true).toSorted((a, b) => Date.parse(a.at) - Date.parse(b.at) || (a.id < b.id ? -1 : 1));
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
    offsetS, offsetPairs: pairs.length,
    steps: orderedSteps.map((step) => verdictOf(step, matched.get(step) ?? null, shiftS, options, twice)),
    unexplained: left.filter((a) => !twice.includes(a)).map((a) => a.id),
    twice: twice.map((a) => a.id),
  };
}

/** Clock differences of pairs that can only belong together: one step and one arrival of that account and zone. */
function offsetPairs(steps: readonly Step[], arrivals: readonly Arrival[]): number[] {
  return steps.flatMap((step) => {
    const sameSteps = steps.filter((s) => s.account === step.account && s.zone === step.zone);
    const same = arrivals.filter((a) => a.account === step.account && a.zone === step.zone);
    return sameSteps.length === 1 && same.length === 1 ? [(Date.parse(same[0]!.at) - Date.parse(step.at)) / 1000] : [];
  });
}

function delayOf(step: Step, arrival: Arrival, offsetS: number): number {
  return (Date.parse(arrival.at) - Date.parse(step.at)) / 1000 - offsetS;
}

/** Infinity: these two cannot belong together. */
function pairCost(step: Step, arrival: Arrival, offsetS: number, options: ZipOptions): number {
  const delay = delayOf(step, arrival, offsetS);
  const latest = Math.max(options.latestS ?? 3600, step.pendingS ?? 0);
  if (delay < -(options.earlyS ?? 15) || delay > latest) return Infinity;
  const [otherZone, otherAccount] = [arrival.zone !== step.zone, arrival.account !== step.account];
  if ((otherZone && otherAccount) || ((otherZone || otherAccount) && Math.abs(delay) > (options.wrongWithinS ?? 10))) return Infinity;
  const nearness = Math.min(1, Math.abs(delay) / Math.max(1, step.limitS));
  return nearness + (isLate(step, delay) ? cost.late + delay / latest : 0) + (otherZone ? cost.wrongZone : 0) + (otherAccount ? cost.wrongAccount : 0)
    + (differs(step.text, arrival.text) ? cost.wrongText : 0) + (differs(step.path, arrival.path) ? cost.wrongPath : 0);
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
    return { step: step.id, arrival: null, verdict: pending ? 'pending' : 'not-received', delayS: null, twice: false, words: pending ? 'Nothing yet; still in time.' : 'Nothing arrived.' };
  }
  const delayS = Math.round(delayOf(step, arrival, offsetS) * 10) / 10;
  const twice = doubles.some((d) => d.account === step.account && d.zone === step.zone && repeats(d, step, arrival, offsetS, options));
  const [verdict, words] = judged(step, arrival, delayS);
  return { step: step.id, arrival: arrival.id, verdict, delayS, twice, words: twice ? `${words} Arrived more than once.` : words };
}

/** Each kind of wrong in its own words; the one that would mislead the station most comes first. */
function judged(step: Step, arrival: Arrival, delayS: number): [StepVerdict, string] {
  if (arrival.account !== step.account) return ['wrong-account', `Arrived under account ${arrival.account} instead of ${step.account}.`];
  if (arrival.zone !== step.zone) return ['wrong-zone', `Arrived as zone ${arrival.zone ?? 'none'} instead of ${step.zone}.`];
  if (isLate(step, delayS)) return ['late', `Arrived after ${delayS} s, limit ${step.pendingS ?? step.limitS} s.`];
  if (differs(step.path, arrival.path)) return ['wrong-path', `Arrived by ${arrival.path} instead of ${step.path}.`];
  if (differs(step.text, arrival.text)) return ['wrong-text', `Right zone, but the station reads '${arrival.text}' for '${step.text}'.`];
  return ['right', `Arrived after ${delayS} s.`];
}

function repeats(arrival: Arrival, step: Step, matched: Arrival | null, offsetS: number, options: ZipOptions): boolean {
  if (matched === null || arrival.account !== step.account || arrival.zone !== step.zone) return false;
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
