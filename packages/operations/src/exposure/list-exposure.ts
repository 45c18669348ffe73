import type { ExposureRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dayText, own } from '../steps.js';

export const listExposure: Act<{ search?: string | undefined; limit: number; offset: number }, { rows: ExposureRow[]; total: number }> = async (ctx, input) => {
  const sites = input.search ? await ctx.tx.db.site.findMany({ where: { ...own(ctx), OR: [{ name: { contains: input.search, mode: 'insensitive' } }, { locality: { contains: input.search, mode: 'insensitive' } }] }, select: { id: true } }) : null;
  const where = { ...own(ctx), ...(sites ? { siteId: { in: sites.map((site) => site.id) } } : {}) };
  const total = await ctx.tx.db.siteExposure.count({ where });
  const rows = await ctx.tx.db.siteExposure.findMany({ where, orderBy: [{ score: 'desc' }, { siteId: 'asc' }], skip: input.offset, take: input.limit });
  const names = new Map((await ctx.tx.db.site.findMany({ where: { ...own(ctx), id: { in: rows.map((row) => row.siteId) } }, select: { id: true, name: true, locality: true } })).map((site) => [site.id, site]));
  return { total, rows: rows.map((row) => {
    const detail = row.detail as { reasons?: string[]; missing?: string[] };
    return { siteId: row.siteId, siteName: names.get(row.siteId)?.name ?? '', locality: names.get(row.siteId)?.locality ?? null, score: row.score, percentile: row.percentile, exposureH: row.exposureH, exposurePerYearH: row.exposurePerYearH, reasons: detail.reasons ?? [], missing: detail.missing ?? [], scoredOn: dayText(row.scoredOn) };
  }) };
};
