import { Refusal, type AuditorLinkRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { linkRows, WITH_SITES } from './steps.js';

/** Ends an auditor's address at once; a second time changes nothing. */
export const revokeAuditorLink: Act<{ linkId: string }, AuditorLinkRow> = async (ctx, input) => {
  const where = { companyId_id: { ...own(ctx), id: input.linkId } };
  const link = await ctx.tx.db.auditorLink.findUnique({ where, include: WITH_SITES });
  if (!link) throw new Refusal('NotFound', 'There is no auditor\'s address by that id.');
  if (!link.revokedAt) {
    await ctx.tx.db.auditorLink.update({ where, data: { revokedAt: ctx.now } });
    await note(ctx, { act: 'revoke-auditor-link', about: 'auditor-link', id: link.id, summary: `The read-only address for ${link.forWhom} was revoked` });
  }
  return (await linkRows(ctx, [{ ...link, revokedAt: link.revokedAt ?? ctx.now }]))[0]!;
};
