import { Refusal, type NewUser, type UserRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { userRow } from './steps.js';

/** Lets a person sign in. The door hashes the password (argon2id); the act never sees it. Same id and e-mail again: same answer. */
export const addUser: Act<Omit<NewUser, 'password'> & { passwordHash: string }, UserRow> = async (ctx, input) => {
  const before = await ctx.tx.db.user.findFirst({ where: { ...own(ctx), OR: [{ id: input.id }, { email: input.email }] } });
  if (before?.id === input.id && before.email === input.email) return userRow(before);
  if (before?.id === input.id) throw new Refusal('IdReused', 'This id belongs to another person of your company.');
  if (before) throw new Refusal('WrongState', `${input.email} can sign in already, as ${before.name}.`);
  if (input.role === 'technician' && input.technicianId === null) throw new Refusal('BadInput', 'A technician\'s sign-in must name the technician it belongs to.', { errors: [{ path: 'technicianId', message: 'choose the technician' }] });
  if (input.technicianId !== null) {
    const technician = await ctx.tx.db.technician.findUnique({ where: { companyId_id: { ...own(ctx), id: input.technicianId } } });
    if (!technician) throw new Refusal('NotFound', 'There is no technician by that id.');
  }
  const user = await ctx.tx.db.user.create({ data: { ...own(ctx), id: input.id, email: input.email, name: input.name, role: input.role, technicianId: input.technicianId, passwordHash: input.passwordHash, createdAt: ctx.now } });
  await note(ctx, { act: 'add-user', about: 'user', id: user.id, summary: `${user.name} may sign in as ${user.role}` });
  return userRow(user);
};
