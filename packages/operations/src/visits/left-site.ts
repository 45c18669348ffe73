import { Refusal, type LeftSite } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { note, own } from '../steps.js';
import { addVisitFact, bodyDigest, doneAt, factGivenBefore, lockVisit } from './steps.js';

/** The phone of a visit went away from its site, or came back, while an account was on test. Its place itself is not kept, only how far. */
export const leftSite: Act<LeftSite, { open: boolean }> = async (ctx, input) => {
  const visit = await lockVisit(ctx, input.visitId);
  const digest = bodyDigest(ctx, input);
  const holds = await ctx.tx.db.hold.count({ where: { ...own(ctx), visitId: visit.id, closedAt: null } });
  if (await factGivenBefore(ctx, input.id, digest)) return { open: holds > 0 };
  if (visit.openedAt === null) throw new Refusal('WrongState', 'The visit was not started; nobody can leave it.');
  const entry = await addVisitFact(ctx, { id: input.id, visitId: visit.id, kind: input.isBack ? 'back-on-site' : 'left-site', at: doneAt(ctx, input), detail: { digest, distanceM: input.distanceM } });
  if (!input.isBack && holds > 0) await note(ctx, { act: 'left-site', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `${ctx.who.name} is ${input.distanceM} m away from ${visit.site.name} and the account is still on test` });
  await appendLeaves(ctx, [entry]);
  return { open: holds > 0 };
};
