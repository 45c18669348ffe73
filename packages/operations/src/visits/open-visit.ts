import { Refusal, type OpenVisit, type VisitOwed, type VisitRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { dbDay, localDayOf, note, own } from '../steps.js';
import { addVisitFact, bodyDigest, doneAt, factGivenBefore, lockVisit, needsOfVisit, requireQualified, visitAndOwed } from './steps.js';

const STARTABLE = ['wanted', 'planned', 'published', 'no-access'];

/**
 * Starts a visit, or joins one that is open. Rules VIS-1, VIS-4: skill and licence are looked at again on the site's own day,
 * whatever booking said. Throws NotLicensed, VisitClosed, IdReused.
 */
export const openVisit: Act<OpenVisit, { visit: VisitRow; owed: VisitOwed }> = async (ctx, input) => {
  const visit = await lockVisit(ctx, input.visitId);
  const digest = bodyDigest(ctx, input);
  if (await factGivenBefore(ctx, input.id, digest)) return visitAndOwed(ctx, visit.id);
  if (visit.state !== 'open' && !STARTABLE.includes(visit.state)) throw new Refusal('VisitClosed', `The visit is ${visit.state}; make a new one for further work.`, { data: { state: visit.state } });
  const technicianId = input.technicianId ?? ctx.who.technicianId ?? visit.technicianId;
  if (technicianId === null) throw new Refusal('WrongState', 'Say which technician does this visit; you are none yourself and none is planned.');
  const at = doneAt(ctx, input);
  const day = localDayOf(at, visit.site.timeZone);
  await requireQualified(ctx, technicianId, await needsOfVisit(ctx, visit.id), day);
  const technician = await ctx.tx.db.technician.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: technicianId } } });
  const joins = visit.state === 'open';
  if (technician.pairOnly && !joins) throw new Refusal('NotLicensed', `${technician.name} works only in a pair; the other starts the visit first.`, { data: { technician: technician.name, day, lacks: ['pair'] } });
  if (!joins) await ctx.tx.db.visit.update({ where: { companyId_id: { ...own(ctx), id: visit.id } }, data: { state: 'open', openedAt: at, closedAt: null, technicianId, day: dbDay(day) } });
  const entry = await addVisitFact(ctx, { id: input.id, visitId: visit.id, kind: joins ? 'joined' : 'opened', at, detail: { digest, technicianId } });
  await note(ctx, { act: 'open-visit', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `${technician.name} ${joins ? 'joined' : 'started'} the visit at ${visit.site.name}` });
  await appendLeaves(ctx, [entry]);
  return visitAndOwed(ctx, visit.id);
};
