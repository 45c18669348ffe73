import { Refusal, type LiveProof, type VisitOwed, type VisitRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { note } from '../steps.js';
import { addVisitFact, bodyDigest, doneAt, factGivenBefore, holdRows, lockVisit, requireOpen, visitAndOwed } from './steps.js';

/** One real signal after the hold, seen by the station as live: what ends a visit that had an account on test. */
export const liveProof: Act<LiveProof, { visit: VisitRow; owed: VisitOwed }> = async (ctx, input) => {
  const visit = await lockVisit(ctx, input.visitId);
  const digest = bodyDigest(ctx, input);
  if (await factGivenBefore(ctx, input.id, digest)) return visitAndOwed(ctx, visit.id);
  requireOpen(visit);
  const open = (await holdRows(ctx, { visitId: visit.id })).filter((hold) => hold.closedAt === null);
  if (open.length > 0) throw new Refusal('HoldOpen', `Account ${open[0]!.accountNumber} is still on test: a signal now proves nothing. Close the hold first.`, { data: { holds: open } });
  const at = doneAt(ctx, input);
  const entry = await addVisitFact(ctx, { id: input.id, visitId: visit.id, kind: 'live-proof', at, detail: { digest, accountId: input.accountId, signal: input.signal, confirmedBy: input.confirmedBy } });
  await note(ctx, { act: 'live-proof', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `Live proof at ${visit.site.name}: ${input.signal}, confirmed by ${input.confirmedBy}` });
  await appendLeaves(ctx, [entry]);
  return visitAndOwed(ctx, visit.id);
};
