/** Standard normal distribution function, by the alternating-free series of its integral for |x| < 6, else a continued fraction. */
export function normalCdf(x: number): number {
  if (x < 0) return 1 - normalCdf(-x);
  const density = Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI);
  if (x > 6) {
    let fraction = 0;
    for (let k = 60; k >= 1; k -= 1) fraction = k / (x + fraction);
    return 1 - density / (x + fraction);
  }
  let [term, sum] = [x, x];
  for (let k = 1; Math.abs(term) > 1e-17 && k < 400; k += 1) {
    term *= (x * x) / (2 * k + 1);
    sum += term;
  }
  return 0.5 + density * sum;
}

/** Value below which the standard normal lies with probability p (0 < p < 1), by halving to 1e-13. */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`Probability ${p}: expected between 0 and 1.`);
  let [low, high] = [-12, 12];
  while (high - low > 1e-13) {
    const middle = (low + high) / 2;
    if (normalCdf(middle) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
