import { normalQuantile } from './normal.js';

export type Interval = { readonly low: number; readonly high: number };

/**
 * Wilson score interval of a share. `failures` of `trials`, confidence 0.95 by default, optionally with continuity correction.
 * Throws RangeError unless 0 <= failures <= trials, both whole, and trials >= 1.
 */
export function wilsonInterval(failures: number, trials: number, confidence = 0.95, continuity = false): Interval {
  if (!Number.isInteger(failures) || !Number.isInteger(trials) || trials < 1 || failures < 0 || failures > trials) {
    throw new RangeError(`${failures} of ${trials}: expected whole numbers with 0 <= failures <= trials and at least one trial.`);
  }
  const z = normalQuantile(0.5 + confidence / 2);
  const [p, z2] = [failures / trials, z * z];
  const scale = 2 * (trials + z2);
  const at = 2 * failures + z2;
  if (!continuity) {
    const half = z * Math.sqrt(z2 + 4 * failures * (1 - p));
    return { low: failures === 0 ? 0 : (at - half) / scale, high: failures === trials ? 1 : (at + half) / scale };
  }
  const q = 1 - p;
  const lowHalf = z * Math.sqrt(z2 - 2 - 1 / trials + 4 * p * (trials * q + 1));
  const highHalf = z * Math.sqrt(z2 + 2 - 1 / trials + 4 * p * (trials * q - 1));
  return {
    low: failures === 0 ? 0 : Math.max(0, (at - 1 - lowHalf) / scale),
    high: failures === trials ? 1 : Math.min(1, (at + 1 + highHalf) / scale),
  };
}
