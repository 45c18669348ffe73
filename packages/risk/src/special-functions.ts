/** Gamma function and gamma distribution. Formulas: NIST Digital Library of Mathematical Functions 5.11, 8.2, 8.7, 8.9 (from memory). */

/** ln Γ(x) for x > 0: Stirling's series after shifting x above 10; error below 1e-13 relative. */
export function lnGamma(x: number): number {
  let shift = 0;
  let y = x;
  while (y < 10) {
    shift += Math.log(y);
    y += 1;
  }
  const z = 1 / (y * y);
  const series = (1 / y) * (1 / 12 - z * (1 / 360 - z * (1 / 1260 - z * (1 / 1680 - z * (1 / 1188)))));
  return (y - 0.5) * Math.log(y) - y + 0.5 * Math.log(2 * Math.PI) + series - shift;
}

/** Regularised lower incomplete gamma P(a, x): probability that gamma(shape a, rate 1) is at most x. */
export function gammaP(a: number, x: number): number {
  if (x <= 0) return 0;
  const front = Math.exp(a * Math.log(x) - x - lnGamma(a));
  return x < a + 1 ? front * powerSeries(a, x) : 1 - front * continuedFraction(a, x);
}

const MOST_TERMS = 10_000;

function powerSeries(a: number, x: number): number {
  let term = 1 / a;
  let sum = term;
  for (let n = 1; n < MOST_TERMS && term > sum * 1e-16; n++) {
    term *= x / (a + n);
    sum += term;
  }
  return sum;
}

// Lentz's evaluation of the continued fraction of Γ(a, x).
function continuedFraction(a: number, x: number): number {
  const tiny = 1e-300;
  let b = x + 1 - a;
  let c = 1 / tiny;
  let d = 1 / b;
  let h = d;
  for (let n = 1; n < MOST_TERMS; n++) {
    const an = -n * (n - a);
    b += 2;
    d = 1 / (Math.abs(an * d + b) < tiny ? tiny : an * d + b);
    c = Math.abs(b + an / c) < tiny ? tiny : b + an / c;
    const step = c * d;
    h *= step;
    if (Math.abs(step - 1) < 1e-15) break;
  }
  return h;
}

/** Quantile of gamma(shape, rate): the value not exceeded with probability `p`, 0 < p < 1. Bisection in the logarithm: slow and sure. */
export function gammaQuantile(p: number, shape: number, rate: number): number {
  let low = -700;
  let high = Math.log(shape + 40 * Math.sqrt(shape) + 60);
  for (let n = 0; n < 200 && high - low > 1e-14 * Math.max(1, Math.abs(high)); n++) {
    const middle = (low + high) / 2;
    if (gammaP(shape, Math.exp(middle)) < p) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2) / rate;
}
