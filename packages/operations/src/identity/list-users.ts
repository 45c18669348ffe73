import type { UserRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { userRow } from './steps.js';

export const listUsers: Act<object, { rows: UserRow[] }> = async (ctx) => {
  const users = await ctx.tx.db.user.findMany({ where: own(ctx), orderBy: [{ role: 'asc' }, { name: 'asc' }] });
  return { rows: users.map(userRow) };
};
