import { Refusal, type RankUrgent } from '@bellround/contracts';
import { bestPlaces, type RankedPlace } from '@bellround/planning';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { withUrgent } from '../week-problem.js';
import { planInWeek } from './steps.js';

/** The best places of a plan for an urgent visit that does not exist yet, cheapest first; places that break a rule come after. */
export const rankUrgent: Act<RankUrgent, { rows: (RankedPlace & { technicianName: string })[] }> = async (ctx, input) => {
  const { week, plan } = await planInWeek(ctx, input.planId);
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const { problem, visit } = withUrgent(week, site, input, 'urgent', ctx.now);
  const names = new Map(week.technicians.map((one) => [one.id, one.name]));
  return { rows: bestPlaces(problem, plan, visit).map((place) => ({ ...place, technicianName: names.get(place.technicianId) ?? '' })) };
};
