import type { SiteInput } from '../src/index.js';

/** Draws in [0, 1) from a seed. */
export function random(seed: number): () => number;
export function site(index: number, next: () => number): SiteInput;
