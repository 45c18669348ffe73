import type { MessageRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { messageRow } from './steps.js';

export const listMessages: Act<{ search?: string | undefined; state?: MessageRow['state'] | undefined; limit: number; offset: number }, { rows: MessageRow[]; total: number }> = async (ctx, input) => {
  const contains = input.search ? { contains: input.search, mode: 'insensitive' as const } : undefined;
  const where = { ...own(ctx), ...(input.state ? { state: input.state } : {}), ...(contains ? { OR: [{ subject: contains }, { toEmail: contains }, { toName: contains }] } : {}) };
  const total = await ctx.tx.db.message.count({ where });
  const rows = await ctx.tx.db.message.findMany({ where, orderBy: [{ createdAt: 'desc' }, { id: 'desc' }], skip: input.offset, take: input.limit });
  return { rows: rows.map(messageRow), total };
};
