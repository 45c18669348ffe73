import { Refusal, type StopVisit, type VisitOwed, type VisitRow } from '@bellround/contracts';
import { handOverStop } from '@bellround/database';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { later, note, own } from '../steps.js';
import { addVisitFact, bodyDigest, doneAt, factGivenBefore, lockVisit, requireOpen, visitAndOwed, visitOwed, visitRows } from './steps.js';

/** A visit shorter than this cannot be planned (company rule). */
const LEAST_MIN = 10;

/**
 * Stops half-way. Rule VIS-12: no account may stay on test and nothing out of normal unless handed over; what was not met
 * becomes a remainder visit of exactly those duties and deficiencies, with its minutes counted anew. Where the round holds a second part
 * of the visit (the sounding one), that stop is the remainder's from now on.
 */
export const stopVisit: Act<StopVisit, { visit: VisitRow; owed: VisitOwed; remainder: VisitRow | null }> = async (ctx, input) => {
  const { db } = ctx.tx;
  const visit = await lockVisit(ctx, input.visitId);
  const digest = bodyDigest(ctx, input);
  if (await factGivenBefore(ctx, input.id, digest)) return { ...(await visitAndOwed(ctx, visit.id)), remainder: await remainderOf(ctx, input.remainderId) };
  requireOpen(visit);
  const owed = await visitOwed(ctx, visit);
  if (owed.holdsOpen.length > 0) throw new Refusal('HoldOpen', `Account ${owed.holdsOpen[0]!.accountNumber} is still on test: close the hold with the station before you stop.`, { data: { holdsOpen: owed.holdsOpen } });
  if (owed.putBack.length > 0) throw new Refusal('StillOut', `Not put back: ${owed.putBack.map((item) => item.what).join(', ')}. Put it back, or hand it over by name.`, { data: { putBack: owed.putBack } });
  const left = owed.duties.length + owed.deficiencies.length;
  const at = doneAt(ctx, input);
  if (left > 0) {
    if (await db.visit.findUnique({ where: { companyId_id: { ...own(ctx), id: input.remainderId } }, select: { id: true } })) throw new Refusal('IdReused', 'The id for the remainder belongs to another visit; make a new one.');
    await db.visit.create({ data: {
      ...own(ctx), id: input.remainderId, siteId: visit.siteId, kind: 'remainder', state: 'wanted', title: `${visit.title}: ${left} left`, serviceMin: Math.max(LEAST_MIN, owed.minutes), persons: visit.persons, parentId: visit.id, createdAt: ctx.now,
    } });
    await db.visitDuty.createMany({ data: owed.duties.map((duty) => ({ ...own(ctx), visitId: input.remainderId, dutyId: duty.id })) });
    await db.visitDeficiency.createMany({ data: owed.deficiencies.map((one) => ({ ...own(ctx), visitId: input.remainderId, deficiencyId: one.id })) });
    await handOverStop(ctx.tx, visit.id, input.remainderId);
  }
  await db.visit.update({ where: { companyId_id: { ...own(ctx), id: visit.id } }, data: { state: 'stopped', closedAt: at } });
  const entry = await addVisitFact(ctx, { id: input.id, visitId: visit.id, kind: 'stopped', at, detail: { digest, reason: input.reason, remainderId: left > 0 ? input.remainderId : null, left, minutes: owed.minutes } });
  await later(ctx, 'standing-refresh', { siteId: visit.siteId });
  await note(ctx, { act: 'stop-visit', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `Visit at ${visit.site.name} stopped: ${left} left, about ${owed.minutes} min` });
  await appendLeaves(ctx, [entry]);
  return { ...(await visitAndOwed(ctx, visit.id)), remainder: left > 0 ? await remainderOf(ctx, input.remainderId) : null };
};

async function remainderOf(ctx: Parameters<typeof stopVisit>[0], id: string): Promise<VisitRow | null> {
  const visit = await ctx.tx.db.visit.findUnique({ where: { companyId_id: { ...own(ctx), id } }, include: { site: true } });
  return visit ? (await visitRows(ctx, [visit]))[0]! : null;
}
