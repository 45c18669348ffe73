import { REMOTE_KINDS } from '@bellround/contracts';
import { sitesToReadRemotely } from '@bellround/database';
import type { Act } from '../perform.js';

/** The next sites by id where reading the station's history can credit an open remote duty; `next` null: these are the last. */
export const nextSitesToRead: Act<{ afterSiteId: string | null; limit: number }, { siteIds: readonly string[]; next: string | null }> = async (ctx, input) => {
  const siteIds = await sitesToReadRemotely(ctx.tx, input.afterSiteId, input.limit, REMOTE_KINDS, ctx.now);
  return { siteIds, next: siteIds.length < input.limit ? null : siteIds.at(-1) ?? null };
};
