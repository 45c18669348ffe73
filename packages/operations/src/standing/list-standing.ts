import type { StandingAsked, StandingList, StandingRow } from '@bellround/contracts';
import { standingPage } from '@bellround/database';
import type { Act } from '../perform.js';
import { stripLanes, stripStretch } from '../reports/steps.js';
import { asOfDay } from './steps.js';

/** Sites with their standing on a day, missing proof first, counts of all that match, and small proof strips of the page. */
export const listStanding: Act<StandingAsked, StandingList> = async (ctx, input) => {
  const { today, asOf } = await asOfDay(ctx, input.asOf);
  const { counts, rows } = await standingPage(ctx.tx, asOf, { ...input, broken: input.broken === 'yes' });
  const lanes = input.strips === 'yes' ? await stripLanes(ctx.tx, rows.map((row) => row.siteId), asOf) : new Map<string, StandingRow['lanes']>();
  const sites = Object.values(counts).reduce((sum, n) => sum + n, 0);
  const byWord: Record<string, number> = { lapsed: counts.lapsed, 'cant-tell': counts.cantTell, late: counts.late, open: counts.open, proven: counts.proven, 'not-owed': counts.notOwed };
  return {
    asOf, today, ...stripStretch(asOf), counts: { ...counts, sites }, total: input.standing ? byWord[input.standing]! : sites,
    rows: rows.map((row) => ({ ...row, standing: row.standing as StandingRow['standing'], lanes: lanes.get(row.siteId) ?? [] })),
  };
};
