import { Refusal, type AddBlackout, type SiteDetail } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dayText, dayTextOrNull, dbDay, note, own } from '../steps.js';
import { refreshSite } from '../standing/steps.js';
import { siteDetail } from './steps.js';

/** Adds days on which a site is closed or must stay silent, with who decided it; its windows move at once. Same id and body again: same answer. Throws NotFound, IdReused. */
export const addBlackout: Act<AddBlackout, SiteDetail> = async (ctx, { siteId, id, ...input }) => {
  const site = await siteDetail(ctx, siteId);
  const known = await ctx.tx.db.siteBlackout.findUnique({ where: { companyId_id: { ...own(ctx), id } } });
  if (known) {
    const same = known.siteId === siteId && known.kind === input.kind && dayText(known.fromDay) === input.fromDay && dayTextOrNull(known.toDay) === input.toDay && known.reason === input.reason && known.authority === input.authority;
    if (!same) throw new Refusal('IdReused', 'This id was used for other days.');
    return site;
  }
  await ctx.tx.db.siteBlackout.create({ data: { ...own(ctx), id, siteId, kind: input.kind, fromDay: dbDay(input.fromDay), toDay: input.toDay === null ? null : dbDay(input.toDay), reason: input.reason, authority: input.authority, enteredAt: ctx.now } });
  await refreshSite(ctx, siteId);
  await note(ctx, { act: 'add-blackout', about: 'site', id: siteId, siteId, summary: `${site.name}: ${input.kind} from ${input.fromDay}${input.toDay ? ` to ${input.toDay}` : ' until further notice'} (${input.reason}; ${input.authority})` });
  return siteDetail(ctx, siteId);
};
