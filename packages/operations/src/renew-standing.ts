import { isRetryable, type SiteStretch } from '@bellround/database';
import type { Perform, Who } from './perform.js';
import { refreshStretch } from './standing/refresh-stretch.js';
import { standingStretches } from './standing/standing-stretches.js';
import type { Refreshed } from './standing/steps.js';

// The windows of a whole fleet, stretch by stretch, each stretch an act of its own. Not an act: it holds no transaction. Two stretches are
// under way at a time, so that while the windows of one are computed here the database reads or writes the other; they are of
// different sites, so neither waits for the other's locks, and memory holds two stretches whatever the size of the fleet.

const SITES_PER_STRETCH = 200;
/** Of those that the calendar turned; about as many as so many sites have. */
const DUTIES_PER_STRETCH = 2400;
const LANES = 2;
const TRIES = 4;

export interface RenewStanding {
  /** changed: what differs from the last run; turned: only duties that the calendar turned since; rebuild: compared with the tables themselves */
  readonly how?: 'changed' | 'turned' | 'rebuild';
  readonly sitesPerStretch?: number;
  /** Ends the run after the stretches that are under way. What they wrote stays; a run begun again goes over the rest. */
  readonly stop?: AbortSignal;
}

/** Brings the windows of all of a company's sites up to date. A run broken off anywhere and begun again ends the same. */
export async function renewStanding(perform: Perform, who: Who, { how = 'changed', sitesPerStretch = SITES_PER_STRETCH, stop }: RenewStanding = {}): Promise<Refreshed> {
  const { stretches } = await perform(standingStretches, who, { sites: sitesPerStretch, duties: DUTIES_PER_STRETCH, turned: how === 'turned' });
  const total: Refreshed = { sites: 0, duties: 0, dutiesWritten: 0, windowsWritten: 0, creditsWritten: 0 };
  let next = 0;
  let broken = false;
  const lane = async (): Promise<void> => {
    while (next < stretches.length && !broken) {
      stop?.throwIfAborted();
      const stretch = stretches[next]!;
      next += 1;
      try {
        const done = await refreshed(perform, who, { ...stretch, rebuild: how === 'rebuild' });
        for (const key of Object.keys(total) as (keyof Refreshed)[]) total[key] += done[key];
      } catch (error) {
        broken = true; // the other lane ends with its stretch
        throw error;
      }
    }
  };
  // Both have ended before this one does: none is left at work behind whoever asked.
  for (const lane_ of await Promise.allSettled(Array.from({ length: LANES }, lane))) if (lane_.status === 'rejected') throw lane_.reason;
  return total;
}

/** One stretch; run again when it lost a race against somebody who recorded a check. */
async function refreshed(perform: Perform, who: Who, stretch: SiteStretch & { rebuild: boolean }): Promise<Refreshed> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      return await perform.bulk(refreshStretch, who, stretch);
    } catch (error) {
      if (attempt >= TRIES || !isRetryable(error)) throw error;
    }
  }
}
