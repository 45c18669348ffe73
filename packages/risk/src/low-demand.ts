/**
 * Average probability of failure on demand by the closed formulas of IEC 61508-6 Annex B (as restated in open notes on Lundteigen and
 * Rausand chapter 8). Scoring integrates exactly instead; these stand beside it for whoever audits it. Rules LOW-1..3 in SPEC.md.
 */

export interface LowDemandInput {
  readonly architecture: '1oo1' | '1oo2' | '2oo3';
  /** Dangerous failures per hour that only a proof reveals. */
  readonly undetectedPerHour: number;
  /** Dangerous failures per hour that the system reports. */
  readonly detectedPerHour: number;
  /** Hours between proofs. */
  readonly proofIntervalH: number;
  /** Hours to repair a reported failure. */
  readonly repairH: number;
  /** Hours to repair what a proof found. */
  readonly proofRepairH: number;
  /** Common-cause share of undetected failures, 0..1. */
  readonly beta?: number;
  /** Common-cause share of detected failures, 0..1. */
  readonly betaDetected?: number;
  /** Share of undetected failures that a proof reveals, 0..1. */
  readonly coverage?: number;
  /** Hours to the check that reveals the rest (or to the end of life). */
  readonly fullIntervalH?: number;
}

/** Average probability of failure on demand, 0..1, for small rates (the linear form is high by about λT/3). */
export function averagePfd(input: LowDemandInput): number {
  const { undetectedPerHour: du, detectedPerHour: dd, proofIntervalH, repairH, proofRepairH, coverage = 1, fullIntervalH = proofIntervalH } = input;
  // Mean down time of one channel and of the group: intervals divided by the order of the failure that completes it.
  const downtime = (order: number): number => {
    const undetected = coverage * (proofIntervalH / order + proofRepairH) + (1 - coverage) * (fullIntervalH / order + proofRepairH);
    return (du / (du + dd)) * undetected + (dd / (du + dd)) * repairH;
  };
  if (du + dd === 0) return 0;
  if (input.architecture === '1oo1') return (du + dd) * downtime(2);
  const { beta = 0, betaDetected = 0 } = input;
  const independent = (1 - betaDetected) * dd + (1 - beta) * du;
  const pairs = input.architecture === '1oo2' ? 2 : 6;
  const commonUndetected = coverage * (proofIntervalH / 2 + proofRepairH) + (1 - coverage) * (fullIntervalH / 2 + proofRepairH);
  return pairs * independent ** 2 * downtime(2) * downtime(3) + betaDetected * dd * repairH + beta * du * commonUndetected;
}

/** Exact time average of 1 − e^(−λt) over an interval: 1 − (1 − e^(−λT)) / (λT). */
export function exactAverage(perHour: number, intervalH: number): number {
  const x = perHour * intervalH;
  return x < 1e-8 ? x / 2 : 1 + Math.expm1(-x) / x;
}
