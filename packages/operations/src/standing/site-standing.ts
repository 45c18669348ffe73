import { Refusal, type SiteDuty, type SiteStanding, type WindowShown } from '@bellround/contracts';
import { blackoutFacts, dutiesOfSites, windowsOfSites } from '@bellround/database';
import { addDays, type LocalDate } from '@bellround/recurrence';
import type { Act, Ctx } from '../perform.js';
import { dayTextOrNull, localDayOf, own } from '../steps.js';
import { dutyCase, standingFacts, standingFrom, windowShown, windowsOf, worstOf } from './steps.js';

const BEHIND_DAYS = 1100;
const AHEAD_DAYS = 400;

/**
 * One site on a day: each duty with its windows and standing, who allowed a pause, deficiencies, visits and attempts. With
 * `knownOn` the windows are computed anew from the records that had been made by the end of that day.
 */
export const siteStanding: Act<{ siteId: string; asOf?: string | undefined; knownOn?: string | undefined }, SiteStanding> = async (ctx, input) => {
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } }, include: { client: true } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const today = localDayOf(ctx.now, site.timeZone);
  const asOf = input.asOf ?? input.knownOn ?? today;
  const stripFrom = addDays(asOf as LocalDate, -BEHIND_DAYS);
  const stripTo = addDays(asOf as LocalDate, AHEAD_DAYS);
  const windows = input.knownOn === undefined ? await storedWindows(ctx, site.id) : await windowsKnownOn(ctx, site, input.knownOn, asOf as LocalDate);
  const blackouts = (await blackoutFacts(ctx.tx, [site.id])).filter((row) => row.kind === 'suspended');
  const suspended = blackouts.some((row) => row.from <= asOf && (row.to === null || row.to >= asOf));
  const named = (await dutiesOfSites(ctx.tx, [site.id])).filter((duty) => input.knownOn === undefined || windows.has(duty.id));
  const duties = named.map((duty): SiteDuty => {
    const own = windows.get(duty.id) ?? [];
    const { standing, now } = suspended ? { standing: 'not-owed' as const, now: null } : standingFrom(own, asOf);
    return {
      id: duty.id, title: duty.title, regime: duty.regime, mandated: duty.mandated, systemId: duty.systemId, systemName: duty.systemName, subjectKind: duty.subjectKind, subjectId: duty.subjectId, subject: duty.subject,
      standing, now, remotely: duty.remotely, sounds: duty.sounds, minutes: duty.minutes, validFrom: duty.validFrom, validTo: duty.validTo, windows: own.filter((window) => within(window, stripFrom, stripTo)),
    };
  });
  return {
    siteId: site.id, name: site.name, address: site.address, clientId: site.clientId, clientName: site.client.name, timeZone: site.timeZone, occupancy: site.occupancy,
    asOf, today, knownOn: input.knownOn ?? null, standing: worstOf(duties.map((duty) => duty.standing), duties.length > 0), stripFrom, stripTo, duties,
    pauses: blackouts.map((row) => ({ from: row.from, to: row.to, by: row.authority, reason: row.reason })), ...(await aroundSite(ctx, site.id)),
  };
};

const within = (window: WindowShown, from: string, to: string): boolean =>
  (window.governsTo === null || window.governsTo >= from || window.lapses >= from || (window.metOn ?? '') >= from) && (window.opens <= to || window.governsFrom <= to);

async function storedWindows(ctx: Ctx, siteId: string): Promise<Map<string, WindowShown[]>> {
  const lanes = new Map<string, WindowShown[]>();
  for (const window of await windowsOfSites(ctx.tx, [siteId], '0001-01-01', '9999-12-31', true)) lanes.set(window.dutyId, [...(lanes.get(window.dutyId) ?? []), windowShown(window)]);
  return lanes;
}

/** What was known by the end of a local day: later records are not looked at, so the answer of that day comes back. */
async function windowsKnownOn(ctx: Ctx, site: { id: string; timeZone: string }, knownOn: string, asOf: LocalDate): Promise<Map<string, WindowShown[]>> {
  const facts = await standingFacts(ctx.tx, [site.id], endOfDay(knownOn, site.timeZone));
  return new Map(facts.duties.map((duty) => [duty.id, windowsOf(dutyCase(facts, duty).history, asOf).map(windowShown)]));
}

/** The last instant of a local day: the first UTC second whose local day is later, less a millisecond. */
function endOfDay(day: string, timeZone: string): Date {
  let low = Date.parse(`${day}T00:00:00Z`);
  let high = low + 48 * 3_600_000;
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (localDayOf(new Date(middle), timeZone) > day) high = middle;
    else low = middle;
  }
  return new Date(low);
}

async function aroundSite(ctx: Ctx, siteId: string): Promise<Pick<SiteStanding, 'deficiencies' | 'visits' | 'attempts'>> {
  const where = { ...own(ctx), siteId };
  const deficiencies = await ctx.tx.db.deficiency.groupBy({ by: ['state', 'severity'], where, _count: true });
  const count = (fits: (row: { state: string; severity: string }) => boolean): number => deficiencies.filter(fits).reduce((sum, row) => sum + row._count, 0);
  const visits = await ctx.tx.db.visit.findMany({ where, orderBy: [{ day: { sort: 'desc', nulls: 'first' } }, { createdAt: 'desc' }], take: 12, include: { _count: { select: { checks: true } } } });
  const technicians = await ctx.tx.db.technician.findMany({ where: { ...own(ctx), id: { in: visits.flatMap((visit) => visit.technicianId ?? []) } }, select: { id: true, name: true } });
  const nameOf = new Map(technicians.map((row) => [row.id, row.name]));
  const attempts = await ctx.tx.db.attempt.findMany({ where, orderBy: { at: 'desc' }, take: 20 });
  return {
    deficiencies: { open: count((row) => row.state === 'open'), impairments: count((row) => row.state === 'open' && row.severity === 'impairment'), accepted: count((row) => row.state === 'accepted') },
    visits: visits.map((visit) => ({ id: visit.id, title: visit.title, state: visit.state, day: dayTextOrNull(visit.day), closedAt: visit.closedAt?.toISOString() ?? null, technician: visit.technicianId ? nameOf.get(visit.technicianId) ?? null : null, checks: visit._count.checks })),
    attempts: attempts.map((row) => ({ id: row.id, how: row.how, outcome: row.outcome, at: row.at.toISOString(), words: row.words, proven: row.lat !== null && row.lon !== null && row.photoId !== null })),
  };
}
