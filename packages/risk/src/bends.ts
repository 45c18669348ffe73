/** Where a chain's down time has a corner, so that an integral over it can be cut into smooth pieces. Rule EXP-13 in SPEC.md. */
import type { Chain } from './chain.js';
import { logSurvival } from './component-state.js';

/** Who is the best of a group is asked just after the start of a piece: at a crossing itself two are equal. Hours. */
const JUST_AFTER_H = 1e-6;

/** Members whose log-survivals differ by less change nothing that a sum of doubles would show. */
const NO_DIFFERENCE = 1e-12;

/**
 * The first corner after `afterH`, or `toH` when there is none: the down time of a reported fault stops growing, or another member of a group
 * becomes the best one, whose failures are the common cause of the group's. Hours from now; `proofAtH` as in `exposureOver`.
 */
export function nextBend(chain: Chain, afterH: number, toH: number, proofAtH: number): number {
  let bend = toH;
  for (const state of chain.states) {
    if (state.reportedShare === 0) continue;
    const at = proofAtH < 0 ? state.faultH - state.sinceProofH : proofAtH + state.faultH;
    if (at > afterH && at < bend) bend = at;
  }
  for (const members of chain.standIns) bend = firstTakeOver(chain, members, afterH, bend, proofAtH);
  return bend;
}

// Up to `toH` each log-survival is smooth and close to a line, so that two of them cross once at most.
function firstTakeOver(chain: Chain, members: readonly number[], afterH: number, toH: number, proofAtH: number): number {
  const start = afterH + JUST_AFTER_H;
  if (start >= toH) return toH;
  const logAt = (member: number, hour: number): number => logSurvival(chain.states[member] as Chain['states'][number], hour, proofAtH, null, 0);
  let best = members[0] as number;
  let least = logAt(best, start);
  for (const member of members) {
    const log = logAt(member, start);
    if (log < least) [best, least] = [member, log];
  }
  let first = toH;
  let bestAtFirst = logAt(best, first);
  for (const member of members) {
    if (member === best || logAt(member, first) - bestAtFirst > -NO_DIFFERENCE) continue;
    first = crossing((hour) => logAt(member, hour) - logAt(best, hour), start, first);
    bestAtFirst = logAt(best, first);
  }
  return first;
}

// Halving: 60 times leaves less than the rounding of an hour, and crossings are rare.
function crossing(difference: (hour: number) => number, fromH: number, toH: number): number {
  let [low, high] = [fromH, toH];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (difference(middle) < 0) high = middle;
    else low = middle;
  }
  return high;
}
