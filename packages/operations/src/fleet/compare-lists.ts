import type { ListComparison } from '@bellround/contracts';
import { companyZone, keepDifferences } from '@bellround/database';
import type { Act } from '../perform.js';
import { localDayOf, note } from '../steps.js';
import { listComparison } from './steps.js';

/** Compares the lists as they stand today and keeps what differs. Comparing twice changes nothing. */
export const compareLists: Act<object, ListComparison> = async (ctx) => {
  const changes = await keepDifferences(ctx.tx, localDayOf(ctx.now, await companyZone(ctx.tx)));
  await note(ctx, { act: 'compare-lists', about: 'lists', summary: `Lists compared: ${changes.opened} new differences, ${changes.gone} gone` });
  return listComparison(ctx, null);
};
