import { Refusal, type AheadAsked, type AheadShown } from '@bellround/contracts';
import { neighboursOf } from '@bellround/database';
import { addMonths, MOST_PLANNED, planVisits, type LocalDate, type PlannedDuty, type VisitPlan } from '@bellround/recurrence';
import type { Act } from '../perform.js';
import { SET_UP_MIN } from '../planning/steps.js';
import { localDayOf, own } from '../steps.js';
import type { DutyCase } from '../standing/steps.js';
import { minutesOnce, nameOnce, refusing, sitesOfDuties, suspensionOn, type SiteOfDuties } from './steps.js';

/** A duty that comes round more often than this has a round of its own; it would decide every day of the plan. */
const OFTEN_DAYS = 45;

/**
 * Visits of a site and its neighbours over years: whatever must be done soonest sets a day, and what saves more than the days
 * it gives away goes along, so that windows of neighbouring sites come to fall together. Earlier only, never past a window.
 * Beside it the same duties with each site planned by itself.
 */
export const yearsAhead: Act<AheadAsked, AheadShown> = async (ctx, input) => {
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const asOf = (input.asOf ?? localDayOf(ctx.now, site.timeZone)) as LocalDate;
  const until = addMonths(asOf, 12 * input.years);
  const near = input.neighbours === 0 || site.lat === null ? [] : await neighboursOf(ctx.tx, site.id, input.withinKm, asOf, input.neighbours);
  const places = [{ siteId: site.id, name: site.name, km: 0 }, ...near];
  const { sites } = await sitesOfDuties(ctx, places.map((one) => one.siteId));
  const leftOut: string[] = site.lat === null ? ['neighbours: this site has no coordinates'] : [];
  const taken = new Set<string>();
  const chosen: { siteId: string; name: string; km: number; planned: PlannedDuty[]; duties: number }[] = [];
  for (const place of places) {
    const { planned, duties, words } = plannedOf(sites.get(place.siteId)!, place, asOf, taken);
    leftOut.push(...words);
    if (chosen.reduce((sum, one) => sum + one.planned.length, planned.length) > MOST_PLANNED) {
      leftOut.push(`${place.name}: one plan holds ${MOST_PLANNED} different windows at most`);
      continue;
    }
    chosen.push({ ...place, planned, duties });
  }
  const costs = { fixedMinutes: SET_UP_MIN, travelMinutes: input.travelMinutes, givenAwayMinutes: input.givenAwayMinutes };
  const together = refusing(() => planVisits(chosen.flatMap((one) => one.planned), asOf, until, costs));
  const alone = refusing(() => chosen.map((one) => planVisits(one.planned, asOf, until, costs)));
  const nameOf = new Map(chosen.map((one) => [one.siteId, one.name]));
  const placeOf = new Map(chosen.flatMap((one) => one.planned.map((duty) => [duty.name, one.siteId])));
  return {
    asOf, until, setUpMinutes: SET_UP_MIN, leftOut, sites: chosen.map(({ siteId, name, km, duties }) => ({ siteId, name, km: Math.round(km * 100) / 100, duties })),
    together: totals([together]), bySite: totals(alone), lapsed: [...together.lapsed],
    visits: together.visits.map((visit) => ({
      on: visit.on, givenAway: [...visit.givenAway],
      sites: visit.places.map((siteId) => ({ siteId, name: nameOf.get(siteId)!, duties: visit.names.filter((name) => placeOf.get(name) === siteId) })),
    })),
  };
};

function totals(plans: readonly VisitPlan[]): AheadShown['together'] {
  const visits = plans.flatMap((plan) => plan.visits);
  return {
    days: visits.length, stops: visits.reduce((sum, visit) => sum + visit.places.length, 0), minutes: plans.reduce((sum, plan) => sum + plan.costMinutes, 0),
    daysGivenAway: visits.reduce((sum, visit) => sum + visit.givenAway.reduce((days, one) => days + one.days, 0), 0),
  };
}

function comesOften(found: DutyCase): boolean {
  const { cadence } = found.rule;
  if (cadence.kind === 'once-per') return cadence.period === 'week' || cadence.period === 'month';
  if (cadence.kind === 'since-last') return 'months' in cadence.nominal ? cadence.nominal.months < 2 : cadence.nominal.days < OFTEN_DAYS;
  if (cadence.kind === 'fixed-month') return cadence.everyMonths === 1;
  return cadence.kind === 'calendar-rule' && /FREQ=(DAILY|WEEKLY|HOURLY|MINUTELY|SECONDLY)/i.test(cadence.rrule);
}

/** The duties of a site that a technician's visit meets, those with one and the same history as one. */
function plannedOf(site: SiteOfDuties, place: { siteId: string; name: string }, asOf: LocalDate, taken: Set<string>): { planned: PlannedDuty[]; duties: number; words: string[] } {
  const suspension = suspensionOn(site.blackouts, asOf);
  if (suspension && suspension.to === null) return { planned: [], duties: 0, words: [`${place.name}: suspended until further notice`] };
  const groups = new Map<string, DutyCase[]>();
  let often = 0;
  for (const { found } of site.duties) {
    const { rule, history } = found;
    if (rule.by === 'occupant' || rule.remotely || (history.to != null && history.to < asOf)) continue;
    if (comesOften(found)) {
      often += 1;
      continue;
    }
    const key = JSON.stringify([rule.cadence, history.from, history.to, history.basisOn, history.proofs.map((proof) => [proof.on, proof.clean, proof.basisOn, proof.units]), history.events, rule.sounds]);
    groups.set(key, [...(groups.get(key) ?? []), found]);
  }
  const planned = [...groups.values()].map((list): PlannedDuty => {
    const { rule, history } = list[0]!;
    const name = nameOnce(taken, `${place.name}: ${rule.title}${list.length > 1 ? ` and ${list.length - 1} more` : ''}`);
    return { name, history, noisy: rule.sounds, minutes: minutesOnce(list), place: place.siteId, calendar: site.calendar };
  });
  return { planned, duties: [...groups.values()].reduce((sum, list) => sum + list.length, 0), words: often === 0 ? [] : [`${place.name}: ${often} weekly or monthly duties, which have rounds of their own`] };
}
