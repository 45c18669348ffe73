import type { Me } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';

const SESSION_DAYS = 14;

/** Opens a session for a user whose password a door has verified. `tokenHash` is SHA-256 of the cookie's secret. */
export const openSession: Act<{ userId: string; tokenHash: string }, Me> = async (ctx, input) => {
  const user = await ctx.tx.db.user.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: input.userId } } });
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const expiresAt = new Date(ctx.now.getTime() + SESSION_DAYS * 86_400_000);
  await ctx.tx.db.session.create({ data: { ...own(ctx), id: ctx.newId(), userId: user.id, tokenHash: input.tokenHash, createdAt: ctx.now, expiresAt } });
  await note({ ...ctx, who: { ...ctx.who, userId: user.id, name: user.name } }, { act: 'sign-in', about: 'user', id: user.id, summary: `${user.name} signed in` });
  return {
    userId: user.id, name: user.name, email: user.email, role: user.role as Me['role'], technicianId: user.technicianId,
    company: { id: company.id, slug: company.slug, name: company.name, timeZone: company.timeZone }, sessionEndsAt: expiresAt.toISOString(),
  };
};
