import { Refusal, type CheckRecorded, type CorrectCheck } from '@bellround/contracts';
import type { Check } from '../deficiencies/steps.js';
import type { Act, Ctx } from '../perform.js';
import { answersOf, recordAll } from '../recording.js';
import { own } from '../steps.js';
import { lockVisit } from './steps.js';

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
  const isAgain = await ctx.tx.db.check.count({ where: { ...own(ctx), id: input.id } }) > 0;
  if (!isAgain) await requireCorrectable(ctx, wrong, input);
  const refused = (await recordAll(ctx, visit, [{ body, correcting: { id: wrong.id, performedAt: wrong.performedAt } }])).get(input.id);
  if (refused) throw refused;
  return (await answersOf(ctx, [input.id])).get(input.id)!;
};

async function requireCorrectable(ctx: Ctx, wrong: Check, input: { checkKind: string; subjectId: string }): Promise<void> {
  if (wrong.recordedBy !== ctx.who.userId && ctx.who.role === 'technician') throw new Refusal('NotAllowed', 'Only who recorded it, a dispatcher or an owner corrects a check. If you found otherwise, do the check again: both are kept.');
  const other = await ctx.tx.db.check.findFirst({ where: { ...own(ctx), correctsId: wrong.id } });
  if (other) throw new Refusal('WrongState', 'This check was corrected before; correct the correction.', { data: { correctedBy: other.id } });
  if (input.checkKind !== wrong.checkKind || input.subjectId !== wrong.subjectId) throw new Refusal('WrongState', 'A correction is of the same kind of check on the same subject.');
}
