import { Refusal, type FeedRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';

/** Hands out a calendar address. `tokenHash` is SHA-256 of the secret, which only the answer of this one request shows. */
export const openFeed: Act<{ technicianId: string; tokenHash: string }, FeedRow> = async (ctx, input) => {
  const technician = await ctx.tx.db.technician.findUnique({ where: { companyId_id: { ...own(ctx), id: input.technicianId } } });
  if (!technician) throw new Refusal('NotFound', 'There is no technician by that id.');
  if (ctx.who.role === 'technician' && ctx.who.technicianId !== technician.id) throw new Refusal('NotAllowed', 'A technician may make an address for their own rounds only.');
  const feed = await ctx.tx.db.calendarFeed.create({ data: { ...own(ctx), id: ctx.newId(), technicianId: technician.id, tokenHash: input.tokenHash, createdAt: ctx.now, createdBy: ctx.who.userId! } });
  await note(ctx, { act: 'open-feed', about: 'feed', id: feed.id, summary: `A calendar address of ${technician.name}'s rounds was made` });
  return { id: feed.id, technicianId: technician.id, technicianName: technician.name, createdAt: feed.createdAt.toISOString(), revokedAt: null };
};
