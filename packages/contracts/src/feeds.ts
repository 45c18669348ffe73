import { z } from 'zod';
import { Id, Instant } from './basics.js';
import { route } from './route.js';

export const FeedRow = z.object({ id: Id, technicianId: Id, technicianName: z.string(), createdAt: Instant, revokedAt: Instant.nullable() });
export type FeedRow = z.infer<typeof FeedRow>;

/** A technician's rounds as iCalendar. The secret is part of the address and shown once; a revoked address answers like one that never was. */
export const feedRoutes = {
  listFeeds: route({ name: 'listFeeds', method: 'GET', path: '/api/calendar-feeds', summary: 'Calendar addresses handed out', may: 'work', input: z.strictObject({}), output: z.object({ rows: z.array(FeedRow) }) }),
  openFeed: route({ name: 'openFeed', method: 'POST', path: '/api/calendar-feeds', summary: 'Make a secret calendar address for a technician; shown once', may: 'work', input: z.strictObject({ technicianId: Id }), output: z.object({ feed: FeedRow, url: z.string() }), problems: ['NotFound', 'NotAllowed'] }),
  revokeFeed: route({ name: 'revokeFeed', method: 'POST', path: '/api/calendar-feeds/:feedId/revoke', summary: 'Make an address useless at once', may: 'work', input: z.strictObject({ feedId: Id }), output: FeedRow, problems: ['NotFound', 'NotAllowed'] }),
  readFeed: route({ name: 'readFeed', method: 'GET', path: '/api/calendar/:secret', summary: 'The calendar itself; its address is its key', may: null, carries: 'calendar', input: z.strictObject({ secret: z.string().min(20).max(100) }), output: z.string(), problems: ['NotFound'] }),
};
