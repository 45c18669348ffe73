import { Refusal, type PhotoOfCheck } from '@bellround/contracts';
import { addFacts, photoDetail } from '../deficiencies/steps.js';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { note, own } from '../steps.js';
import { addVisitFact, doneAt, factGivenBefore, lockVisit } from './steps.js';

/**
 * DEF-7. A picture of a check, uploaded before. The phone that took it without a network knows no deficiency yet: it stands on every
 * one that the check raised, saw again or reopened, and on the visit. Sent again it is one.
 */
export const photoOfCheck: Act<PhotoOfCheck, { deficiencyIds: string[] }> = async (ctx, input) => {
  const check = await ctx.tx.db.check.findUnique({ where: { companyId_id: { ...own(ctx), id: input.checkId } } });
  if (!check) throw new Refusal('NotFound', 'There is no check by that id.');
  if (check.visitId === null) throw new Refusal('WrongState', 'This check was not made in a visit; put the picture on its deficiency.');
  const visit = await lockVisit(ctx, check.visitId);
  const detail = await photoDetail(ctx, input, check.id);
  const raised = await ctx.tx.db.deficiencyFact.findMany({ where: { ...own(ctx), checkId: check.id, kind: { in: ['raised', 'seen-again', 'reopened'] } }, select: { deficiencyId: true } });
  const deficiencyIds = [...new Set(raised.map((fact) => fact.deficiencyId))].sort();
  if (await factGivenBefore(ctx, input.id, detail.digest)) return { deficiencyIds };
  const at = doneAt(ctx, input);
  const fact = await addVisitFact(ctx, { id: input.id, visitId: visit.id, kind: 'photo', at, detail: { ...detail, checkId: check.id, words: input.words } });
  const entries = await addFacts(ctx, deficiencyIds.map((deficiencyId) => ({ deficiencyId, kind: 'photo', at, checkId: check.id, words: input.words, detail })));
  await note(ctx, { act: 'photo-of-check', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `A picture of what was found at ${visit.site.name}` });
  await appendLeaves(ctx, [fact, ...entries]);
  return { deficiencyIds };
};
