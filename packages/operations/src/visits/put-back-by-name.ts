import type { PutBackByName, PutBackRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { note, own } from '../steps.js';
import { addVisitFact, bodyDigest, doneAt, factGivenBefore, lockVisit, putBackRow } from './steps.js';

/**
 * VIS-14. What stands on the visit's put-back list by this name is back, or handed over. At most one item of a name is out at a time,
 * so a phone that took it out without a network names it so. Nothing of that name is out: it is back already, and that is the answer.
 */
export const putBackByName: Act<PutBackByName, { item: PutBackRow | null }> = async (ctx, input) => {
  const visit = await lockVisit(ctx, input.visitId);
  const digest = bodyDigest(ctx, input);
  const isAgain = await factGivenBefore(ctx, input.id, digest);
  const items = await ctx.tx.db.putBack.findMany({ where: { ...own(ctx), visitId: visit.id, what: input.what }, orderBy: [{ takenOutAt: 'desc' }, { id: 'desc' }] });
  const item = items.find((one) => one.putBackAt === null && (one.handedTo === null || input.handTo === null));
  if (isAgain || !item) return { item: items[0] ? putBackRow(items[0]) : null };
  const at = doneAt(ctx, input);
  const { handTo } = input;
  const done = await ctx.tx.db.putBack.update({ where: { companyId_id: { ...own(ctx), id: item.id } }, data: handTo === null ? { putBackAt: at } : { handedTo: handTo.to, handedReason: handTo.reason } });
  const entry = await addVisitFact(ctx, { id: input.id, visitId: visit.id, kind: handTo === null ? 'put-back' : 'handed-over', at, detail: { digest, putBackId: item.id, what: item.what, ...(handTo ?? {}) } });
  await note(ctx, { act: handTo === null ? 'put-back' : 'hand-over', about: 'visit', id: visit.id, siteId: visit.siteId, summary: handTo === null ? `Back to normal at ${visit.site.name}: ${item.what}` : `Out of normal at ${visit.site.name}, handed over to ${handTo.to}: ${item.what}` });
  await appendLeaves(ctx, [entry]);
  return { item: putBackRow(done) };
};
