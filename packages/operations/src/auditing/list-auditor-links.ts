import type { AuditorLinkRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { linkRows, WITH_SITES } from './steps.js';

const MOST = 500;

export const listAuditorLinks: Act<object, { rows: AuditorLinkRow[] }> = async (ctx) => {
  const links = await ctx.tx.db.auditorLink.findMany({ where: own(ctx), include: WITH_SITES, orderBy: { createdAt: 'desc' }, take: MOST });
  return { rows: await linkRows(ctx, links) };
};
