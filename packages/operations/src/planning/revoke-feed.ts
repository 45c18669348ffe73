import { Refusal, type FeedRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';

export const revokeFeed: Act<{ feedId: string }, FeedRow> = async (ctx, input) => {
  const feed = await ctx.tx.db.calendarFeed.findUnique({ where: { companyId_id: { ...own(ctx), id: input.feedId } }, include: { technician: true } });
  if (!feed) throw new Refusal('NotFound', 'There is no calendar address by that id.');
  if (ctx.who.role === 'technician' && ctx.who.technicianId !== feed.technicianId) throw new Refusal('NotAllowed', 'A technician may end their own addresses only.');
  const revokedAt = feed.revokedAt ?? ctx.now;
  if (!feed.revokedAt) {
    await ctx.tx.db.calendarFeed.update({ where: { companyId_id: { ...own(ctx), id: feed.id } }, data: { revokedAt } });
    await note(ctx, { act: 'revoke-feed', about: 'feed', id: feed.id, summary: `A calendar address of ${feed.technician.name} was ended` });
  }
  return { id: feed.id, technicianId: feed.technicianId, technicianName: feed.technician.name, createdAt: feed.createdAt.toISOString(), revokedAt: revokedAt.toISOString() };
};
