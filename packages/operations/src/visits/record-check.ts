import type { CheckRecorded, RecordCheck } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { answersOf, recordAll } from '../recording.js';
import { lockVisit } from './steps.js';

/** Appends one check to an open visit. Rules VIS-3..7, DEF-1. Throws VisitClosed, HoldRequired, NotLicensed, IdReused. */
export const recordCheck: Act<RecordCheck, CheckRecorded> = async (ctx, { visitId, ...input }) => {
  const visit = await lockVisit(ctx, visitId);
  const refused = (await recordAll(ctx, visit, [{ body: input }])).get(input.id);
  if (refused) throw refused;
  return (await answersOf(ctx, [input.id])).get(input.id)!;
};
