/** How well predicted chances met what then happened, and whether a new version may replace the old. Rules BACK-1..5 in SPEC.md. */

/** One prediction and its outcome. */
export interface Outcome {
  /** Predicted probability, 0..1. */
  readonly chance: number;
  readonly happened: boolean;
}

/** Mean squared difference between chance and outcome (Brier 1950): 0 perfect. */
export function brier(outcomes: readonly Outcome[]): number {
  return outcomes.reduce((sum, { chance, happened }) => sum + (chance - (happened ? 1 : 0)) ** 2, 0) / outcomes.length;
}

/** Area under the receiver operating curve: chance that one that happened was ranked above one that did not, ties half. NaN without both. */
export function areaUnderCurve(outcomes: readonly Outcome[]): number {
  const sorted = [...outcomes].sort((a, b) => a.chance - b.chance);
  let [ranks, yes] = [0, 0];
  for (let from = 0; from < sorted.length; ) {
    let to = from;
    while (to < sorted.length && (sorted[to] as Outcome).chance === (sorted[from] as Outcome).chance) to++;
    const meanRank = (from + 1 + to) / 2;
    for (let at = from; at < to; at++) {
      if ((sorted[at] as Outcome).happened) {
        ranks += meanRank;
        yes += 1;
      }
    }
    from = to;
  }
  const no = sorted.length - yes;
  return yes === 0 || no === 0 ? Number.NaN : (ranks - (yes * (yes + 1)) / 2) / (yes * no);
}

/** One row of the calibration table: `count` predictions with mean chance `predicted`, of which the share `observed` happened. */
export interface CalibrationRow {
  readonly count: number;
  readonly predicted: number;
  readonly observed: number;
  /** 95 % interval of the share observed (Wilson 1927). */
  readonly low: number;
  readonly high: number;
}

/** Predictions cut into `groups` of equal size by chance. */
export function calibrationTable(outcomes: readonly Outcome[], groups: number): CalibrationRow[] {
  const sorted = [...outcomes].sort((a, b) => a.chance - b.chance);
  return Array.from({ length: groups }, (_, g) => sorted.slice(Math.floor((g * sorted.length) / groups), Math.floor(((g + 1) * sorted.length) / groups)))
    .filter((rows) => rows.length > 0)
    .map((rows) => {
      const observed = rows.filter((row) => row.happened).length / rows.length;
      return { count: rows.length, predicted: rows.reduce((sum, row) => sum + row.chance, 0) / rows.length, observed, ...wilson(observed, rows.length) };
    });
}

const Z_95 = 1.959963984540054;

function wilson(share: number, count: number): { low: number; high: number } {
  const z2 = (Z_95 * Z_95) / count;
  const middle = (share + z2 / 2) / (1 + z2);
  const half = (Z_95 / (1 + z2)) * Math.sqrt((share * (1 - share)) / count + z2 / 4 / count);
  return { low: Math.max(0, middle - half), high: Math.min(1, middle + half) };
}

const MOST_STEPS = 50;
const LEAST_CHANCE = 1e-9;

/** Slope and intercept of the logistic regression of outcome on the logit of the chance (Cox 1958): 1 and 0 are perfect. */
export function calibrationSlope(outcomes: readonly Outcome[]): { slope: number; intercept: number; slopeError: number } {
  const rows = outcomes.map(({ chance, happened }) => {
    const p = Math.min(1 - LEAST_CHANCE, Math.max(LEAST_CHANCE, chance));
    return { x: Math.log(p / (1 - p)), y: happened ? 1 : 0 };
  });
  let [intercept, slope] = [0, 1];
  let slopeError = Number.NaN;
  for (let n = 0; n < MOST_STEPS; n++) {
    let [g0, g1, h00, h01, h11] = [0, 0, 0, 0, 0];
    for (const { x, y } of rows) {
      const p = 1 / (1 + Math.exp(-(intercept + slope * x)));
      const w = p * (1 - p);
      g0 += y - p;
      g1 += (y - p) * x;
      h00 += w;
      h01 += w * x;
      h11 += w * x * x;
    }
    const det = h00 * h11 - h01 * h01;
    const [d0, d1] = [(h11 * g0 - h01 * g1) / det, (h00 * g1 - h01 * g0) / det];
    intercept += d0;
    slope += d1;
    slopeError = Math.sqrt(h00 / det);
    if (Math.abs(d0) + Math.abs(d1) < 1e-10) break;
  }
  return { slope, intercept, slopeError };
}

/** Small generator for resampling (mulberry32); a seed gives the same numbers everywhere. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** Interval of a difference of two scores over the same cases, by resampling cases (percentile bootstrap). */
export function bootstrapDifference(
  ours: readonly Outcome[],
  theirs: readonly Outcome[],
  score: (outcomes: readonly Outcome[]) => number,
  { resamples, seed, level = 0.95 }: { resamples: number; seed: number; level?: number },
): { difference: number; low: number; high: number } {
  if (ours.length !== theirs.length) throw new RangeError(`${ours.length} outcomes beside ${theirs.length}; the same cases are expected`);
  const random = seeded(seed);
  const found = Array.from({ length: resamples }, () => {
    const picks = Array.from(ours, () => Math.floor(random() * ours.length));
    return score(picks.map((at) => ours[at] as Outcome)) - score(picks.map((at) => theirs[at] as Outcome));
  }).sort((a, b) => a - b);
  const at = (share: number) => found[Math.min(found.length - 1, Math.floor(share * found.length))] as number;
  return { difference: score(ours) - score(theirs), low: at((1 - level) / 2), high: at((1 + level) / 2) };
}

/** Report kept with each version. */
export interface BackTest {
  readonly cases: number;
  readonly happened: number;
  readonly areaUnderCurve: number;
  readonly brier: number;
  readonly calibration: readonly CalibrationRow[];
  readonly slope: number;
  readonly intercept: number;
}

/** Judges predictions against outcomes. */
export function backTest(outcomes: readonly Outcome[], groups = 10): BackTest {
  const { slope, intercept } = calibrationSlope(outcomes);
  return {
    cases: outcomes.length,
    happened: outcomes.filter((one) => one.happened).length,
    areaUnderCurve: areaUnderCurve(outcomes),
    brier: brier(outcomes),
    calibration: calibrationTable(outcomes, groups),
    slope,
    intercept,
  };
}

/** A version may lose this share of its Brier score to rounding and one night's new records; more is worse. Company rule. */
export const BRIER_ALLOWANCE = 0.002;
/** As much area may be lost. Company rule. */
export const AREA_ALLOWANCE = 0.005;

/** Whether a candidate may replace the current version, judged on the same cases; the reason in words either way. */
export function mayPromote(current: BackTest, candidate: BackTest): { promote: boolean; why: string } {
  if (current.cases !== candidate.cases || current.happened !== candidate.happened) return { promote: false, why: 'the two versions were not judged on the same cases' };
  if (candidate.brier > current.brier * (1 + BRIER_ALLOWANCE)) return { promote: false, why: `Brier ${candidate.brier.toFixed(5)} is worse than ${current.brier.toFixed(5)}` };
  // Without both outcomes ranking says nothing, and NaN compares false: Brier alone decides.
  if (candidate.areaUnderCurve < current.areaUnderCurve - AREA_ALLOWANCE) return { promote: false, why: `ranking ${candidate.areaUnderCurve.toFixed(3)} is worse than ${current.areaUnderCurve.toFixed(3)}` };
  return { promote: true, why: `Brier ${candidate.brier.toFixed(5)} against ${current.brier.toFixed(5)} on ${candidate.cases} cases: not worse` };
}
