import { claimMessages as claim } from '@bellround/database';
import type { Act } from '../perform.js';

export interface ClaimedMessage { id: string; toName: string; toEmail: string; subject: string; body: string; attempts: number }

/** Takes mails to send, marking them so that no other worker does. A claim older than `leaseS` belongs to a worker that died. */
export const claimMessages: Act<{ most: number; leaseS: number }, ClaimedMessage[]> = async (ctx, input) => {
  const rows = await claim(ctx.tx, ctx.now, new Date(ctx.now.getTime() - input.leaseS * 1000), input.most);
  return rows.map((row) => ({ id: row.id, toName: row.to_name, toEmail: row.to_email, subject: row.subject, body: row.body, attempts: row.attempts }));
};
