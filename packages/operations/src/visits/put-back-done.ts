import { Refusal, type PutBackDone, type PutBackRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { note, own } from '../steps.js';
import { addVisitFact, bodyDigest, doneAt, factGivenBefore, lockVisit, putBackRow } from './steps.js';

/** This is back to normal. Saying it twice is harmless. */
export const putBackDone: Act<PutBackDone, PutBackRow> = async (ctx, input) => {
  const key = { companyId_id: { ...own(ctx), id: input.putBackId } };
  const found = await ctx.tx.db.putBack.findUnique({ where: key });
  if (!found) throw new Refusal('NotFound', 'There is nothing by that id on a put-back list.');
  const visit = await lockVisit(ctx, found.visitId);
  const digest = bodyDigest(ctx, input);
  const item = await ctx.tx.db.putBack.findUniqueOrThrow({ where: key });
  if (await factGivenBefore(ctx, input.id, digest) || item.putBackAt !== null) return putBackRow(item);
  const at = doneAt(ctx, input);
  const done = await ctx.tx.db.putBack.update({ where: key, data: { putBackAt: at } });
  const entry = await addVisitFact(ctx, { id: input.id, visitId: visit.id, kind: 'put-back', at, detail: { digest, putBackId: item.id, what: item.what } });
  await note(ctx, { act: 'put-back', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `Back to normal at ${visit.site.name}: ${item.what}` });
  await appendLeaves(ctx, [entry]);
  return putBackRow(done);
};
