import { Refusal, type CheckRecorded, type CorrectCheck } from '@bellround/contracts';
import { installedAt } from '../installed.js';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { answersOf, benchOf, checkDigest, givenBefore, lockVisit, recordOne, settleRecorded } from './steps.js';

/**
 * Corrects a check by a further one that names it; both stay visible and only the correction counts. Only the person who
 * recorded it, or who plans, may: nobody corrects away what a colleague found.
 */
export const correctCheck: Act<CorrectCheck, CheckRecorded> = async (ctx, { checkId, why, ...input }) => {
  const wrong = await ctx.tx.db.check.findUnique({ where: { companyId_id: { ...own(ctx), id: checkId } } });
  if (!wrong) throw new Refusal('NotFound', 'There is no check by that id.');
  if (wrong.visitId === null) throw new Refusal('WrongState', 'This check was imported; import the corrected row, or check it again in a visit.');
  const visit = await lockVisit(ctx, wrong.visitId);
  const body = { ...input, notes: [input.notes, `Corrects an earlier entry: ${why}`].filter(Boolean).join('\n') };
  if (await givenBefore(ctx, input.id, checkDigest(ctx, visit.id, body, checkId))) return (await answersOf(ctx, [input.id])).get(input.id)!;
  if (wrong.recordedBy !== ctx.who.userId && ctx.who.role === 'technician') throw new Refusal('NotAllowed', 'Only who recorded it, a dispatcher or an owner corrects a check. If you found otherwise, do the check again: both are kept.');
  const other = await ctx.tx.db.check.findFirst({ where: { ...own(ctx), correctsId: checkId } });
  if (other) throw new Refusal('WrongState', 'This check was corrected before; correct the correction.', { data: { correctedBy: other.id } });
  if (input.checkKind !== wrong.checkKind || input.subjectId !== wrong.subjectId) throw new Refusal('WrongState', 'A correction is of the same kind of check on the same subject.');
  const bench = await benchOf(ctx, visit, await installedAt(ctx, visit.site, visit.id));
  await settleRecorded(ctx, visit, [await recordOne(ctx, bench, body, { id: wrong.id, performedAt: wrong.performedAt })]);
  return (await answersOf(ctx, [input.id])).get(input.id)!;
};
