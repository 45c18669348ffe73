import { Refusal, type RoundTrip } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { roundTripOf } from './steps.js';

/** What was tripped in a visit beside what the station heard of it. */
export const showRoundTrip: Act<{ visitId: string }, RoundTrip> = async (ctx, input) => {
  const visit = await ctx.tx.db.visit.findUnique({ where: { companyId_id: { ...own(ctx), id: input.visitId } } });
  if (!visit) throw new Refusal('NotFound', 'There is no visit by that id.');
  return (await roundTripOf(ctx, visit)).shown;
};
