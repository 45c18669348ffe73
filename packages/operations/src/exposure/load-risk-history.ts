import { historyExtent, looksBetween, openSitesAfter, siteComponents } from '@bellround/database';
import { dayNumber, fromDayNumber, localDate } from '@bellround/recurrence';
import type { Act } from '../perform.js';
import { BATCH, casesOf, heldBackOf, historyOf, PART_KINDS, sampledOf, todayOf, type RiskRecords } from './steps.js';

/**
 * Reads the next batch of the company's sites for a fit: history to today, history to the day on which the held-back interval begins, and
 * the cases of that interval and of the one before. Called until `next` is null; nothing is written.
 */
export const loadRiskHistory: Act<{ afterSiteId: string | null }, { records: RiskRecords; next: string | null }> = async (ctx, { afterSiteId }) => {
  const today = await todayOf(ctx);
  const day = dayNumber(localDate(today));
  const { first, sites } = await historyExtent(ctx.tx);
  const held = heldBackOf(first === null ? null : dayNumber(localDate(first)), day);
  const ids = await openSitesAfter(ctx.tx, afterSiteId, BATCH);
  const known = (on: number, some: readonly string[]) => siteComponents(ctx.tx, some, fromDayNumber(on), PART_KINDS);
  const records: RiskRecords = { window: first === null ? null : { from: first, to: today }, held: held === null ? null : { from: fromDayNumber(held.from), to: today }, history: historyOf(await known(day, ids), day), before: [], cases: [], learn: [] };
  if (held !== null) {
    const some = sampledOf(ids, sites);
    const rows = await known(held.from, ids);
    const earlier = await known(held.earlier, some);
    const casesFrom = async (found: typeof rows, from: number, to: number) => casesOf(found, await looksBetween(ctx.tx, some, fromDayNumber(from), fromDayNumber(to), PART_KINDS), from, to);
    records.before = historyOf(rows, held.from);
    records.cases = await casesFrom(rows, held.from, day);
    records.learn = await casesFrom(earlier, held.earlier, held.from);
  }
  return { records, next: ids.length === BATCH ? ids.at(-1)! : null };
};
