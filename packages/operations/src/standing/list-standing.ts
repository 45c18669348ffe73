import type { StandingAsked, StandingList, StandingRow, StripLane } from '@bellround/contracts';
import { dutiesOfSites, standingPage, windowsOfSites } from '@bellround/database';
import { addDays, type LocalDate } from '@bellround/recurrence';
import type { Act } from '../perform.js';
import { asOfDay, standingFrom, windowShown } from './steps.js';

const BEHIND_DAYS = 730;
const AHEAD_DAYS = 210;
/** Lanes drawn of one site; a site page shows all. The worst come first. */
const LANES = 8;

/** Sites with their standing on a day, missing proof first, counts of all that match, and small proof strips of the page. */
export const listStanding: Act<StandingAsked, StandingList> = async (ctx, input) => {
  const { today, asOf } = await asOfDay(ctx, input.asOf);
  const { counts, rows } = await standingPage(ctx.tx, asOf, input);
  const stripFrom = addDays(asOf as LocalDate, -BEHIND_DAYS);
  const stripTo = addDays(asOf as LocalDate, AHEAD_DAYS);
  const siteIds = rows.map((row) => row.siteId);
  const lanes = input.strips === 'yes' && siteIds.length > 0 ? await lanesOf(ctx.tx, siteIds, stripFrom, stripTo, asOf) : new Map<string, StripLane[]>();
  const sites = Object.values(counts).reduce((sum, n) => sum + n, 0);
  const byWord: Record<string, number> = { lapsed: counts.lapsed, 'cant-tell': counts.cantTell, late: counts.late, open: counts.open, proven: counts.proven, 'not-owed': counts.notOwed };
  return {
    asOf, today, stripFrom, stripTo, counts: { ...counts, sites }, total: input.standing ? byWord[input.standing]! : sites,
    rows: rows.map((row) => ({ ...row, standing: row.standing as StandingRow['standing'], lanes: lanes.get(row.siteId) ?? [] })),
  };
};

const WORST = ['lapsed', 'cant-tell', 'late', 'open', 'proven', 'not-owed'];

async function lanesOf(tx: Parameters<typeof windowsOfSites>[0], siteIds: readonly string[], from: string, to: string, asOf: string): Promise<Map<string, StripLane[]>> {
  const [windows, duties] = [await windowsOfSites(tx, siteIds, from, to), await dutiesOfSites(tx, siteIds)];
  const ofDuty = new Map<string, ReturnType<typeof windowShown>[]>();
  for (const window of windows) ofDuty.set(window.dutyId, [...(ofDuty.get(window.dutyId) ?? []), windowShown(window)]);
  const lanes = new Map<string, StripLane[]>();
  for (const duty of duties) {
    const own = ofDuty.get(duty.id);
    if (!own) continue;
    const lane: StripLane = {
      dutyId: duty.id, title: `${duty.title}: ${duty.subject}`, standing: standingFrom(own, asOf).standing,
      windows: own.map(({ n, opens, due, lapses, governsFrom, governsTo, metOn, outcome, lateDays, carried }) => ({ n, opens, due, lapses, governsFrom, governsTo, metOn, outcome, lateDays, carried })),
    };
    lanes.set(duty.siteId, [...(lanes.get(duty.siteId) ?? []), lane]);
  }
  for (const [siteId, list] of lanes) lanes.set(siteId, list.sort((a, b) => WORST.indexOf(a.standing) - WORST.indexOf(b.standing)).slice(0, LANES));
  return lanes;
}
