import { Refusal, type DifferenceRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { differenceById, differenceRows } from './steps.js';

/** Names the person who settles a difference, or nobody. Throws NotFound. */
export const assignDifference: Act<{ differenceId: string; userId: string | null }, DifferenceRow> = async (ctx, { differenceId, userId }) => {
  const difference = await differenceById(ctx, differenceId);
  const person = userId === null ? null : await ctx.tx.db.user.findUnique({ where: { companyId_id: { ...own(ctx), id: userId } } });
  if (userId !== null && (!person || person.disabledAt)) throw new Refusal('NotFound', 'There is no such person in your company.');
  const changed = await ctx.tx.db.listDifference.update({ where: { companyId_id: { ...own(ctx), id: difference.id } }, data: { assigneeId: userId } });
  await note(ctx, { act: 'assign-difference', about: 'lists', id: difference.id, siteId: difference.siteId, summary: person ? `${person.name} settles account ${difference.accountNumber} (${difference.name})` : `Nobody is named for account ${difference.accountNumber}` });
  return (await differenceRows(ctx, [changed]))[0]!;
};
