import { Refusal, type AddClosedDays, type ClosedDaysShown } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dayText, dbDay, later, note, own } from '../steps.js';
import { closedDaysShown } from './steps.js';

/** Adds days on which all sites, or those of one occupancy, are closed or silent; due dates follow in the background. Same id and body again: same answer. */
export const addClosedDays: Act<AddClosedDays, ClosedDaysShown> = async (ctx, { id, ...input }) => {
  const known = await ctx.tx.db.closedDays.findUnique({ where: { companyId_id: { ...own(ctx), id } } });
  if (known) {
    const same = known.kind === input.kind && dayText(known.fromDay) === input.fromDay && dayText(known.toDay) === input.toDay && known.reason === input.reason && known.authority === input.authority && known.occupancy === input.occupancy;
    if (!same) throw new Refusal('IdReused', 'This id was used for other days.');
    return closedDaysShown(ctx);
  }
  await ctx.tx.db.closedDays.create({ data: { ...own(ctx), id, ...input, fromDay: dbDay(input.fromDay), toDay: dbDay(input.toDay), enteredAt: ctx.now } });
  await later(ctx, 'fleet-refresh', {});
  await note(ctx, { act: 'add-closed-days', about: 'closed-days', id, summary: `${input.occupancy ? `Sites of kind ${input.occupancy}` : 'All sites'}: ${input.kind === 'noise' ? 'no sounders' : 'closed'} from ${input.fromDay} to ${input.toDay} (${input.reason}; ${input.authority})` });
  return closedDaysShown(ctx);
};
