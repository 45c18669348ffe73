import { findGaps, type GapRule, learnInterval, type PathSilence } from './gaps.js';

/** One expected signal of a path: when it was expected, and what came. `leanMin` is how much later (minus: earlier) it came. */
export type Tooth = { readonly expectedAt: string; readonly heardAt: string | null; readonly leanMin: number | null };

export type Comb = {
  readonly teeth: readonly Tooth[];
  readonly missing: number;
  /** Minutes a day by which arrivals move against their schedule: the panel's clock; null with fewer than five teeth heard. */
  readonly driftMinPerDay: number | null;
  readonly silence: PathSilence;
  /** The interval between teeth in hours, and whether it was promised or learned from the history. */
  readonly intervalH: number;
  readonly isLearned: boolean;
  readonly words: string;
};

const hourMs = 3_600_000;
/** A history of one-minute signals over years is a page without teeth; more than this are not drawn. */
export const MOST_TEETH = 400;

/**
 * [SIG-35] The comb of one path from `from` to `now` (instants): a tooth per expected signal, in steps of the interval through
 * the first signal heard, so that a drifting clock shows as teeth that lean ever more. A signal fills the tooth it is nearest to; of
 * two on one tooth the nearer counts. Teeth begin with the first signal of the history, if that is later. Without a promised interval it is learned; null when nothing can be expected at all.
 * Throws RangeError for a time that is none.
 */
export function combOf(heardAt: readonly string[], rule: { readonly intervalH: number | null; readonly graceH: number; readonly heardUntil?: string }, from: string, now: string): Comb | null {
  const [fromMs, nowMs] = [Date.parse(from), Math.min(Date.parse(now), rule.heardUntil === undefined ? Infinity : Date.parse(rule.heardUntil))];
  const heard = [...new Set(heardAt.map((at) => Date.parse(at)))].toSorted((a, b) => a - b);
  if (Number.isNaN(fromMs) || Number.isNaN(nowMs) || heard.some(Number.isNaN)) throw new RangeError('combOf: a time is no instant.');
  const intervalH = rule.intervalH ?? learnInterval(heardAt);
  if (intervalH === null || !(intervalH > 0)) return null;
  const silence = findGaps(heardAt, { intervalH, graceH: rule.graceH, ...(rule.heardUntil === undefined ? {} : { heardUntil: rule.heardUntil }) } satisfies GapRule, now);
  const stepMs = intervalH * hourMs;
  const inside = heard.filter((at) => at >= fromMs && at <= nowMs);
  // Before the first signal of all the history may not have run: nothing is expected there, and of a path never heard nothing.
  const beginMs = heard[0] === undefined || heard[0] < fromMs ? fromMs : heard[0];
  const teeth = heard.length === 0 ? [] : teethOf(inside, beginMs, nowMs, stepMs);
  const missing = teeth.filter((tooth) => tooth.heardAt === null).length;
  const driftMinPerDay = driftOf(teeth);
  return { teeth, missing, driftMinPerDay, silence, intervalH, isLearned: rule.intervalH === null, words: wordsOf(teeth.length, missing, driftMinPerDay, silence) };
}

function teethOf(inside: readonly number[], fromMs: number, nowMs: number, stepMs: number): Tooth[] {
  const anchor = inside[0] ?? fromMs;
  const first = anchor - Math.floor((anchor - fromMs) / stepMs) * stepMs;
  const count = Math.min(MOST_TEETH, Math.floor((nowMs - first) / stepMs) + 1);
  // The newest teeth are kept when there are too many.
  const begin = first + Math.max(0, Math.floor((nowMs - first) / stepMs) + 1 - count) * stepMs;
  const nearest = new Map<number, number>();
  for (const at of inside) {
    const slot = Math.round((at - begin) / stepMs);
    const held = nearest.get(slot);
    const place = begin + slot * stepMs;
    if (held === undefined || Math.abs(at - place) < Math.abs(held - place)) nearest.set(slot, at);
  }
  return Array.from({ length: count }, (_, slot): Tooth => {
    const expected = begin + slot * stepMs;
    const at = nearest.get(slot);
    return { expectedAt: new Date(expected).toISOString(), heardAt: at === undefined ? null : new Date(at).toISOString(), leanMin: at === undefined ? null : Math.round((at - expected) / 60_000) };
  });
}

/** Median of the steps of the lean between neighbouring heard teeth, per day: one odd arrival moves nothing. */
function driftOf(teeth: readonly Tooth[]): number | null {
  const heard = teeth.filter((tooth) => tooth.leanMin !== null);
  if (heard.length < 5) return null;
  const steps = heard.slice(1).map((tooth, i) => (tooth.leanMin! - heard[i]!.leanMin!) / ((Date.parse(tooth.expectedAt) - Date.parse(heard[i]!.expectedAt)) / (24 * hourMs))).toSorted((a, b) => a - b);
  const middle = Math.floor(steps.length / 2);
  const drift = steps.length % 2 === 1 ? steps[middle]! : (steps[middle - 1]! + steps[middle]!) / 2;
  return Math.round(drift * 10) / 10;
}

function wordsOf(teeth: number, missing: number, drift: number | null, silence: PathSilence): string {
  if (teeth === 0) return silence.words;
  const parts = [silence.words, missing === 0 ? `All of ${teeth} expected signals came.` : `${missing} of ${teeth} expected signals did not come.`];
  if (drift !== null && Math.abs(drift) >= 1) parts.push(`They come ${Math.abs(drift)} min ${drift > 0 ? 'later' : 'earlier'} every day: the panel's clock is wrong.`);
  return parts.join(' ');
}
