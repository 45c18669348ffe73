import { Refusal, type UserRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { userRow } from './steps.js';

/** Ends a person's access and all their sessions in one step. The last owner cannot be shut out. */
export const disableUser: Act<{ userId: string }, UserRow> = async (ctx, input) => {
  const user = await ctx.tx.db.user.findUnique({ where: { companyId_id: { ...own(ctx), id: input.userId } } });
  if (!user) throw new Refusal('NotFound', 'There is no user by that id.');
  if (user.disabledAt) return userRow(user);
  const owners = await ctx.tx.db.user.count({ where: { ...own(ctx), role: 'owner', disabledAt: null } });
  if (user.role === 'owner' && owners === 1) throw new Refusal('WrongState', 'The last owner keeps access; make somebody else owner first.');
  const disabled = await ctx.tx.db.user.update({ where: { companyId_id: { ...own(ctx), id: user.id } }, data: { disabledAt: ctx.now } });
  await ctx.tx.db.session.updateMany({ where: { ...own(ctx), userId: user.id, revokedAt: null }, data: { revokedAt: ctx.now } });
  await note(ctx, { act: 'disable-user', about: 'user', id: user.id, summary: `${user.name} can no longer sign in` });
  return userRow(disabled);
};
