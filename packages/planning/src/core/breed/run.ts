import type { RoutingModel } from '../model.js';
import { Routes } from '../routes.js';
import { search, type SearchOptions } from '../search.js';
import { restore, snapshotOf, type Snapshot } from '../snapshot.js';
import { Breed } from './breed.js';
import type { Individual } from './individual.js';

/** Fewer clients are searched to the end anyhow; with more a population takes too long to become good. */
const LEAST_CLIENTS = 20;
const MOST_CLIENTS = 400;
/** One child takes about as long as that many steps of ruin and recreate. */
export const STEPS_PER_CHILD = 100;
/** Share of the budget for the first solution, which is one of the population. */
const FIRST_SHARE = 0.12;
/** How often populations in several threads look at each other's best. */
const EXCHANGES = 40;

export function breeds(model: RoutingModel): boolean {
  return model.clients >= LEAST_CLIENTS && model.clients <= MOST_CLIENTS && Breed.suits(model);
}

/**
 * Solves a model that `breeds`: a short search by ruin and recreate, then a population that starts with what it found.
 * Only that first search where nothing says how much of the budget is used.
 */
export function breedSearch(model: RoutingModel, options: SearchOptions): { best: Snapshot; iterations: number } {
  const budget = options.iterations;
  let steps = 0;
  const fraction = options.fraction ?? (budget === undefined ? undefined : () => steps / budget);
  if (fraction === undefined) return search(model, options);
  const over = (): boolean => options.cancelled?.() === true || options.until?.() === true;
  const { board } = options;
  const first = search(model, {
    seed: options.seed, ...(options.cancelled === undefined ? {} : { cancelled: options.cancelled }), ...(options.onProgress === undefined ? {} : { onProgress: options.onProgress }),
    ...(options.fraction === undefined ? { iterations: Math.floor(FIRST_SHARE * (budget ?? 0)) } : { until: () => over() || fraction() >= FIRST_SHARE, fraction: () => fraction() / FIRST_SHARE }),
  });
  steps = first.iterations;
  const routes = new Routes(model);
  const breed = new Breed(model, options.seed);
  let best = first.best;
  if (best.lapse === 0) breed.admit(best.sequences);
  let known: Individual | null = breed.best;
  let exchanged = 0;
  for (let child = 0; budget === undefined || steps < budget; child++) {
    if (over()) break;
    breed.step();
    steps += STEPS_PER_CHILD;
    if (breed.best !== null && breed.best !== known) {
      known = breed.best;
      restore(routes, { ...best, starts: new Map(), sequences: sequencesOf(known) });
      const found = snapshotOf(routes);
      if (found.strict < best.strict - 1e-6) best = found;
    }
    if (board !== undefined && Math.floor(fraction() * EXCHANGES) > exchanged) {
      exchanged = Math.floor(fraction() * EXCHANGES);
      board.offer(best);
      const theirs = board.take(best, routes);
      if (theirs !== null) {
        best = theirs;
        if (best.lapse === 0) breed.admit(best.sequences);
        known = breed.best;
      }
    }
    if (child % 64 === 0) options.onProgress?.({ iterations: steps, strict: best.strict, terms: best.terms, absent: absent(model, best) });
  }
  board?.offer(best);
  const last = board?.take(best, routes);
  if (last !== undefined && last !== null) best = last;
  options.onProgress?.({ iterations: steps, strict: best.strict, terms: best.terms, absent: absent(model, best) });
  return { best, iterations: steps };
}

function sequencesOf(x: Individual): number[][] {
  return Array.from({ length: x.at.length - 1 }, (_, r) => Array.from(x.clients.subarray(x.at[r], x.at[r + 1])));
}

function absent(model: RoutingModel, best: Snapshot): number {
  return model.clients - best.sequences.reduce((sum, s) => sum + s.length, 0);
}
