import type { Day } from './problem.js';

/** Work that must be done between two days (both inclusive). */
export interface Task {
  readonly id: string;
  readonly opens: Day;
  readonly closes: Day;
  readonly minutes: number;
  readonly skills: readonly string[];
  /** Least travel that it brings with it, e.g. from the nearest other place; default 0. A lower bound, so that the proof stays one. */
  readonly leastTravelMin?: number;
}

/** Minutes that one person can work on one day. */
export interface CapacityDay {
  readonly technicianId: string;
  readonly day: Day;
  readonly minutes: number;
  readonly skills: readonly string[];
}

export interface SqueezeProblem {
  readonly tasks: readonly Task[];
  readonly capacity: readonly CapacityDay[];
}

/** An interval in which more must be done than can be. */
export interface Excess {
  readonly from: Day;
  readonly to: Day;
  /** Skills of the group that is short; empty: everybody. */
  readonly skills: readonly string[];
  readonly neededMin: number;
  readonly availableMin: number;
  readonly shortMin: number;
  readonly taskIds: readonly string[];
  readonly words: string;
}

export interface WayOut {
  readonly kind: 'overtime' | 'extra-day' | 'later-closing' | 'earlier-opening' | 'given-away';
  readonly words: string;
  /** The problem with the way out taken. */
  readonly problem: SqueezeProblem;
  /** What is still short after it; empty: it is enough. */
  readonly left: readonly Excess[];
}

export interface Squeeze {
  /** Every minimal interval and group that is short, largest first; none: no proof of impossibility. */
  readonly excesses: readonly Excess[];
  /** Ways out of the largest, each re-checked on the whole problem; those that leave nothing short first. */
  readonly waysOut: readonly WayOut[];
}

/** Overtime that one person can be asked for on one day (common practice). */
export const MOST_OVERTIME_MIN = 120;

/**
 * Looks for proofs that the work cannot be done: for every opening-closing pair and set of skills, the minutes that must
 * fall inside against the minutes available to people who have those skills. A necessary condition: none found does not
 * prove that it can be done. Intervals that only contain a shorter one with the same or a larger excess are left out.
 */
export function squeeze(problem: SqueezeProblem): Squeeze {
  const excesses = excessesOf(problem);
  const worst = excesses[0];
  if (worst === undefined) return { excesses, waysOut: [] };
  const ways = proposals(problem, worst).map((w) => ({ ...w, left: excessesOf(w.problem) }));
  ways.sort((a, b) => a.left.length - b.left.length);
  return { excesses, waysOut: ways };
}

function excessesOf(problem: SqueezeProblem): Excess[] {
  const opens = [...new Set(problem.tasks.map((t) => t.opens))].sort();
  const groups = new Map<string, readonly string[]>([['', []]]);
  for (const t of problem.tasks) groups.set([...t.skills].sort().join(' '), [...t.skills].sort());
  const found: Excess[] = [];
  for (const skills of groups.values()) {
    // whoever does a task of this group has at least these skills
    const tasks = problem.tasks.filter((t) => skills.every((s) => t.skills.includes(s))).sort((a, b) => (a.closes < b.closes ? -1 : a.closes > b.closes ? 1 : 0));
    const before = hoursBefore(problem.capacity.filter((c) => skills.every((s) => c.skills.includes(s))));
    for (const from of opens) {
      // one pass per opening: tasks by closing day, so that long horizons stay quick
      let neededMin = 0;
      tasks.forEach((task, i) => {
        if (task.opens >= from) neededMin += task.minutes + (task.leastTravelMin ?? 0);
        const to = task.closes;
        if (to < from || tasks[i + 1]?.closes === to) return;
        const availableMin = before(to, true) - before(from, false);
        if (neededMin > availableMin) found.push(excess(from, to, skills, neededMin, availableMin, tasks.filter((t) => from <= t.opens && t.closes <= to)));
      });
    }
  }
  found.sort((a, b) => b.shortMin - a.shortMin || b.skills.length - a.skills.length || length(a) - length(b) || (a.from < b.from ? -1 : 1));
  const seen = new Set<string>();
  return found.filter((e) => {
    const key = [...e.taskIds].sort().join('\n');
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}

/** Minutes available before a day (or up to and with it), from sums made once. */
function hoursBefore(capacity: readonly CapacityDay[]): (day: Day, withIt: boolean) => number {
  const perDay = new Map<Day, number>();
  for (const c of capacity) perDay.set(c.day, (perDay.get(c.day) ?? 0) + c.minutes);
  const days = [...perDay.keys()].sort();
  const sums = [0];
  for (const d of days) sums.push(sums[sums.length - 1] + (perDay.get(d) ?? 0));
  return (day, withIt) => {
    let [low, high] = [0, days.length];
    while (low < high) {
      const mid = (low + high) >> 1;
      if (days[mid] < day || (withIt && days[mid] === day)) low = mid + 1;
      else high = mid;
    }
    return sums[low];
  };
}

function length(e: Excess): number {
  return dayNumber(e.to) - dayNumber(e.from);
}

function dayNumber(day: Day): number {
  return Date.UTC(Number(day.slice(0, 4)), Number(day.slice(5, 7)) - 1, Number(day.slice(8, 10))) / 86_400_000;
}

function dayOf(n: number): Day {
  return new Date(n * 86_400_000).toISOString().slice(0, 10);
}

function hours(min: number): string {
  return `${Math.round((min / 60) * 100) / 100} h`;
}

function excess(from: Day, to: Day, skills: readonly string[], neededMin: number, availableMin: number, inside: readonly Task[]): Excess {
  const who = skills.length === 0 ? 'anybody' : `people with ${skills.join(' and ')}`;
  const taskIds = inside.map((t) => t.id);
  const shortMin = neededMin - availableMin;
  return {
    from, to, skills, neededMin, availableMin, shortMin, taskIds,
    words: `${from} to ${to}, ${who}: ${hours(neededMin)} must fit in ${hours(availableMin)}, short ${hours(shortMin)}; by ${taskIds.join(', ')}`,
  };
}

function proposals(problem: SqueezeProblem, worst: Excess): Omit<WayOut, 'left'>[] {
  const inside = (c: CapacityDay): boolean => worst.from <= c.day && c.day <= worst.to && worst.skills.every((s) => c.skills.includes(s));
  const days = problem.capacity.filter(inside);
  const out: Omit<WayOut, 'left'>[] = [];
  if (days.length > 0) {
    const each = Math.ceil(worst.shortMin / days.length);
    if (each <= MOST_OVERTIME_MIN) {
      out.push({
        kind: 'overtime', words: `${hours(worst.shortMin)} of overtime: ${each} minutes for each of ${days.length} person-days`,
        problem: { ...problem, capacity: problem.capacity.map((c) => (inside(c) ? { ...c, minutes: c.minutes + each } : c)) },
      });
    }
  }
  out.push(...fewestTasks(problem, worst));
  const usual = Math.max(1, ...problem.capacity.map((c) => c.minutes));
  const extra = Math.ceil(worst.shortMin / usual);
  const workdays = [...new Set(problem.capacity.map((c) => c.day))].filter((d) => worst.from <= d && d <= worst.to).sort();
  if (workdays.length > 0) {
    out.push({
      kind: 'extra-day', words: `${extra} extra person-day${extra === 1 ? '' : 's'} of ${hours(usual)} (a subcontractor, or somebody newly qualified) within ${worst.from} to ${worst.to}`,
      problem: { ...problem, capacity: [...problem.capacity, ...Array.from({ length: extra }, (_, i) => ({ technicianId: `extra ${i + 1}`, day: workdays[i % workdays.length], minutes: usual, skills: worst.skills }))] },
    });
  }
  out.push(...stretched(problem, worst, 'later-closing'), ...stretched(problem, worst, 'earlier-opening'));
  return out;
}

/** The fewest tasks that somebody else does, or whose closing is put off by weeks, so that the rest fits. */
function fewestTasks(problem: SqueezeProblem, worst: Excess): Omit<WayOut, 'left'>[] {
  const weight = (t: Task): number => t.minutes + (t.leastTravelMin ?? 0);
  const sorted = problem.tasks.filter((t) => worst.taskIds.includes(t.id)).sort((a, b) => weight(b) - weight(a));
  let sum = 0;
  const chosen = sorted.filter((t) => {
    if (sum >= worst.shortMin) return false;
    sum += weight(t);
    return true;
  });
  const ids = new Set(chosen.map((t) => t.id));
  const names = chosen.map((t) => t.id).join(', ');
  const away: Omit<WayOut, 'left'> = { kind: 'given-away', words: `somebody else does ${names}: ${hours(sum)}`, problem: { ...problem, tasks: problem.tasks.filter((t) => !ids.has(t.id)) } };
  if (chosen.length < 2) return [away];
  const later = dayOf(dayNumber(worst.to) + 14);
  const put = { ...problem, tasks: problem.tasks.map((t) => (ids.has(t.id) ? { ...t, closes: later } : t)) };
  return [away, { kind: 'later-closing', words: `${names} may close on ${later} (ask who imposed them)`, problem: put }];
}

/** One task of the squeeze closing later (asked of the authority) or opening earlier: the least stretch, of at most 14 days, that cures this squeeze. */
function stretched(problem: SqueezeProblem, worst: Excess, kind: 'later-closing' | 'earlier-opening'): Omit<WayOut, 'left'>[] {
  const known = new Set(excessesOf(problem).map((e) => e.words));
  // the shortest only: moving one of them costs least, and a long list would be re-checked for nothing
  const candidates = problem.tasks.filter((t) => worst.taskIds.includes(t.id)).sort((a, b) => a.minutes - b.minutes).slice(0, 12);
  for (let by = 1; by <= 14; by++) {
    for (const task of candidates) {
      const changed = kind === 'later-closing' ? { ...task, closes: dayOf(dayNumber(task.closes) + by) } : { ...task, opens: dayOf(dayNumber(task.opens) - by) };
      const trial = { ...problem, tasks: problem.tasks.map((t) => (t.id === task.id ? changed : t)) };
      if (!excessesOf(trial).every((e) => e.words !== worst.words && known.has(e.words))) continue;
      const words = kind === 'later-closing' ? `${task.id} may close on ${changed.closes} instead of ${task.closes} (ask who imposed it)` : `${task.id} opens on ${changed.opens} instead of ${task.opens}`;
      return [{ kind, words, problem: trial }];
    }
  }
  return [];
}
