import type { SignVisit, VisitOwed, VisitRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { note } from '../steps.js';
import { addVisitFact, bodyDigest, doneAt, factGivenBefore, lockVisit, requireOpen, visitAndOwed } from './steps.js';

/** Who signed for the visit, and as what. A further signature is a further fact. */
export const signVisit: Act<SignVisit, { visit: VisitRow; owed: VisitOwed }> = async (ctx, input) => {
  const visit = await lockVisit(ctx, input.visitId);
  const digest = bodyDigest(ctx, input);
  if (await factGivenBefore(ctx, input.id, digest)) return visitAndOwed(ctx, visit.id);
  requireOpen(visit);
  const entry = await addVisitFact(ctx, { id: input.id, visitId: visit.id, kind: 'signed', at: doneAt(ctx, input), detail: { digest, name: input.name, capacity: input.capacity } });
  await note(ctx, { act: 'sign-visit', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `${input.name} signed for the visit at ${visit.site.name}` });
  await appendLeaves(ctx, [entry]);
  return visitAndOwed(ctx, visit.id);
};
