import type { PathCategory } from './facts.js';

export type ReportingTimes = { readonly primaryS: number; readonly alternateS: number | null; readonly provenance: string };

const [minute, hour, day] = [60, 3600, 86_400];

/** Longest time until a path's loss is reported, by category. EN 50136-1:2012 (structure SEEN-P, table 1; figures as marked). */
export const reportingTimes: Readonly<Record<PathCategory, ReportingTimes>> = {
  SP1: { primaryS: 32 * day, alternateS: null, provenance: 'MEM' },
  SP2: { primaryS: 25 * hour, alternateS: null, provenance: 'MEM' },
  SP3: { primaryS: 30 * minute, alternateS: null, provenance: 'MEM' },
  SP4: { primaryS: 3 * minute, alternateS: null, provenance: 'MEM' },
  SP5: { primaryS: 90, alternateS: null, provenance: 'MEM' },
  SP6: { primaryS: 20, alternateS: null, provenance: 'SEEN-R' },
  DP1: { primaryS: 25 * hour, alternateS: 50 * hour, provenance: 'MEM' },
  DP2: { primaryS: 30 * minute, alternateS: 25 * hour, provenance: 'MEM' },
  DP3: { primaryS: 3 * minute, alternateS: 25 * hour, provenance: 'MEM' },
  DP4: { primaryS: 90, alternateS: 5 * hour, provenance: '90 s SEEN-R, rest MEM' },
};

/**
 * Longest reporting time of one path. With the primary down, the alternative of DP2 to DP4 must report as fast as the primary did.
 * Null: the category has no such path.
 */
export function reportingLimitS(category: PathCategory, order: 'primary' | 'alternate', primaryDown = false): number | null {
  const times = reportingTimes[category];
  if (order === 'primary') return times.primaryS;
  return times.alternateS !== null && primaryDown && category !== 'DP1' ? times.primaryS : times.alternateS;
}

/** The categories whose limit for this path a measured reporting time meets. */
export function categoriesMet(seconds: number, order: 'primary' | 'alternate'): PathCategory[] {
  return (Object.keys(reportingTimes) as PathCategory[]).filter((category) => {
    const limit = reportingLimitS(category, order);
    return limit !== null && seconds <= limit;
  });
}
