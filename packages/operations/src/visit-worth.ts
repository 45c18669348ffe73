import type { PlannableVisit } from '@bellround/database';
import { dayNumber, localDate } from '@bellround/recurrence';
import { GAIN_DAYS, gainOf, type VisitGain } from '@bellround/risk';

// What a visit is worth to planning, by the day on which it is made. Hours without protection that it takes off the six weeks from the
// plan's first day, life safety counted four times: the exposure curve that was kept when the site was scored.

const DAYS_PER_YEAR = 365.25;

/** Pace of a site that was never scored, hours a year: unknown, not safe (company rule). */
export const UNSCORED_PACE = 40;
/** No site is worth less than this pace, hours a year. */
const LEAST_PACE = 1;
/** What an open deficiency adds to the pace by its severity, impairment first, and when its day has passed (company rules). */
const DEFICIENCY_PACE = [400, 120, 30, 5] as const;
const LATE_DEFICIENCY_PACE = 60;
/** What an urgent call adds to the pace (company rule). */
export const URGENT_PACE = 400;

/**
 * A later day counts as worse only by whole steps of so many hours (company rule): half a day of protection is no reason to cross the
 * county twice, and below it travel decides between days.
 */
const STEP_H = 12;
/** A day without any protection takes a little less than its 24 hours off: what has been proven is not perfect either. */
const NEARLY_H = 1;

type Facts = Pick<PlannableVisit, 'visit_gain' | 'scored_on' | 'exposure_per_year_h' | 'worst_severity' | 'deficiency_due' | 'kind'>;

/** Prize of a visit, and where waiting costs a step or more, by day. `days`: the plan's days in order. */
export function worthOf(row: Facts, days: readonly string[]): { prize: number; prizeByDay?: Record<string, number> } {
  const first = dayNumber(localDate(days[0]!));
  return byDay(days, (day) => gainOn(row, day, first + GAIN_DAYS) + hoursAt(paceOfFaults(row, days[0]!), day, first));
}

/** The same for a visit of which only a pace is known, hours a year. */
export function worthAtPace(perYearH: number, days: readonly string[]): { prize: number; prizeByDay?: Record<string, number> } {
  const first = dayNumber(localDate(days[0]!));
  return byDay(days, (day) => hoursAt(perYearH, day, first));
}

function byDay(days: readonly string[], hoursOn: (day: number) => number): { prize: number; prizeByDay?: Record<string, number> } {
  const hours = days.map((day) => hoursOn(dayNumber(localDate(day))));
  const best = Math.max(...hours);
  const worth = hours.map((one) => hundredths(Math.max(0, best - STEP_H * Math.floor((best - one + NEARLY_H) / STEP_H))));
  const prize = hundredths(best);
  return worth.every((one) => one === prize) ? { prize } : { prize, prizeByDay: Object.fromEntries(days.map((day, at) => [day, worth[at]!])) };
}

const hundredths = (hours: number): number => Math.round(100 * hours) / 100;

/** Hours of the six weeks that are left from a day on, at a pace. */
function hoursAt(perYearH: number, day: number, first: number): number {
  return (perYearH * Math.max(0, first + GAIN_DAYS - day)) / DAYS_PER_YEAR;
}

/** Never nothing: a visit that is wanted is worth the trip. The numbers may be of days ago: they count from their own day. */
function gainOn(row: Facts, day: number, horizon: number): number {
  const least = (LEAST_PACE * (horizon - day)) / DAYS_PER_YEAR;
  if (row.visit_gain === null || row.scored_on === null) return Math.max(least, ((row.exposure_per_year_h ?? UNSCORED_PACE) * (horizon - day)) / DAYS_PER_YEAR);
  const scored = dayNumber(localDate(row.scored_on));
  return Math.max(least, gainOf(row.visit_gain as VisitGain, day - scored, horizon - scored));
}

function paceOfFaults(row: Facts, weekStart: string): number {
  const broken = row.worst_severity === null ? 0 : DEFICIENCY_PACE[row.worst_severity]! + (row.deficiency_due !== null && row.deficiency_due < weekStart ? LATE_DEFICIENCY_PACE : 0);
  return broken + (row.kind === 'urgent' ? URGENT_PACE : 0);
}
