import { dutiesToPlan, visitMinutes, type DutyToPlan } from '@bellround/database';
import { learnMinutes } from '@bellround/planning';
import { addDays, localDate } from '@bellround/recurrence';
import type { Act, Ctx } from '../perform.js';
import { dayText, localDayOf, note, own } from '../steps.js';
import { planningRules } from '../week-needs.js';
import { lockPlan, SET_UP_MIN, weekDays, WORTH_AHEAD_DAYS } from './steps.js';

/**
 * Makes the visits that the plan's week could hold: one per site, with all its open duties together. Duties that a visit is
 * already on its way to meet are left to it, so a second run adds nothing.
 */
export const wantVisits: Act<{ planId: string }, { made: number; duties: number }> = async (ctx, { planId }) => {
  const plan = await lockPlan(ctx, planId);
  await ctx.tx.sql(`select pg_advisory_xact_lock(hashtext('want:' || current_company()::text))::text`); // two plans at once must not both want a site
  const days = weekDays(dayText(plan.weekStart));
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const today = localDayOf(ctx.now, company.timeZone);
  const first = today > days[0]! && today <= days[6]! ? today : days[0]!; // a running week is planned from today on
  const duties = await dutiesToPlan(ctx.tx, first, days[6]!, addDays(localDate(days[6]!), WORTH_AHEAD_DAYS));
  const bySite = new Map<string, DutyToPlan[]>();
  for (const duty of duties) bySite.set(duty.site_id, [...(bySite.get(duty.site_id) ?? []), duty]);
  const percentOf = planningRules(company.settings).learnMinutes ? await learnedPercent(ctx, today) : () => null;
  const visits = [...bySite].map(([siteId, owed]) => ({ id: ctx.newId(), siteId, owed, ...minutesOf(owed, percentOf(owed[0]!.occupancy)) }));
  await ctx.tx.db.visit.createMany({ data: visits.map(({ id, siteId, owed, serviceMin, minutesFrom }) => ({
    ...own(ctx), id, siteId, kind: 'programme', state: 'wanted', title: titleOf(owed), serviceMin, minutesFrom, createdAt: ctx.now })) });
  await ctx.tx.db.visitDuty.createMany({ data: visits.flatMap(({ id, owed }) => owed.map((duty) => ({ ...own(ctx), visitId: id, dutyId: duty.duty_id }))) });
  if (visits.length > 0) await note(ctx, { act: 'want-visits', about: 'visit', summary: `${visits.length} visits wanted for ${duties.length} open duties` });
  return { made: visits.length, duties: duties.length };
};

/** The same check on the same subject counts once, however many regimes ask for it. */
function serviceMinutes(owed: DutyToPlan[]): number {
  const once = new Map<string, number>();
  for (const duty of owed) {
    const key = `${duty.subject_id} ${[...duty.check_kinds].sort().join()}`;
    once.set(key, Math.max(once.get(key) ?? 0, duty.minutes));
  }
  return SET_UP_MIN + [...once.values()].reduce((sum, minutes) => sum + minutes, 0);
}

/** Learned minutes are never further from what was counted than this (company rule). */
const [LEAST_PERCENT, MOST_PERCENT] = [50, 200];

interface Learned { percent: number; visits: number; kind: string }

/** What visits at each kind of place take against what was counted, as past ones say: few of a kind are drawn to all of them. Null: no past visits. */
async function learnedPercent(ctx: Ctx, today: string): Promise<(kind: string) => Learned | null> {
  const past = await visitMinutes(ctx.tx, today);
  if (past.length === 0) return () => null;
  const learned = new Map(learnMinutes(past).map((one) => [one.kind, one]));
  return (kind) => {
    const own = learned.get(kind) ?? learnMinutes(past, [kind]).find((one) => one.kind === kind)!;
    return { percent: Math.max(LEAST_PERCENT, Math.min(MOST_PERCENT, Math.round(own.minutes))), visits: own.visits, kind };
  };
}

function minutesOf(owed: DutyToPlan[], learned: Learned | null): { serviceMin: number; minutesFrom: string | null } {
  const counted = serviceMinutes(owed);
  if (learned === null || learned.percent === 100) return { serviceMin: counted, minutesFrom: null };
  const from = learned.visits === 0 ? 'all past visits, none at such a place' : `${learned.visits} past ${learned.visits === 1 ? 'visit' : 'visits'} at such places (${learned.kind}) and all others`;
  return { serviceMin: Math.max(1, Math.round(counted * learned.percent / 100)), minutesFrom: `${counted} min as counted, x ${learned.percent} % as learned from ${from}` };
}

function titleOf(owed: DutyToPlan[]): string {
  const titles = [...new Set(owed.map((duty) => duty.title))];
  return titles.length <= 2 ? titles.join(' and ') : `${titles[0]} and ${owed.length - 1} more duties`;
}
