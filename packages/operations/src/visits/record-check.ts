import type { CheckRecorded, RecordCheck } from '@bellround/contracts';
import { installedAt } from '../installed.js';
import type { Act } from '../perform.js';
import { answersOf, benchOf, checkDigest, givenBefore, lockVisit, recordOne, settleRecorded } from './steps.js';

/** Appends one check to an open visit. Rules VIS-3..7, DEF-1. Throws VisitClosed, HoldRequired, NotLicensed, IdReused. */
export const recordCheck: Act<RecordCheck, CheckRecorded> = async (ctx, { visitId, ...input }) => {
  const visit = await lockVisit(ctx, visitId);
  const isAgain = await givenBefore(ctx, input.id, checkDigest(ctx, visitId, input, null));
  if (!isAgain) {
    const bench = await benchOf(ctx, visit, await installedAt(ctx, visit.site, visit.id));
    await settleRecorded(ctx, visit, [await recordOne(ctx, bench, input)]);
  }
  return (await answersOf(ctx, [input.id])).get(input.id)!;
};
