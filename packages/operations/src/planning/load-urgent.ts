import { Refusal, type PlanHead } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { urgentSite, type UrgentSite } from '../week-parts.js';
import { draftMadeBefore, planInWeek } from './steps.js';

/** A plan, its week and the site of an urgent visit. `newDraft`: the draft that is to hold it; made before under that id, it is answered as it is. */
export const loadUrgent: Act<{ planId: string; siteId: string; newDraft?: { id: string; label: string; visitId: string } }, { before: PlanHead } | ({ before: null; site: UrgentSite } & Awaited<ReturnType<typeof planInWeek>>)> = async (ctx, input) => {
  const before = input.newDraft ? await draftMadeBefore(ctx, input.newDraft.id, input.planId, input.newDraft.label) : null;
  if (before) return { before };
  const asked = await planInWeek(ctx, input.planId);
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  if (input.newDraft && await ctx.tx.db.visit.findUnique({ where: { companyId_id: { ...own(ctx), id: input.newDraft.visitId } } })) throw new Refusal('IdReused', 'This id belongs to another visit.');
  return { before: null, site: urgentSite(site), ...asked };
};
