import { Refusal, type SeeRound } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';

/** The technician has seen what these publications changed on the round. Seen twice is seen once. Throws NotAllowed for somebody who is no technician, NotFound for an unknown publication. */
export const seeRound: Act<SeeRound, { seen: number }> = async (ctx, { publicationIds }) => {
  const { technicianId } = ctx.who;
  if (technicianId === null) throw new Refusal('NotAllowed', 'Only a technician has a round of their own.');
  const ids = [...new Set(publicationIds)];
  if (await ctx.tx.db.publication.count({ where: { ...own(ctx), id: { in: ids } } }) !== ids.length) throw new Refusal('NotFound', 'There is no publication by that id.');
  const made = await ctx.tx.db.roundSeen.createMany({ skipDuplicates: true, data: ids.map((publicationId) => ({ ...own(ctx), technicianId, publicationId, seenAt: ctx.now })) });
  return { seen: made.count };
};
