import { savedAfter } from './timing.js';
import { usableWindows } from './eligibility.js';
import { breakOf, closeOf, endsOf, type Shift, type Visit, type WeekProblem } from './problem.js';
import { squeeze, type CapacityDay, type Squeeze, type Task } from './squeeze.js';

/**
 * The squeeze of a week: the visits whose duty lapses in it (or all), from their first to their last usable day, against the
 * hours of those who have the skills and licences on each day. Each visit brings the least travel to reach it from anywhere
 * else, so that what is found stays a proof. Minutes of set-up that could be shared are left out.
 */
export function squeezeWeek(problem: WeekProblem, which: 'lapsing' | 'all' = 'lapsing'): Squeeze {
  return squeeze(squeezeOf(problem, which));
}

/** Tasks and capacity of a week, as squeeze takes them. */
export function squeezeOf(problem: WeekProblem, which: 'lapsing' | 'all' = 'lapsing'): { tasks: Task[]; capacity: CapacityDay[] } {
  const last = problem.days.at(-1) ?? '';
  const chosen = problem.visits.filter((v) => v.errand === undefined && (which === 'all' || (v.lapseDay != null && v.lapseDay <= last)));
  const starts = new Set(problem.technicians.flatMap((t) => t.shifts.map((s) => endsOf(t, s).from)));
  const calm = Math.min(1, ...Object.values(problem.travel.factorByDay ?? {}));
  const reach = new Map<number, number>();
  const leastTo = (v: Visit): number => {
    if (problem.visits.some((o) => o.id !== v.id && o.place === v.place)) return 0;
    const known = reach.get(v.place);
    if (known !== undefined) return known;
    const from = new Set([...starts, ...problem.visits.filter((o) => o.id !== v.id).map((o) => o.place)]);
    const least = Math.floor(calm * Math.min(Infinity, ...[...from].map((p) => problem.travel.minutes[p][v.place])));
    const whole = Number.isFinite(least) ? least : 0;
    reach.set(v.place, whole);
    return whole;
  };
  const tasks = chosen.flatMap((v): Task[] => {
    const days = problem.days.filter((d) => usableWindows(v, d).length > 0 && (which === 'all' || v.lapseDay == null || d <= v.lapseDay));
    if (days.length === 0) return [];
    const shared = problem.visits.some((o) => o.id !== v.id && savedAfter(o, v) > 0) ? (v.sharesSetUp?.minutes ?? 0) : 0;
    const task = { opens: days[0], closes: days[days.length - 1], minutes: v.serviceMin - shared, leastTravelMin: leastTo(v) };
    const first = { ...task, id: v.id, skills: [...(v.skills ?? []), ...(v.licences ?? []).map((l) => `${l} licence`)] };
    return v.persons === 2 ? [first, { ...task, id: `${v.id} (second person)`, skills: [] }] : [first];
  });
  const capacity = problem.technicians.flatMap((t) => t.shifts.filter((s) => problem.days.includes(s.day)).map((s): CapacityDay => ({
    technicianId: t.id, day: s.day, minutes: workable(s),
    skills: t.pairOnly === true ? [] : [...t.skills, ...t.licences.filter((l) => l.from <= s.day && s.day <= l.to).map((l) => `${l.kind} licence`)],
  })));
  return { tasks, capacity };
}

/** Most minutes of service and travel that a shift can hold: a round that is home before the end of the break's window owes no break. */
function workable(s: Shift): number {
  const limit = closeOf(s).limitMin;
  const owed = breakOf(s);
  return Math.max(0, owed === null ? limit - s.startMin : Math.max(limit - owed.lengthMin, Math.min(limit, owed.toMin)) - s.startMin);
}
