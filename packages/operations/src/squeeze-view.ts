import type { SqueezeView } from '@bellround/contracts';
import type { SqueezeLine } from '@bellround/database';
import { squeeze, travelMatrix, type CapacityDay, type Task } from '@bellround/planning';
import { addDays, daysBetween, localDate } from '@bellround/recurrence';
import type { WeekTravel } from './week-parts.js';
import { SET_UP_MIN } from './week-visits.js';

// The squeeze of the coming weeks as screens show it: pure, so that a thread can compute it.

export interface SqueezeFacts {
  readonly from: string; readonly to: string; readonly counting: 'visit' | 'checks';
  readonly lines: readonly SqueezeLine[]; readonly capacity: readonly CapacityDay[]; readonly overdue: number; readonly travel: WeekTravel;
}

/** More tasks than this around a squeeze are taken together by window before ways out are tried. */
const MOST_TASKS_APART = 60;
/** Beyond so many places the least travel is left at nothing: still a bound, only a weaker one. */
const MOST_PLACES = 800;
const SHOWN = 12;

interface SiteTask extends Task { readonly siteId: string; readonly siteName: string }

/**
 * The proof that the work of the coming weeks cannot be done, if there is one: for each opening and closing day and set of
 * skills and licences, the minutes that must fall inside against the minutes of those who may do them. 'visit' counts the time
 * around the checks and the least travel once per site; 'checks' counts the checks' own minutes alone.
 */
export function squeezeView({ from, to, counting, lines, capacity, overdue, travel }: SqueezeFacts): SqueezeView {
  const tasks = tasksOf(lines, counting, travel);
  const groups = groupsOf(tasks).map((skills) => ({ skills, cells: cellsOf(tasks, capacity, skills) }));
  const over = groups.flatMap((group) => group.cells.filter((cell) => cell.neededMin > cell.availableMin).map((cell) => ({ ...cell, skills: group.skills, shortMin: cell.neededMin - cell.availableMin })));
  over.sort((a, b) => b.shortMin - a.shortMin || b.skills.length - a.skills.length || daysBetween(localDate(a.from), localDate(a.to)) - daysBetween(localDate(b.from), localDate(b.to)) || a.from.localeCompare(b.from));
  const told = new Set<string>();
  const excesses = over.map((cell) => ({ cell, inside: insideOf(tasks, cell) })).filter(({ inside }) => {
    const key = inside.map((task) => task.id).join('|');
    return told.has(key) ? false : Boolean(told.add(key));
  }).slice(0, SHOWN);
  const worst = excesses[0];
  return {
    from, to, counting, groups, overdue,
    excesses: excesses.map(({ cell, inside }) => ({ from: cell.from, to: cell.to, skills: cell.skills, neededMin: cell.neededMin, availableMin: cell.availableMin, shortMin: cell.shortMin,
      sites: inside.map((task) => ({ siteId: task.siteId, siteName: task.siteName, minutes: task.minutes + (task.leastTravelMin ?? 0), opens: task.opens, closes: task.closes })) })),
    waysOut: worst === undefined ? [] : waysOutOf(tasks, capacity, worst.cell),
  };
}

/** One task per site, window and set of skills; the same check on the same subject counts once. */
function tasksOf(lines: readonly SqueezeLine[], counting: 'visit' | 'checks', travel: WeekTravel): SiteTask[] {
  const groups = new Map<string, SqueezeLine[]>();
  for (const line of lines) {
    const key = `${line.site_id} ${line.opens} ${line.lapses} ${skillsOf(line).join()}`;
    groups.set(key, [...(groups.get(key) ?? []), line]);
  }
  const bound = counting === 'visit' ? leastTravel(lines, travel) : new Map<string, number>();
  const names = new Map<string, number>();
  const met = new Set<string>();
  const seen = new Set<string>();
  return [...groups.values()].map((owed): SiteTask => {
    const first = owed[0]!;
    const isFirst = !met.has(first.site_id) && Boolean(met.add(first.site_id));
    const own = owed.filter((line) => { const key = `${line.subject_id} ${[...line.check_kinds].sort().join()}`; return !seen.has(key) && Boolean(seen.add(key)); });
    const nth = (names.get(first.site_name) ?? 0) + 1;
    names.set(first.site_name, nth);
    return {
      id: nth === 1 ? first.site_name : `${first.site_name} (${nth})`, siteId: first.site_id, siteName: first.site_name, opens: first.opens, closes: first.lapses, skills: skillsOf(first),
      minutes: own.reduce((sum, line) => sum + line.minutes, 0) + (counting === 'visit' && isFirst ? SET_UP_MIN : 0), ...(isFirst && bound.has(first.site_id) ? { leastTravelMin: bound.get(first.site_id)! } : {}),
    };
  }).filter((task) => task.minutes > 0);
}

const skillsOf = (line: { skills: string[]; licences: string[] }): string[] => [...line.skills, ...line.licences.map((kind) => `licence ${kind}`)].sort();

const located = (lines: readonly SqueezeLine[]) => [...new Map(lines.filter((line) => line.lat !== null && line.lon !== null).map((line) => [line.site_id, { lat: line.lat!, lon: line.lon! }]))];

/** The places of the sites, in their order; none where they are too few or too many for a bound on travel. */
export function placesToReach(lines: readonly SqueezeLine[]): { lat: number; lon: number }[] {
  const sites = located(lines);
  return sites.length < 2 || sites.length > MOST_PLACES ? [] : sites.map(([, point]) => point);
}

/** Minutes from the nearest other site of the list: nobody can reach it faster on a round that has another of them before it. */
function leastTravel(lines: readonly SqueezeLine[], travel: WeekTravel): Map<string, number> {
  const points = placesToReach(lines);
  if (points.length === 0) return new Map();
  const minutes = travelMatrix(points, travel.model, travel.road);
  return new Map(located(lines).map(([id], index) => [id, Math.min(...minutes.flatMap((row, other) => (other === index ? [] : [row[index]!])))]));
}

/** Every set of skills that some task asks for, and everybody. */
function groupsOf(tasks: readonly Task[]): string[][] {
  return [...new Map([['', [] as string[]], ...tasks.map((task) => [task.skills.join('|'), [...task.skills]] as [string, string[]])]).values()].sort((a, b) => a.length - b.length || a.join().localeCompare(b.join()));
}

/** All opening-closing pairs of one group by running sums: days x days, not days x days x tasks. */
function cellsOf(tasks: readonly Task[], capacity: readonly CapacityDay[], skills: readonly string[]) {
  const mine = tasks.filter((task) => skills.every((skill) => task.skills.includes(skill)));
  const hours = new Map<string, number>();
  for (const one of capacity) if (skills.every((skill) => one.skills.includes(skill))) hours.set(one.day, (hours.get(one.day) ?? 0) + one.minutes);
  const opens = [...new Set(mine.map((task) => task.opens))].sort().reverse();
  const closes = [...new Set(mine.map((task) => task.closes))].sort();
  const byClose = new Map(closes.map((close) => [close, { minutes: 0, tasks: 0 }]));
  return opens.flatMap((from) => {
    for (const task of mine) if (task.opens === from) { const sum = byClose.get(task.closes)!; sum.minutes += task.minutes + (task.leastTravelMin ?? 0); sum.tasks += 1; }
    let [neededMin, count, availableMin, day] = [0, 0, 0, from];
    return closes.filter((to) => to >= from).map((to) => {
      const sum = byClose.get(to)!;
      neededMin += sum.minutes;
      count += sum.tasks;
      for (; day <= to; day = addDays(localDate(day), 1)) availableMin += hours.get(day) ?? 0;
      return { from, to, neededMin, availableMin, tasks: count };
    }).filter((cell) => cell.tasks > 0);
  });
}

function insideOf(tasks: readonly SiteTask[], cell: { from: string; to: string; skills: readonly string[] }): SiteTask[] {
  return tasks.filter((task) => cell.from <= task.opens && task.closes <= cell.to && cell.skills.every((skill) => task.skills.includes(skill))).sort((a, b) => b.minutes - a.minutes);
}

/** Ways out of the worst squeeze by the engine, on the windows that touch it or lie within two weeks of it. */
function waysOutOf(tasks: readonly SiteTask[], capacity: readonly CapacityDay[], worst: { from: string; to: string }): SqueezeView['waysOut'] {
  const [first, last] = [addDays(localDate(worst.from), -14), addDays(localDate(worst.to), 14)];
  const near = tasks.filter((task) => task.closes >= first && task.opens <= last);
  const { waysOut } = squeeze({ tasks: near.length > MOST_TASKS_APART ? together(near) : near, capacity: capacity.filter((one) => one.day >= first && one.day <= last) });
  return waysOut.map((way) => ({ kind: way.kind, words: way.words, left: way.left.map((one) => one.words) }));
}

function together(tasks: readonly SiteTask[]): Task[] {
  const groups = new Map<string, SiteTask[]>();
  for (const task of tasks) { const key = `${task.opens} ${task.closes} ${task.skills.join()}`; groups.set(key, [...(groups.get(key) ?? []), task]); }
  return [...groups.values()].map((all) => ({
    id: all.length <= 2 ? all.map((task) => task.id).join(' and ') : `${all[0]!.id} and ${all.length - 1} more`, opens: all[0]!.opens, closes: all[0]!.closes, skills: all[0]!.skills, minutes: all.reduce((sum, task) => sum + task.minutes + (task.leastTravelMin ?? 0), 0),
  }));
}
