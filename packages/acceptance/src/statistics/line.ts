import { normalQuantile } from './normal.js';

export type Point = { readonly x: number; readonly y: number };

export type RobustLine = {
  readonly slope: number;
  /** Median of y minus slope times median of x. */
  readonly intercept: number;
  /** Median of y - slope x over the points: passes through their middle. */
  readonly jointIntercept: number;
  readonly slopeLow: number;
  readonly slopeHigh: number;
};

/**
 * Theil-Sen line with Sen's interval of the slope (Sen 1968). Null with fewer than two distinct x.
 * One wild point in a handful does not turn it, which a least-squares line would.
 */
export function theilSen(points: readonly Point[], confidence = 0.95): RobustLine | null {
  const slopes: number[] = [];
  points.forEach((a, i) => points.slice(i + 1).forEach((b) => {
    if (a.x !== b.x) slopes.push((b.y - a.y) / (b.x - a.x));
  }));
  if (slopes.length === 0) return null;
  slopes.sort((a, b) => a - b);
  const slope = median(slopes);
  const [xs, ys] = [points.map((p) => p.x), points.map((p) => p.y)];
  const n = points.length;
  const variance = (n * (n - 1) * (2 * n + 5) - ties(xs) - ties(ys)) / 18;
  const reach = normalQuantile(0.5 + confidence / 2) * Math.sqrt(Math.max(0, variance));
  const low = Math.max(Math.round((slopes.length - reach) / 2) - 1, 0);
  const high = Math.min(Math.round((slopes.length + reach) / 2), slopes.length - 1);
  return {
    slope,
    intercept: median(ys) - slope * median(xs),
    jointIntercept: median(points.map((p) => p.y - slope * p.x)),
    slopeLow: slopes[low]!,
    slopeHigh: slopes[high]!,
  };
}

/** Least-squares line, or null with fewer than two distinct x. */
export function leastSquares(points: readonly Point[]): { readonly slope: number; readonly intercept: number } | null {
  const n = points.length;
  const [mx, my] = [mean(points.map((p) => p.x)), mean(points.map((p) => p.y))];
  const sxx = points.reduce((sum, p) => sum + (p.x - mx) ** 2, 0);
  if (n < 2 || sxx === 0) return null;
  const slope = points.reduce((sum, p) => sum + (p.x - mx) * (p.y - my), 0) / sxx;
  return { slope, intercept: my - slope * mx };
}

export function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const middle = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function ties(values: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts.values()].reduce((sum, k) => sum + k * (k - 1) * (2 * k + 5), 0);
}
