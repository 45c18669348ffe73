import type { SiteRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dayTextOrNull, own } from '../steps.js';

/** Sites by name, key, address, client or account number. */
export const listSites: Act<{ search?: string | undefined; clientId?: string | undefined; limit: number; offset: number }, { rows: SiteRow[]; total: number }> = async (ctx, input) => {
  const like = input.search ? { contains: input.search, mode: 'insensitive' as const } : null;
  const where = {
    ...own(ctx), ...(input.clientId ? { clientId: input.clientId } : {}),
    ...(like ? { OR: [{ name: like }, { externalKey: like }, { address: like }, { locality: like }, { client: { name: like } }, { accounts: { some: { number: like } } }] } : {}),
  };
  const [total, sites] = [await ctx.tx.db.site.count({ where }), await ctx.tx.db.site.findMany({
    where, orderBy: [{ name: 'asc' }, { id: 'asc' }], take: input.limit, skip: input.offset,
    include: { client: { select: { name: true } }, systems: { select: { kind: true }, where: { retiredOn: null } }, accounts: { select: { number: true }, where: { status: 'live' } } },
  })];
  return { total, rows: sites.map((site) => ({
    id: site.id, key: site.externalKey, name: site.name, clientName: site.client.name, address: site.address, locality: site.locality, occupancy: site.occupancy, timeZone: site.timeZone,
    systems: [...new Set(site.systems.map((one) => one.kind))].sort(), accounts: site.accounts.map((one) => one.number).sort(), placed: site.lat !== null, closedOn: dayTextOrNull(site.closedOn),
  })) };
};
