import { Refusal, type ClosedDaysShown } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dayText, later, note, own } from '../steps.js';
import { closedDaysShown } from './steps.js';

/** Takes shared days away again; the activity list keeps that they were there. Throws NotFound. */
export const removeClosedDays: Act<{ closedDaysId: string }, ClosedDaysShown> = async (ctx, input) => {
  const key = { companyId_id: { ...own(ctx), id: input.closedDaysId } };
  const known = await ctx.tx.db.closedDays.findUnique({ where: key });
  if (!known) throw new Refusal('NotFound', 'There are no such days.');
  await ctx.tx.db.closedDays.delete({ where: key });
  await later(ctx, 'fleet-refresh', {});
  await note(ctx, { act: 'remove-closed-days', about: 'closed-days', id: known.id, summary: `${known.reason} from ${dayText(known.fromDay)} taken away` });
  return closedDaysShown(ctx);
};
