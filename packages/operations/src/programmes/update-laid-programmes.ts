import { companyTimeZone, programmeBodies, programmeCounts } from '@bellround/database';
import type { Programme } from '@bellround/programmes';
import type { LocalDate } from '@bellround/recurrence';
import type { BulkAct } from '../perform.js';
import { localDayOf } from '../steps.js';
import { emptyTally, layOnAll, noteBulk } from './steps.js';

/**
 * Brings every laid programme up to date with what is installed: what was fitted since owes its duties from the company's today, what was
 * removed owes none any more. Systems on which nothing is laid stay untouched. Run before the windows of a whole company are
 * recomputed; a second run changes nothing.
 */
export const updateLaidProgrammes: BulkAct<object, { programmes: number; added: number; removed: number }> = async (ctx) => {
  const today = localDayOf(ctx.now, await companyTimeZone(ctx.bulk)) as LocalDate;
  const laid = (await programmeCounts(ctx.bulk, today)).filter((row) => row.systems > 0);
  let added = 0;
  let removed = 0;
  for (const { id, body } of await programmeBodies(ctx.bulk, laid.map((row) => row.programmeId))) {
    const tally = emptyTally(false, today);
    await layOnAll(ctx, { programmeId: id, programme: body as Programme, from: today, filter: { standsOn: id } }, tally);
    added += tally.duties.added;
    removed += tally.duties.removed;
  }
  if (added + removed > 0) await noteBulk(ctx, { act: 'update-laid-programmes', about: 'programme', id: null, summary: `What was fitted or removed: ${added} duties begin, ${removed} end` });
  return { programmes: laid.length, added, removed };
};
