/** Bootstrap of two sets of predictions over the same cases, sorted once and then only counted. Rule BACK-4 in SPEC.md. */
import { areaUnderCurve, brier, type Outcome, seeded } from './back-test.js';

/** A difference (ours less theirs) with the interval that resampling of cases gives it. */
export interface Difference {
  readonly difference: number;
  readonly low: number;
  readonly high: number;
}

export interface Comparison {
  /** Above 0: ours ranks better. */
  readonly areaUnderCurve: Difference;
  /** Below 0: our chances are nearer. */
  readonly brier: Difference;
}

/** Predictions laid out for counting: places in rising order of chance, with where each run of equal chances ends. */
interface Sorted {
  readonly order: Uint32Array;
  readonly chance: Float64Array;
  readonly loss: Float64Array;
}

/** Compares two sets of predictions of the same cases in the same order (percentile bootstrap). @throws RangeError when they differ in number. */
export function comparePredictions(ours: readonly Outcome[], theirs: readonly Outcome[], { resamples, seed, level = 0.95 }: { resamples: number; seed: number; level?: number }): Comparison {
  if (ours.length !== theirs.length) throw new RangeError(`${ours.length} outcomes beside ${theirs.length}; the same cases are expected`);
  const [a, b] = [sorted(ours), sorted(theirs)];
  const happened = Uint8Array.from(ours, (one) => (one.happened ? 1 : 0));
  const random = seeded(seed);
  const times = new Uint32Array(ours.length);
  const [areas, losses] = [[] as number[], [] as number[]];
  for (let n = 0; n < resamples; n++) {
    times.fill(0);
    for (let i = 0; i < ours.length; i++) {
      const at = Math.floor(random() * ours.length);
      times[at] = (times[at] as number) + 1;
    }
    areas.push(countedArea(a, happened, times) - countedArea(b, happened, times));
    losses.push(countedBrier(a, times) - countedBrier(b, times));
  }
  return { areaUnderCurve: intervalOf(areaUnderCurve(ours) - areaUnderCurve(theirs), areas, level), brier: intervalOf(brier(ours) - brier(theirs), losses, level) };
}

function sorted(outcomes: readonly Outcome[]): Sorted {
  const chance = Float64Array.from(outcomes, (one) => one.chance);
  const loss = Float64Array.from(outcomes, ({ chance: p, happened }) => (p - (happened ? 1 : 0)) ** 2);
  const order = Uint32Array.from(outcomes, (_, at) => at).sort((x, y) => (chance[x] as number) - (chance[y] as number));
  return { order, chance, loss };
}

function countedArea({ order, chance }: Sorted, happened: Uint8Array, times: Uint32Array): number {
  let [no, yes, won] = [0, 0, 0];
  for (let from = 0; from < order.length; ) {
    const value = chance[order[from] as number] as number;
    let [noHere, yesHere, to] = [0, 0, from];
    for (; to < order.length && chance[order[to] as number] === value; to++) {
      const at = order[to] as number;
      if (happened[at] === 1) yesHere += times[at] as number;
      else noHere += times[at] as number;
    }
    won += yesHere * (no + noHere / 2);
    no += noHere;
    yes += yesHere;
    from = to;
  }
  return no === 0 || yes === 0 ? Number.NaN : won / (no * yes);
}

function countedBrier({ loss }: Sorted, times: Uint32Array): number {
  let sum = 0;
  for (let i = 0; i < loss.length; i++) sum += (times[i] as number) * (loss[i] as number);
  return sum / loss.length;
}

function intervalOf(difference: number, found: readonly number[], level: number): Difference {
  // A resample may by chance hold no failure at all: of it there is no area.
  const known = found.filter((one) => !Number.isNaN(one)).sort((a, b) => a - b);
  const at = (share: number) => known[Math.min(known.length - 1, Math.floor(share * known.length))] ?? Number.NaN;
  return { difference, low: at((1 - level) / 2), high: at((1 + level) / 2) };
}
