import { Refusal, type EditVisit, type VisitPlanFacts } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { visitPlanFacts } from '../rounds-need.js';
import { dbDay, note, own } from '../steps.js';

/** Changes what a plan counts of a visit that has not begun. Minutes set by hand say so. Throws NotFound, VisitClosed. */
export const editVisit: Act<EditVisit, VisitPlanFacts> = async (ctx, input) => {
  await ctx.tx.sql('select 1 from visit where company_id = current_company() and id = $1::uuid for update', [input.visitId]);
  const visit = await ctx.tx.db.visit.findUnique({ where: { companyId_id: { ...own(ctx), id: input.visitId } }, include: { site: true } });
  if (!visit) throw new Refusal('NotFound', 'There is no visit by that id.');
  if (!['wanted', 'planned', 'published'].includes(visit.state)) throw new Refusal('VisitClosed', `The visit is ${visit.state}; what it takes is not changed any more.`, { data: { state: visit.state } });
  const minutesFrom = input.serviceMin === visit.serviceMin ? visit.minutesFrom : `set by ${ctx.who.name}, before: ${visit.serviceMin} min`;
  const saved = await ctx.tx.db.visit.update({ where: { companyId_id: { ...own(ctx), id: visit.id } }, data: {
    serviceMin: input.serviceMin, persons: input.persons, soundingMin: input.soundingMin, equipment: [...new Set(input.equipment)].sort(), noticeGivenOn: input.noticeGivenOn === null ? null : dbDay(input.noticeGivenOn), minutesFrom } });
  await note(ctx, { act: 'edit-visit', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `${visit.site.name}: ${input.serviceMin} min, ${input.persons === 2 ? 'two people' : 'one person'}${input.noticeGivenOn ? `, notice given on ${input.noticeGivenOn}` : ''}` });
  return visitPlanFacts(saved);
};
