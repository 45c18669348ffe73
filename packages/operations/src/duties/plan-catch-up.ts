import type { CatchUpAsked, CatchUpShown } from '@bellround/contracts';
import { sitesWithoutDuties, unprovenSites } from '@bellround/database';
import { addDays, catchUp, weekdayOf, type LocalDate } from '@bellround/recurrence';
import type { Act } from '../perform.js';
import { requireMonday, SET_UP_MIN } from '../planning/steps.js';
import { localDayOf } from '../steps.js';
import { refusing } from './steps.js';

/** Most sites of one catch-up. */
const MOST_SITES = 5000;

const nextMonday = (day: LocalDate): LocalDate => addDays(day, 8 - weekdayOf(day));

/**
 * Sites taken over without dates: unproven until somebody has been there. By risk, under what the company gives to it each
 * week, with the week in which the last of them is proven and those that lapse before their turn.
 */
export const planCatchUp: Act<CatchUpAsked, CatchUpShown> = async (ctx, input) => {
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const asOf = localDayOf(ctx.now, company.timeZone) as LocalDate;
  const firstWeek = (input.firstWeek ?? nextMonday(asOf)) as LocalDate;
  requireMonday(firstWeek);
  const sites = await unprovenSites(ctx.tx, asOf, MOST_SITES);
  const plan = refusing(() => catchUp(sites.map((site) => ({ key: site.siteId, minutes: SET_UP_MIN + site.minutes, risk: site.score, lapses: site.lapses as LocalDate | null })), input.weeklyMinutes, firstWeek));
  const siteOf = new Map(sites.map((site) => [site.siteId, site]));
  return {
    asOf, firstWeek, weeklyMinutes: input.weeklyMinutes, endsOn: plan.endsOn, minutes: plan.minutes, sites: sites[0]?.total ?? 0, lapseBefore: plan.lapseBefore, atLeastMinutes: plan.atLeastMinutes,
    withoutProgramme: await sitesWithoutDuties(ctx.tx, asOf), beyond: (sites[0]?.total ?? 0) - sites.length,
    tooLong: plan.tooLong.map((siteId) => ({ siteId, siteName: siteOf.get(siteId)!.siteName, minutes: SET_UP_MIN + siteOf.get(siteId)!.minutes })),
    weeks: plan.weeks.map((week) => ({
      weekStart: week.weekStart, minutes: week.minutes,
      visits: week.visits.map((visit) => {
        const site = siteOf.get(visit.key)!;
        return {
          siteId: site.siteId, siteName: site.siteName, clientName: site.clientName, locality: site.locality, takenOverOn: site.takenOverOn, place: visit.place, minutes: visit.minutes,
          duties: site.duties, mandated: site.mandated, score: site.score, reasons: site.reasons, lapses: site.lapses, lapsesBefore: visit.lapsesBefore,
        };
      }),
    })),
  };
};
