import type { Act } from '../perform.js';
import { note, own } from '../steps.js';

/** Tries after which a mail is given up and shown to a dispatcher. */
const MOST_ATTEMPTS = 8;

/** What became of a claimed mail: sent, kept for want of a mail server, or refused with the server's words (tried again later). */
export const settleMessage: Act<{ id: string; outcome: 'sent' | 'kept' | 'refused'; error?: string }, { again: boolean }> = async (ctx, input) => {
  const message = await ctx.tx.db.message.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: input.id } } });
  if (message.state === 'sent') return { again: false };
  const givenUp = input.outcome === 'refused' && message.attempts >= MOST_ATTEMPTS;
  const state = input.outcome === 'sent' ? 'sent' : input.outcome === 'kept' ? 'kept' : givenUp ? 'failed' : 'waiting';
  await ctx.tx.db.message.update({ where: { companyId_id: { ...own(ctx), id: input.id } }, data: {
    state, sentAt: state === 'sent' ? ctx.now : null, lastError: input.outcome === 'refused' ? (input.error ?? 'refused').slice(0, 500) : null, claimedAt: null } });
  if (state !== 'waiting') await note(ctx, { act: 'message', about: 'message', id: message.id, siteId: message.siteId, summary: `${message.subject}: ${state}` });
  return { again: state === 'waiting' };
};
