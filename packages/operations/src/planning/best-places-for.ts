import { Refusal } from '@bellround/contracts';
import { bestPlaces, type CostTerm, type RankedPlace, type Round } from '@bellround/planning';
import type { Act } from '../perform.js';
import { dayText, own } from '../steps.js';
import { loadWeek, storedPlan } from './steps.js';

/** Where a visit fits best in a plan as it stands, ranked. */
export const bestPlacesFor: Act<{ planId: string; visitId: string }, { rows: (RankedPlace & { technicianName: string })[] }> = async (ctx, input) => {
  const row = await ctx.tx.db.weekPlan.findUnique({ where: { companyId_id: { ...own(ctx), id: input.planId } } });
  if (!row) throw new Refusal('NotFound', 'There is no plan by that id.');
  const week = await loadWeek(ctx, dayText(row.weekStart), row);
  const visit = week.problem.visits.find((one) => one.id === input.visitId);
  if (!visit) throw new Refusal('NotFound', 'This visit is not waiting to be planned in this week.');
  const reasons = await ctx.tx.db.planUnplaced.findMany({ where: { ...own(ctx), planId: row.id } });
  const plan = storedPlan(week.problem, row.rounds as unknown as Round[], reasons, row.cost as unknown as CostTerm[]);
  const names = new Map(week.technicians.map((one) => [one.id, one.name]));
  return { rows: bestPlaces(week.problem, plan, visit).map((place) => ({ ...place, technicianName: names.get(place.technicianId) ?? '' })) };
};
