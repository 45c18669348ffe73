import { AUDITOR_DAYS_MOST, Refusal, type AuditorLinkRow, type OpenAuditorLink } from '@bellround/contracts';
import { addDays, type LocalDate } from '@bellround/recurrence';
import type { Act } from '../perform.js';
import { endOfDay, localDayOf, note, own } from '../steps.js';
import { linkRows, WITH_SITES } from './steps.js';

/** Makes a read-only address for named sites. `tokenHash` is SHA-256 of the secret, which only the answer of this one request shows. */
export const openAuditorLink: Act<OpenAuditorLink & { tokenHash: string }, AuditorLinkRow> = async (ctx, input) => {
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const today = localDayOf(ctx.now, company.timeZone);
  const latest = addDays(today as LocalDate, AUDITOR_DAYS_MOST);
  if (input.lastDay < today || input.lastDay > latest) {
    const message = `must be from ${today} to ${latest}; ${input.lastDay} is not`;
    throw new Refusal('BadInput', `The last day ${message}.`, { errors: [{ path: 'lastDay', message }] });
  }
  const siteIds = [...new Set(input.siteIds)];
  const known = await ctx.tx.db.site.count({ where: { ...own(ctx), id: { in: siteIds } } });
  if (known < siteIds.length) throw new Refusal('NotFound', 'One of the sites does not exist.');
  const id = ctx.newId();
  await ctx.tx.db.auditorLink.create({ data: { ...own(ctx), id, tokenHash: input.tokenHash, forWhom: input.forWhom, createdAt: ctx.now, createdBy: ctx.who.userId!, expiresAt: endOfDay(input.lastDay, company.timeZone) } });
  await ctx.tx.db.auditorLinkSite.createMany({ data: siteIds.map((siteId) => ({ ...own(ctx), linkId: id, siteId })) });
  await note(ctx, { act: 'open-auditor-link', about: 'auditor-link', id, summary: `A read-only address for ${input.forWhom} was made: ${siteIds.length} ${siteIds.length === 1 ? 'site' : 'sites'}, until ${input.lastDay}` });
  const link = await ctx.tx.db.auditorLink.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id } }, include: WITH_SITES });
  return (await linkRows(ctx, [link]))[0]!;
};
