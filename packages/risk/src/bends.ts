/** Where a chain's down time has a corner, so that an integral over it can be cut into smooth pieces. Rule EXP-13 in SPEC.md. */
import type { Chain } from './chain.js';
import { type ComponentState, logSurvival } from './component-state.js';

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
  for (const state of chain.reporting) {
    const at = proofAtH < 0 ? state.faultH - state.sinceProofH : proofAtH + state.faultH;
    if (at > afterH && at < bend) bend = at;
  }
  for (const members of chain.standIns) bend = firstTakeOver(chain, members, afterH, bend, proofAtH);
  return bend;
}

// Up to `toH` each log-survival is smooth and close to a line, so that two of them cross once at most.
function firstTakeOver({ states }: Chain, members: readonly number[], afterH: number, toH: number, proofAtH: number): number {
  const start = afterH + JUST_AFTER_H;
  if (start >= toH) return toH;
  let best = states[members[0] as number] as ComponentState;
  let least = logSurvival(best, start, proofAtH);
  for (let m = 1; m < members.length; m++) {
    const state = states[members[m] as number] as ComponentState;
    const log = logSurvival(state, start, proofAtH);
    if (log >= least) continue;
    best = state;
    least = log;
  }
  let first = toH;
  let bestAtFirst = logSurvival(best, first, proofAtH);
  for (const member of members) {
    const state = states[member] as ComponentState;
    if (state === best || logSurvival(state, first, proofAtH) - bestAtFirst > -NO_DIFFERENCE) continue;
    first = crossing(state, best, start, first, proofAtH);
    bestAtFirst = logSurvival(best, first, proofAtH);
  }
  return first;
}

// Halving: 60 times leaves less than the rounding of an hour, and crossings are rare.
function crossing(state: ComponentState, best: ComponentState, fromH: number, toH: number, proofAtH: number): number {
  let low = fromH;
  let high = toH;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (logSurvival(state, middle, proofAtH) < logSurvival(best, middle, proofAtH)) high = middle;
    else low = middle;
  }
  return high;
}
