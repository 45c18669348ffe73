import type { Act } from '../perform.js';
import { dayText, own } from '../steps.js';

/** One stop of a published round, in the site's own wall clock. */
export interface FeedStop { visitId: string; planVersion: number; day: string; startMin: number; endMin: number; timeZone: string; siteName: string; address: string; title: string; lat: number | null; lon: number | null }

const DAYS_BACK = 31;

/**
 * A technician's published stops from a month ago on. Codes, keys and access notes stay out on purpose: the address may
 * be copied to a calendar that others can read.
 */
export const readFeed: Act<{ technicianId: string }, { technicianName: string; stops: FeedStop[] }> = async (ctx, input) => {
  const technician = await ctx.tx.db.technician.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: input.technicianId } } });
  const stops = await ctx.tx.db.planStop.findMany({
    where: { ...own(ctx), OR: [{ technicianId: technician.id }, { secondTechnicianId: technician.id }], plan: { state: 'published' }, day: { gte: new Date(ctx.now.getTime() - DAYS_BACK * 86_400_000) } },
    include: { visit: { include: { site: true } }, plan: { select: { revision: true } } }, orderBy: [{ day: 'asc' }, { startMin: 'asc' }],
  });
  return { technicianName: technician.name, stops: stops.map(({ visit, plan, ...stop }) => ({
    visitId: visit.id, planVersion: plan.revision, day: dayText(stop.day), startMin: stop.startMin, endMin: stop.endMin, timeZone: visit.site.timeZone,
    siteName: visit.site.name, address: visit.site.address, title: visit.title, lat: visit.site.lat, lon: visit.site.lon })) };
};
