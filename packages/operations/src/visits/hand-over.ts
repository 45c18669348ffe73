import { Refusal, type HandOver, type PutBackRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { note, own } from '../steps.js';
import { addVisitFact, bodyDigest, doneAt, factGivenBefore, lockVisit, putBackRow } from './steps.js';

/** This stays out of normal, handed over to somebody by name with the reason. */
export const handOver: Act<HandOver, PutBackRow> = async (ctx, input) => {
  const key = { companyId_id: { ...own(ctx), id: input.putBackId } };
  const found = await ctx.tx.db.putBack.findUnique({ where: key });
  if (!found) throw new Refusal('NotFound', 'There is nothing by that id on a put-back list.');
  const visit = await lockVisit(ctx, found.visitId);
  const digest = bodyDigest(ctx, input);
  const item = await ctx.tx.db.putBack.findUniqueOrThrow({ where: key });
  if (await factGivenBefore(ctx, input.id, digest)) return putBackRow(item);
  if (item.putBackAt !== null) throw new Refusal('WrongState', `'${item.what}' is back to normal since ${item.putBackAt.toISOString()}; there is nothing to hand over.`);
  const at = doneAt(ctx, input);
  const done = await ctx.tx.db.putBack.update({ where: key, data: { handedTo: input.to, handedReason: input.reason } });
  const entry = await addVisitFact(ctx, { id: input.id, visitId: visit.id, kind: 'handed-over', at, detail: { digest, putBackId: item.id, what: item.what, to: input.to, reason: input.reason } });
  await note(ctx, { act: 'hand-over', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `Out of normal at ${visit.site.name}, handed over to ${input.to}: ${item.what}` });
  await appendLeaves(ctx, [entry]);
  return putBackRow(done);
};
