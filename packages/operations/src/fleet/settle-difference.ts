import { Refusal, type DifferenceRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { differenceById, differenceRows } from './steps.js';

/** Records how a difference was settled, by whom and when. It still counts until the lists agree. Throws NotFound, WrongState. */
export const settleDifference: Act<{ differenceId: string; words: string }, DifferenceRow> = async (ctx, { differenceId, words }) => {
  const difference = await differenceById(ctx, differenceId);
  if (difference.goneOn) throw new Refusal('WrongState', 'The lists agree on this account again; there is nothing to settle.');
  if (difference.settledAt && difference.settlement === words) return (await differenceRows(ctx, [difference]))[0]!;
  if (difference.settledAt) throw new Refusal('WrongState', `This was settled already: "${difference.settlement}".`);
  const changed = await ctx.tx.db.listDifference.update({ where: { companyId_id: { ...own(ctx), id: difference.id } }, data: { settledAt: ctx.now, settledBy: ctx.who.userId, settlement: words } });
  await note(ctx, { act: 'settle-difference', about: 'lists', id: difference.id, siteId: difference.siteId, summary: `Account ${difference.accountNumber} (${difference.name}): ${words}` });
  return (await differenceRows(ctx, [changed]))[0]!;
};
