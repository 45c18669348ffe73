import { Refusal, type Me } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';

export const whoAmI: Act<{ tokenHash: string }, Me> = async (ctx, input) => {
  const session = await ctx.tx.db.session.findFirst({ where: { ...own(ctx), tokenHash: input.tokenHash }, include: { user: true } });
  if (!session) throw new Refusal('NotSignedIn', 'Your session has ended.');
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  return {
    userId: session.user.id, name: session.user.name, email: session.user.email, role: session.user.role as Me['role'], technicianId: session.user.technicianId,
    company: { id: company.id, slug: company.slug, name: company.name, timeZone: company.timeZone }, sessionEndsAt: session.expiresAt.toISOString(),
  };
};
