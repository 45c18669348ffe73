import type { FeedRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';

export const listFeeds: Act<object, { rows: FeedRow[] }> = async (ctx) => {
  const feeds = await ctx.tx.db.calendarFeed.findMany({
    where: { ...own(ctx), ...(ctx.who.role === 'technician' ? { technicianId: ctx.who.technicianId ?? '00000000-0000-0000-0000-000000000000' } : {}) },
    include: { technician: true }, orderBy: { createdAt: 'desc' } });
  return { rows: feeds.map((feed) => ({ id: feed.id, technicianId: feed.technicianId, technicianName: feed.technician.name, createdAt: feed.createdAt.toISOString(), revokedAt: feed.revokedAt?.toISOString() ?? null })) };
};
