import { z } from 'zod';
import { Id, Instant } from './basics.js';
import { route } from './route.js';

export const SilentPath = z.object({ pathId: Id, label: z.string(), technology: z.string(), state: z.enum(['heard', 'silent', 'unknown']), lastAt: Instant.nullable(), silentH: z.number().nullable(), limitH: z.number(), words: z.string() });
/** An account with a silent path, or one of which nothing can be told, that no incident of the station explains. */
export const SilentAccount = z.object({ accountId: Id, accountNumber: z.string(), siteId: Id, siteName: z.string(), words: z.string(), paths: z.array(SilentPath) });
/** Many accounts of a receiver silent together: one incident of the station, with their names. */
export const StationIncidentRow = z.object({ receivers: z.array(z.string()), fromAt: Instant, toAt: Instant, ofAccounts: z.int(), accounts: z.array(z.object({ accountNumber: z.string(), siteId: Id, siteName: z.string() })), words: z.string() });
export const Silences = z.object({
  asOf: Instant, sinceAt: Instant,
  /** until when each receiver's history reaches; null: nothing was read, which is unknown and never good */
  feeds: z.array(z.object({ receiver: z.string(), paths: z.int(), heardUntil: Instant.nullable() })),
  incidents: z.array(StationIncidentRow), silent: z.array(SilentAccount), unknown: z.array(SilentAccount),
  /** closed gaps of single paths since then, newest first */
  closed: z.array(z.object({ pathId: Id, label: z.string(), accountNumber: z.string(), siteId: Id, siteName: z.string(), fromAt: Instant, toAt: Instant, hours: z.number() })),
  counts: z.object({ paths: z.int(), heard: z.int(), silent: z.int(), unknown: z.int() }),
});
export type Silences = z.infer<typeof Silences>;
export type SilentAccount = z.infer<typeof SilentAccount>;

export const silencesRoutes = {
  listSilences: route({ name: 'listSilences', method: 'GET', path: '/api/silences', summary: 'Paths that do not report as they promised; what many accounts share is one incident of the station', may: 'read', input: z.strictObject({ days: z.coerce.number().int().min(1).max(400).default(35) }), output: Silences }),
};
