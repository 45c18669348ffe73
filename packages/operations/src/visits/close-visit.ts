import { Refusal, type CloseVisit, type VisitOwed, type VisitRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { later, note, own } from '../steps.js';
import { addVisitFact, bodyDigest, doneAt, factGivenBefore, lockVisit, requireOpen, visitAndOwed, visitOwed } from './steps.js';

/**
 * Closes a visit. Rule VIS-11: never while an account is on test, something is out of normal and not handed over, a check
 * excused for this visit is owed, or no live signal was seen after the hold. The refusal names all of them at once. What
 * stays owed after the close is answered, not hidden.
 */
export const closeVisit: Act<CloseVisit, { visit: VisitRow; owed: VisitOwed }> = async (ctx, input) => {
  const visit = await lockVisit(ctx, input.visitId);
  const digest = bodyDigest(ctx, input);
  if (await factGivenBefore(ctx, input.id, digest)) return visitAndOwed(ctx, visit.id);
  requireOpen(visit);
  const owed = await visitOwed(ctx, visit);
  refuseWhatIsOpen(owed);
  const signed = input.signedBy ?? (await ctx.tx.db.visitFact.findFirst({ where: { ...own(ctx), visitId: visit.id, kind: 'signed' } }))?.id ?? null;
  if (signed === null && (input.notSignedBecause ?? '').length < 3) throw new Refusal('BadInput', 'signedBy: must name who signed for the visit, or notSignedBecause must say why nobody did.', { errors: [{ path: 'signedBy', message: 'name who signed, or say why nobody did' }] });
  const at = doneAt(ctx, input);
  await ctx.tx.db.visit.update({ where: { companyId_id: { ...own(ctx), id: visit.id } }, data: { state: 'closed', closedAt: at } });
  const entry = await addVisitFact(ctx, { id: input.id, visitId: visit.id, kind: 'closed', at, detail: { digest, signedBy: input.signedBy, notSignedBecause: input.notSignedBecause, owedDuties: owed.duties.map((duty) => duty.id), owedDeficiencies: owed.deficiencies.map((one) => one.id) } });
  await later(ctx, 'standing-refresh', { siteId: visit.siteId });
  const left = owed.duties.length + owed.deficiencies.length;
  await note(ctx, { act: 'close-visit', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `Visit at ${visit.site.name} closed${left > 0 ? `; ${left} still owed` : ', nothing owed'}` });
  await appendLeaves(ctx, [entry]);
  return visitAndOwed(ctx, visit.id);
};

function refuseWhatIsOpen(owed: VisitOwed): void {
  const reasons = [
    ...owed.holdsOpen.map((hold) => `account ${hold.accountNumber} is on test${hold.parts.length > 0 ? ` (${hold.parts.join(', ')})` : ' (everything)'} until ${hold.untilAt}`),
    ...owed.putBack.map((item) => `not put back: ${item.what}`),
    ...owed.excused.map((check) => `excused and still owed: ${check.checkKind} on ${check.subjectName} (${check.excuseCode})`),
    ...(owed.liveProofMissing && owed.holdsOpen.length === 0 ? ['no live signal was seen by the station after the hold'] : []),
  ];
  if (reasons.length === 0) return;
  const problem = owed.holdsOpen.length > 0 ? 'HoldOpen' : owed.putBack.length > 0 ? 'StillOut' : 'StillOwed';
  throw new Refusal(problem, `The visit cannot close: ${reasons.join('; ')}.`, { data: { reasons, holdsOpen: owed.holdsOpen, putBack: owed.putBack, excused: owed.excused, liveProofMissing: owed.liveProofMissing } });
}
