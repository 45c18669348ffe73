import { Refusal, type AuditorLinkRow } from '@bellround/contracts';
import type { Ctx } from '../perform.js';
import { own } from '../steps.js';

/** What an auditor is told of any address or site that is not theirs, whatever the reason. */
export const nothingHere = (): Refusal => new Refusal('NotFound', 'There is nothing at this address.');

interface LinkWithSites { id: string; forWhom: string; createdAt: Date; createdBy: string; expiresAt: Date; revokedAt: Date | null; sites: readonly { siteId: string; site: { name: string } }[] }

/** Links as the owner's list shows them, with who made each. */
export async function linkRows(ctx: Ctx, links: readonly LinkWithSites[]): Promise<AuditorLinkRow[]> {
  const users = await ctx.tx.db.user.findMany({ where: { ...own(ctx), id: { in: [...new Set(links.map((link) => link.createdBy))] } }, select: { id: true, name: true } });
  const nameOf = new Map(users.map((user) => [user.id, user.name]));
  return links.map((link) => ({
    id: link.id, forWhom: link.forWhom, createdAt: link.createdAt.toISOString(), createdBy: nameOf.get(link.createdBy) ?? 'somebody who left', expiresAt: link.expiresAt.toISOString(), revokedAt: link.revokedAt?.toISOString() ?? null,
    state: link.revokedAt ? 'revoked' : link.expiresAt <= ctx.now ? 'expired' : 'open',
    sites: link.sites.map(({ siteId, site }) => ({ siteId, name: site.name })).sort((a, b) => (a.name < b.name ? -1 : 1)),
  }));
}

export const WITH_SITES = { sites: { include: { site: { select: { name: true } } } } } as const;

/** The open link by its id, read again inside the act: one that ended since the door looked answers as none. */
export async function openLink(ctx: Ctx, linkId: string): Promise<{ id: string; forWhom: string; expiresAt: Date; siteIds: string[] }> {
  const link = await ctx.tx.db.auditorLink.findUnique({ where: { companyId_id: { ...own(ctx), id: linkId } }, include: { sites: { select: { siteId: true } } } });
  if (!link || link.revokedAt || link.expiresAt <= ctx.now) throw nothingHere();
  return { id: link.id, forWhom: link.forWhom, expiresAt: link.expiresAt, siteIds: link.sites.map((one) => one.siteId) };
}
