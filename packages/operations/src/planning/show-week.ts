import { Refusal, type WeekView, type WeekVisit } from '@bellround/contracts';
import { lapsingDuties } from '@bellround/database';
import { addDays, localDate } from '@bellround/recurrence';
import type { Round } from '@bellround/planning';
import type { Act } from '../perform.js';
import { dbDay, own } from '../steps.js';
import { partName } from '../week-answer.js';
import { visitIdOf } from '../week-parts.js';
import { loadWeek, planHead, requireMonday } from './steps.js';

/** How far ahead the list of what lapses looks, days after the week's end. */
const LAPSING_AHEAD_DAYS = 14;

export const showWeek: Act<{ weekStart: string; planId?: string | undefined }, WeekView> = async (ctx, input) => {
  requireMonday(input.weekStart);
  const week = await loadWeek(ctx, input.weekStart);
  // Rounds and finishes are most of a plan, and only those of one are shown.
  const plans = await ctx.tx.db.weekPlan.findMany({ where: { ...own(ctx), weekStart: dbDay(input.weekStart) }, omit: { rounds: true, finishes: true }, include: { _count: { select: { stops: true, unplaced: true } } }, orderBy: { createdAt: 'desc' }, take: 40 });
  const listed = plans.filter((plan) => plan.state !== 'dropped' || plan.id === input.planId);
  const shown = input.planId ? plans.find((plan) => plan.id === input.planId) : (plans.find((plan) => plan.state === 'computing') ?? plans.find((plan) => plan.state === 'draft' || plan.state === 'published'));
  if (input.planId && !shown) throw new Refusal('NotFound', 'There is no plan by that id in this week.');
  const whole = shown ? await ctx.tx.db.weekPlan.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: shown.id } }, select: { rounds: true, finishes: true } }) : null;
  const rounds = (whole?.rounds ?? []) as unknown as Round[];
  const stops = shown ? await ctx.tx.db.planStop.findMany({ where: { ...own(ctx), planId: shown.id }, include: { visit: { include: { site: true } } } }) : [];
  const unplaced = shown ? await ctx.tx.db.planUnplaced.findMany({ where: { ...own(ctx), planId: shown.id } }) : [];
  const known = new Set(week.visits.map((visit) => visit.id));
  const pinned = new Set(stops.filter((stop) => stop.pinned).map((stop) => stop.visitId));
  // Visits that have begun or ended are no longer plannable but stay on the rounds that held them.
  const onStops = new Set(stops.map((stop) => stop.visitId));
  const others = await ctx.tx.db.visit.findMany({ where: { ...own(ctx), id: { in: week.done.map((one) => one.visitId).filter((id) => !onStops.has(id)) } }, include: { site: true } });
  const begun = [...stops.map((stop) => stop.visit), ...others].filter((visit) => !known.has(visit.id)).map((visit) => ({
    id: visit.id, siteId: visit.siteId, siteName: visit.site.name, locality: visit.site.locality, title: visit.title, kind: visit.kind, state: visit.state, serviceMin: visit.serviceMin, persons: visit.persons,
    skills: [], licences: [], lapsesOn: null, dueOn: null, overdue: false, duties: 0, deficiencies: 0, score: null, lat: visit.site.lat, lon: visit.site.lon, promise: null, pinned: false, windows: [], needs: null }));
  const shownVisits = [...week.visits.map((visit) => ({ ...visit, pinned: visit.pinned || pinned.has(visit.id) })), ...begun];
  const lapsing = await lapsingDuties(ctx.tx, week.today, addDays(localDate(week.days[6]!), LAPSING_AHEAD_DAYS), 300);
  return {
    weekStart: input.weekStart, days: week.days, today: week.today, plans: listed.map((plan) => planHead(plan)), plan: shown ? planHead(shown) : null,
    rounds, done: week.done, finishes: (whole?.finishes ?? []) as unknown as WeekView['finishes'], dayTravel: week.dayTravel, unplaced: unplaced.map(({ visitId, rule, words, lapses }) => ({ visitId, rule, words, lapses })),
    technicians: week.technicians, visits: [...shownVisits, ...partsShown(rounds, shownVisits)],
    lapsing: lapsing.map((line) => ({ dutyId: line.duty_id, siteId: line.site_id, siteName: line.site_name, title: line.title, regime: line.regime, lapses: line.lapses, daysLeft: line.days_left, visitId: line.visit_id, visitState: line.visit_state, visitDay: line.visit_day, attempts: line.attempts })),
  };
};

/** Stops that are a part of a visit or an errand of its key, as visits of their own: the same site and facts, their own minutes and name. */
function partsShown(rounds: readonly Round[], visits: readonly WeekVisit[]): WeekVisit[] {
  const byId = new Map(visits.map((visit) => [visit.id, visit]));
  return rounds.flatMap((round) => round.stops).filter((stop) => stop.visitId.includes('#') && stop.joins === undefined).flatMap((stop) => {
    const whole = byId.get(visitIdOf(stop.visitId));
    return whole ? [{ ...whole, id: stop.visitId, siteName: partName(whole.siteName, stop.visitId), serviceMin: stop.endMin - stop.startMin }] : [];
  });
}
