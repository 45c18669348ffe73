/** Expected unprotected hours of one system: integrals of its chain over time. Rules EXP-8..12 in SPEC.md. */
import { type Chain, counted, LINKS, unprotectedAt } from './chain.js';
import { CAUSES } from './component-state.js';

// Gauss-Legendre, five points on −1..1 (Abramowitz and Stegun table 25.4): exact for polynomials up to degree nine.
const NODES = [-0.906179845938664, -0.5384693101056831, 0, 0.5384693101056831, 0.906179845938664];
const WEIGHTS = [0.23692688505618908, 0.47862867049936647, 0.5688888888888889, 0.47862867049936647, 0.23692688505618908];

/** Where an integral leaves who and what it was made of. Hours; `byCause` has one row of causes per component. */
export interface Breakdown {
  readonly byCause: Float64Array;
  /** Hours that each link alone would be down. */
  readonly linkDownH: Float64Array;
  /** Each link's part of the system's exposure. */
  readonly linkShareH: Float64Array;
}

/** An empty breakdown for this chain. */
export function breakdownFor(chain: Chain): Breakdown {
  return { byCause: new Float64Array(chain.states.length * CAUSES.length), linkDownH: new Float64Array(LINKS.length), linkShareH: new Float64Array(LINKS.length) };
}

/**
 * Expected unprotected hours from `fromH` to `toH` (hours from now), with a planned proof already made at `proofAtH`, or −1 for none. Split
 * where the down time of reported faults stops growing, so that the rule meets only smooth pieces.
 */
export function exposureOver(chain: Chain, fromH: number, toH: number, proofAtH: number, into: Breakdown | null): number {
  if (toH <= fromH) return 0;
  const bend = bendAfter(chain, fromH, toH, proofAtH);
  if (bend === null) return panels(chain, fromH, toH, proofAtH, into);
  return panels(chain, fromH, bend, proofAtH, into) + panels(chain, bend, toH, proofAtH, into);
}

// Over two months the integrand bends too little for a second panel to matter.
const ONE_PANEL_H = 1500;

function bendAfter(chain: Chain, fromH: number, toH: number, proofAtH: number): number | null {
  let bend = fromH;
  for (const state of chain.states) {
    if (state.reportedShare === 0) continue;
    const at = proofAtH < 0 ? state.faultH - state.sinceProofH : proofAtH + state.faultH;
    if (at > bend && at < toH) bend = at;
  }
  return bend > fromH ? bend : null;
}

function panels(chain: Chain, fromH: number, toH: number, proofAtH: number, into: Breakdown | null): number {
  const count = toH - fromH > ONE_PANEL_H ? 2 : 1;
  const half = (toH - fromH) / count / 2;
  let sum = 0;
  for (let p = 0; p < count; p++) {
    const middle = fromH + half * (2 * p + 1);
    for (let n = 0; n < NODES.length; n++) {
      const weight = (WEIGHTS[n] as number) * half;
      const down = unprotectedAt(chain, middle + half * (NODES[n] as number), proofAtH, into !== null);
      sum += weight * down;
      if (into !== null) apportion(chain, weight * down, weight, into);
    }
  }
  return sum;
}

// Exposure is additive in log-survival: each component holds its part of the sum, each cause its part of the component.
function apportion(chain: Chain, hours: number, weight: number, into: Breakdown): void {
  const total = counted(chain);
  if (!(total > 0)) return;
  const per = hours / total;
  const { states, splits, parts, linkLogs, soundersCount } = chain;
  for (let link = 0; link < LINKS.length; link++) {
    const log = linkLogs[link] as number;
    into.linkDownH[link] = (into.linkDownH[link] as number) - weight * Math.expm1(-log);
    if (link < 4 || soundersCount) into.linkShareH[link] = (into.linkShareH[link] as number) + per * log;
  }
  for (let i = 0; i < states.length; i++) {
    if (!soundersCount && (states[i] as Chain['states'][number]).input.role === 'sounder') continue;
    const mine = per * (splits[i] as number);
    for (let c = i * CAUSES.length; c < (i + 1) * CAUSES.length; c++) into.byCause[c] = (into.byCause[c] as number) + mine * (parts[c] as number);
  }
}
