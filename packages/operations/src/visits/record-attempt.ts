import { Refusal, type RecordAttempt, type VisitRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { appendLeaves, factEntry } from '../proof/steps.js';
import { note, own } from '../steps.js';
import { addVisitFact, bodyDigest, doneAt, lockVisit, visitRows } from './steps.js';

/**
 * A try at access with its evidence. At the door without getting in, the visit it belongs to becomes 'no access' and waits to
 * be planned again. Whose fault a lateness is follows later from these records, and only from proven ones.
 */
export const recordAttempt: Act<RecordAttempt, { id: string; visit: VisitRow | null }> = async (ctx, input) => {
  const { db } = ctx.tx;
  const visit = input.visitId === null ? null : await lockVisit(ctx, input.visitId);
  const site = await db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } }, select: { id: true, name: true } });
  if (!site || (visit && visit.siteId !== site.id)) throw new Refusal('NotFound', 'There is no site by that id, or the visit is of another site.');
  const digest = bodyDigest(ctx, input);
  const before = await db.attempt.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } } });
  if (before && before.bodyDigest !== digest) throw new Refusal('IdReused', 'This id was already used for another attempt.');
  if (!before) {
    if (input.photoId !== null && !(await db.attachment.findUnique({ where: { companyId_id: { ...own(ctx), id: input.photoId } }, select: { id: true } }))) throw new Refusal('NotFound', 'There is no picture by that id; send the picture first.');
    const isNoAccess = visit !== null && input.how === 'at-door' && input.outcome !== 'reached';
    if (isNoAccess && ['closed', 'stopped', 'cancelled'].includes(visit.state)) throw new Refusal('WrongState', `The visit is ${visit.state}; an attempt at the door belongs to a visit that waits.`);
    const at = doneAt(ctx, input);
    const { deviceClockAt: _, deviceClockNow: __, ...attempt } = input;
    const row = await db.attempt.create({ data: { ...own(ctx), ...attempt, bodyDigest: digest, at, recordedAt: ctx.now, byId: ctx.who.userId! } });
    const entries = [factEntry('attempt', row)];
    if (isNoAccess) {
      await db.visit.update({ where: { companyId_id: { ...own(ctx), id: visit.id } }, data: { state: 'no-access' } });
      entries.push(await addVisitFact(ctx, { visitId: visit.id, kind: 'no-access', at, detail: { attemptId: row.id, outcome: input.outcome } }));
    }
    await note(ctx, { act: 'record-attempt', about: 'visit', id: input.visitId, siteId: site.id, summary: `Access to ${site.name} tried (${input.how}): ${input.outcome}` });
    await appendLeaves(ctx, entries);
  }
  const after = input.visitId === null ? null : await db.visit.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: input.visitId } }, include: { site: true } });
  return { id: input.id, visit: after ? (await visitRows(ctx, [after]))[0]! : null };
};
