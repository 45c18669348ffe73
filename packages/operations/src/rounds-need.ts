import { Refusal, type PlanningRulesShown, type SiteNeeds, type Van, type VisitPlanFacts } from '@bellround/contracts';
import { travelKept, visitMinutes } from '@bellround/database';
import { DEFAULT_TRAVEL, learnMinutes } from '@bellround/planning';
import type { Ctx } from './perform.js';
import { dayTextOrNull, localDayOf, own } from './steps.js';
import { learnedTravel } from './road-travel.js';
import { planningRules, type PlanningRules } from './week-needs.js';

// What rounds need to know, as screens show it. Used by the acts that change it.

const versionOf = (ctx: Pick<Ctx, 'sha256'>, value: unknown): string => ctx.sha256(JSON.stringify(value)).slice(0, 16);

/** Throws NotFound. */
export async function siteNeedsOf(ctx: Ctx, siteId: string): Promise<SiteNeeds> {
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: siteId } } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const permits = await ctx.tx.db.sitePermit.findMany({ where: { ...own(ctx), siteId }, orderBy: [{ name: 'asc' }, { id: 'asc' }] });
  const keys = await ctx.tx.db.siteKey.findMany({ where: { ...own(ctx), siteId, kind: { not: 'code' } }, include: { custody: { orderBy: [{ at: 'desc' }, { id: 'desc' }], take: 1 } }, orderBy: [{ label: 'asc' }, { id: 'asc' }] });
  return {
    siteId, version: versionOf(ctx, [site.noticeDays, site.equipment]), noticeDays: site.noticeDays, equipment: site.equipment,
    permits: permits.map((one) => ({ id: one.id, name: one.name, fromDay: dayTextOrNull(one.fromDay), toDay: dayTextOrNull(one.toDay) })),
    keys: keys.map((one) => ({
      id: one.id, kind: one.kind as 'key' | 'fob', label: one.label, needed: one.needed, collectAt: one.collectAt, lat: one.collectLat, lon: one.collectLon, hours: one.collectHours as SiteNeeds['keys'][number]['hours'], handMin: one.handMin, broughtBack: one.broughtBack,
      holder: one.custody[0] ? { kind: one.custody[0].holderKind as 'office', technicianId: one.custody[0].technicianId, name: one.custody[0].holderName, since: one.custody[0].at.toISOString() } : null,
    })),
  };
}

/** Throws NotFound. */
export async function vanOf(ctx: Ctx, technicianId: string): Promise<Van> {
  const one = await ctx.tx.db.technician.findUnique({ where: { companyId_id: { ...own(ctx), id: technicianId } }, include: { stock: { orderBy: { part: 'asc' } } } });
  if (!one) throw new Refusal('NotFound', 'There is no technician by that id.');
  const stock = one.stock.map(({ part, quantity, countedAt }) => ({ part, quantity, countedAt: countedAt.toISOString() }));
  const ends = { startsAt: one.startsAt as Van['startsAt'], endsAt: one.endsAt as Van['endsAt'], equipment: one.equipment, stock };
  return { technicianId, version: versionOf(ctx, ends), ...ends };
}

export function visitPlanFacts(visit: { id: string; serviceMin: number; persons: number; soundingMin: number | null; equipment: string[]; noticeGivenOn: Date | null; minutesFrom: string | null }): VisitPlanFacts {
  return { visitId: visit.id, serviceMin: visit.serviceMin, persons: visit.persons, soundingMin: visit.soundingMin, equipment: visit.equipment, noticeGivenOn: dayTextOrNull(visit.noticeGivenOn), minutesFrom: visit.minutesFrom };
}

export async function planningRulesOf(ctx: Ctx): Promise<PlanningRulesShown> {
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const rules = planningRules(company.settings);
  const past = await visitMinutes(ctx.tx, localDayOf(ctx.now, company.timeZone));
  const learned = past.length === 0 ? [] : learnMinutes(past).map((one) => ({ kind: one.kind, percent: Math.round(one.minutes), visits: one.visits, ownWeight: Math.round(one.ownWeight * 100) / 100 }));
  return { version: versionOf(ctx, rules), ...rules, learned, travel: await travelShown(ctx, rules, localDayOf(ctx.now, company.timeZone)) };
}

async function travelShown(ctx: Ctx, rules: PlanningRules, today: string): Promise<PlanningRulesShown['travel']> {
  const { percent, trips, bands, model } = await learnedTravel(ctx, today);
  const kept = await travelKept(ctx.tx);
  return {
    source: kept.pairs > 0 ? 'road' : 'estimate', percent: rules.learnTravel ? percent : 100, trips, places: kept.places, missing: Math.max(0, kept.places * (kept.places - 1) - kept.pairs), noWay: kept.no_way,
    bands: bands.map((band, i) => ({ upToKm: Number.isFinite(band.upToKm) ? band.upToKm : null, percent: band.percent, trips: band.trips, kmh: Math.round(10 * (rules.learnTravel ? model : DEFAULT_TRAVEL).bands[i]!.kmh) / 10 })),
  };
}
