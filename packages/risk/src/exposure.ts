/** Expected unprotected hours of one system: integrals of its chain over time. Rules EXP-8..12 in SPEC.md. */
import { nextBend } from './bends.js';
import { type Chain, counted, LINKS, unprotectedAt } from './chain.js';
import { CAUSES } from './component-state.js';

// Gauss-Legendre on −1..1 (Abramowitz and Stegun table 25.4): five points are exact for polynomials up to degree nine, three up to five, two up to three.
const FIVE = { nodes: [-0.906179845938664, -0.5384693101056831, 0, 0.5384693101056831, 0.906179845938664], weights: [0.23692688505618908, 0.47862867049936647, 0.5688888888888889, 0.47862867049936647, 0.23692688505618908] };
const TWO = { nodes: [-0.5773502691896257, 0.5773502691896257], weights: [1, 1] };
const THREE = { nodes: [-0.7745966692414834, 0, 0.7745966692414834], weights: [0.5555555555555556, 0.8888888888888888, 0.5555555555555556] };

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
 * at every corner of the integrand, so that the rule meets only smooth pieces.
 */
export function exposureOver(chain: Chain, fromH: number, toH: number, proofAtH: number, into: Breakdown | null): number {
  let sum = 0;
  for (let at = fromH; at < toH; ) {
    const bend = nextBend(chain, at, toH, proofAtH);
    sum += panels(chain, at, bend, proofAtH, into);
    at = bend;
  }
  return sum;
}

// Over two months the integrand bends too little for a second panel to matter.
const ONE_PANEL_H = 1500;

// Within days it is so nearly a line that three points are enough, within hours two; after every planned proof there are several such pieces.
const SHORT_H = 200;
const HOURS_H = 24;

function panels(chain: Chain, fromH: number, toH: number, proofAtH: number, into: Breakdown | null): number {
  const count = toH - fromH > ONE_PANEL_H ? 2 : 1;
  const half = (toH - fromH) / count / 2;
  const { nodes, weights } = toH - fromH < HOURS_H ? TWO : toH - fromH < SHORT_H ? THREE : FIVE;
  let sum = 0;
  for (let p = 0; p < count; p++) {
    const middle = fromH + half * (2 * p + 1);
    for (let n = 0; n < nodes.length; n++) {
      const weight = (weights[n] as number) * half;
      const down = unprotectedAt(chain, middle + half * (nodes[n] as number), proofAtH, into !== null);
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
