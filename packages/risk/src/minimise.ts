/** Downhill simplex search (Nelder and Mead 1965) for two or three smooth parameters. */

/** Thrown when a search did not settle. */
export class SearchExhausted extends Error {
  override readonly name = 'SearchExhausted';
}

const MOST_STEPS = 2000;

type Corner = { readonly at: readonly number[]; readonly value: number };

/**
 * Point with the least value of `f`, from `start` with first steps of `step`, to `within` of every parameter.
 * @throws SearchExhausted after 2000 steps without settling.
 */
export function minimise(f: (at: readonly number[]) => number, start: readonly number[], step: number, within = 1e-9): number[] {
  const corner = (at: readonly number[]): Corner => ({ at, value: f(at) });
  let simplex = [corner(start), ...start.map((_, i) => corner(start.map((x, j) => (i === j ? x + step : x))))];
  for (let n = 0; n < MOST_STEPS; n++) {
    simplex.sort((a, b) => a.value - b.value);
    const best = simplex[0] as Corner;
    const worst = simplex[simplex.length - 1] as Corner;
    if (best.at.every((x, i) => simplex.every((c) => Math.abs((c.at[i] as number) - x) < within * (1 + Math.abs(x))))) return [...best.at];
    const rest = simplex.slice(0, -1);
    const centre = best.at.map((_, i) => rest.reduce((sum, c) => sum + (c.at[i] as number), 0) / rest.length);
    const along = (by: number) => corner(centre.map((x, i) => x + by * (x - (worst.at[i] as number))));
    const reflected = along(1);
    let next: Corner | null = null;
    if (reflected.value < best.value) {
      const expanded = along(2);
      next = expanded.value < reflected.value ? expanded : reflected;
    } else if (reflected.value < (rest[rest.length - 1] as Corner).value) next = reflected;
    else {
      const contracted = along(reflected.value < worst.value ? 0.5 : -0.5);
      if (contracted.value < Math.min(worst.value, reflected.value)) next = contracted;
    }
    simplex = next !== null ? [...rest, next] : [best, ...simplex.slice(1).map((c) => corner(c.at.map((x, i) => ((best.at[i] as number) + x) / 2)))];
  }
  throw new SearchExhausted(`no minimum found in ${MOST_STEPS} steps`);
}
