import type { Day, WeekProblem } from './problem.js';

export interface BreakdownForecast {
  /** Minutes of breakdown work, travel included, expected on each day. */
  readonly minutesByDay: Readonly<Record<Day, number>>;
  /** Minutes of one breakdown: slack is kept in whole blocks, so that one person can take one. Default 90 (common practice). */
  readonly blockMin?: number;
  /** Skills that breakdowns ask for. Default: none. */
  readonly skills?: readonly string[];
}

export interface KeptSlack {
  readonly problem: WeekProblem;
  readonly kept: readonly { readonly technicianId: string; readonly day: Day; readonly minutes: number }[];
  /** Days on which fewer minutes could be kept than are forecast. */
  readonly short: readonly { readonly day: Day; readonly shortMin: number }[];
}

/**
 * The week with slack kept for breakdowns: on each day whole blocks at the end of the shifts of those who have the skills,
 * first of those who kept least so far, never more than half a shift. What a plan of it leaves free is enough for the forecast.
 */
export function keepSlack(problem: WeekProblem, forecast: BreakdownForecast): KeptSlack {
  const block = forecast.blockMin ?? 90;
  if (!(block > 0)) throw new RangeError(`blockMin is ${block}, accepted is a number above 0`);
  const able = problem.technicians.filter((t) => t.pairOnly !== true && (forecast.skills ?? []).every((s) => t.skills.includes(s)));
  const soFar = new Map(able.map((t) => [t.id, 0]));
  const kept: { technicianId: string; day: Day; minutes: number }[] = [];
  const short: { day: Day; shortMin: number }[] = [];
  for (const day of problem.days) {
    let left = forecast.minutesByDay[day] ?? 0;
    const today = new Map<string, number>();
    while (left > 0) {
      const free = able.filter((t) => t.shifts.some((s) => s.day === day && (today.get(t.id) ?? 0) + block <= (s.endMin - s.startMin) / 2));
      const next = free.sort((a, b) => (soFar.get(a.id) ?? 0) - (soFar.get(b.id) ?? 0) || (a.id < b.id ? -1 : 1))[0];
      if (next === undefined) break;
      today.set(next.id, (today.get(next.id) ?? 0) + block);
      soFar.set(next.id, (soFar.get(next.id) ?? 0) + block);
      left -= block;
    }
    for (const [technicianId, minutes] of today) kept.push({ technicianId, day, minutes });
    if (left > 0) short.push({ day, shortMin: left });
  }
  const minutesOf = (id: string, day: Day): number => kept.find((k) => k.technicianId === id && k.day === day)?.minutes ?? 0;
  const technicians = problem.technicians.map((t) => ({ ...t, shifts: t.shifts.map((s) => (minutesOf(t.id, s.day) > 0 ? { ...s, keepFreeMin: Math.max(s.keepFreeMin ?? 0, minutesOf(t.id, s.day)) } : s)) }));
  return { problem: { ...problem, technicians }, kept, short };
}
