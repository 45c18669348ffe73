import type { LateRow } from '@bellround/contracts';
import { lateWindows as lateWindowsPage } from '@bellround/database';
import { daysBetween, type LocalDate } from '@bellround/recurrence';
import type { Act } from '../perform.js';
import { asOfDay, attributionOf, monthsBack } from './steps.js';

/** Windows that ended late or missed, each with who could have prevented it and what shows that. */
export const lateWindows: Act<{ asOf?: string | undefined; months: number; search?: string | undefined; limit: number; offset: number }, { rows: LateRow[]; total: number }> = async (ctx, input) => {
  const { asOf, settings } = await asOfDay(ctx, input.asOf);
  const { from, to } = monthsBack(asOf, input.months);
  const rows = await lateWindowsPage(ctx.tx, from, to, asOf, input);
  return {
    total: rows[0]?.total ?? 0,
    rows: rows.map((row) => ({
      dutyId: row.dutyId, n: row.n, title: row.title, siteId: row.siteId, siteName: row.siteName, opens: row.opens, lapses: row.lapses, metOn: row.metOn, outcome: row.outcome as LateRow['outcome'],
      lateDays: daysBetween(row.lapses as LocalDate, (row.metOn ?? asOf) as LocalDate), attribution: attributionOf(row.attempts, settings),
    })),
  };
};
