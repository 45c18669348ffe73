import { Random } from './random.js';

/** Work of one duty bundle, in week numbers from the start of the forecast (0 = this week). */
export interface Demand {
  readonly id: string;
  readonly skills: readonly string[];
  readonly area?: string;
  /** First and last week in which it keeps its duties alive. */
  readonly opensWeek: number;
  readonly closesWeek: number;
  readonly minutes: number;
}

export interface Person {
  readonly id: string;
  readonly skills: readonly string[];
  readonly area?: string;
  readonly minutesPerWeek: number;
  /** Weeks off (leave). */
  readonly weeksOff?: readonly number[];
  /** First week in which a skill no longer counts (its licence ends before). */
  readonly skillEnds?: Readonly<Record<string, number>>;
}

/** What cannot be known ahead; each is a share 0..1 unless said otherwise. Values are the company's own history or its guess. */
export interface Uncertainty {
  /** A visit finds nobody in; its minutes are spent and it must be made again. */
  readonly noAccess: number;
  /** A visit needs a second one of the same length. */
  readonly repeat: number;
  /** A person is away sick in a week. */
  readonly sick: number;
  /** Spread of visit minutes: standard deviation of the logarithm. */
  readonly minutesSpread: number;
  /** Breakdown minutes per week of the year (or one value for all), with Poisson-like spread; they go before all else. */
  readonly breakdownMinutes: readonly number[];
  /** Weeks of leave not booked yet, per person and year; they fall on weeks by lot. Default 0. */
  readonly leaveWeeks?: number;
}

export interface WeekForecast {
  readonly week: number;
  readonly neededMin: Range;
  readonly availableMin: Range;
  /** Chance that some duty lapses in this week. */
  readonly lapseChance: number;
}

/** Work that asks for the same skills in the same area. */
export interface GroupForecast {
  readonly skills: string;
  readonly area: string | null;
  /** Mean number of its duties that lapse within the horizon. */
  readonly lapses: number;
  /** First week in which the chance of a lapse in this group is above one half; null: none. */
  readonly lapsesBegin: number | null;
  readonly weeks: readonly {
    readonly week: number;
    /** Minutes of the group that must be done by the end of that week and are still open. */
    readonly neededMin: Range;
    /** Minutes of all who may do it (they may be needed elsewhere too). */
    readonly ableMin: Range;
    readonly lapseChance: number;
  }[];
}

export interface Range {
  readonly p10: number;
  readonly p50: number;
  readonly p90: number;
}

export interface CapacityForecast {
  readonly weeks: readonly WeekForecast[];
  /** Chance that at least one duty lapses within the horizon. */
  readonly lapseChance: number;
  /** First week whose own lapse chance is above one half; null: none. */
  readonly lapsesBegin: number | null;
  /** Mean number of lapses per skill set, largest first. */
  readonly bySkills: readonly { readonly skills: string; readonly lapses: number }[];
  /** The same by skills and area, week by week; most lapses first. */
  readonly groups: readonly GroupForecast[];
}

/**
 * Simulates the weeks ahead: each week the work that closes first goes first, to the person with the fewest other skills
 * (a fluid model: minutes, no routes; areas are kept apart). Same seed, same forecast. Throws RangeError for runs or weeks below 1.
 */
export function forecastCapacity(demand: readonly Demand[], people: readonly Person[], uncertainty: Uncertainty, options: { readonly weeks: number; readonly runs: number; readonly seed: number }): CapacityForecast {
  const { weeks, runs } = options;
  if (!(weeks >= 1) || !(runs >= 1)) throw new RangeError(`weeks is ${weeks} and runs is ${runs}, accepted are whole numbers of at least 1`);
  const needed: number[][] = Array.from({ length: weeks }, () => []);
  const available: number[][] = Array.from({ length: weeks }, () => []);
  const lapsed = new Array<number>(weeks).fill(0);
  const bySkills = new Map<string, number>();
  const groups = new Groups(demand, weeks, runs);
  let anyLapse = 0;
  for (let run = 0; run < runs; run++) {
    const result = playCapacity(demand, people, uncertainty, { weeks, seed: options.seed * 1_000_003 + run });
    groups.add(result);
    result.forEach((w, i) => {
      needed[i].push(w.needed);
      available[i].push(w.available);
      if (w.lapsed.length > 0) lapsed[i]++;
      for (const d of w.lapsed) {
        const key = [...d.skills].sort().join(' + ');
        bySkills.set(key, (bySkills.get(key) ?? 0) + 1 / runs);
      }
    });
    if (result.some((w) => w.lapsed.length > 0)) anyLapse++;
  }
  const list = lapsed.map((n, week) => ({ week, neededMin: range(needed[week]), availableMin: range(available[week]), lapseChance: n / runs }));
  const begin = list.find((w) => w.lapseChance > 0.5);
  return {
    weeks: list, lapseChance: anyLapse / runs, lapsesBegin: begin?.week ?? null,
    bySkills: [...bySkills].map(([skills, lapses]) => ({ skills, lapses })).sort((a, b) => b.lapses - a.lapses),
    groups: groups.forecasts(),
  };
}

export function range(values: readonly number[]): Range {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (q: number): number => sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))] ?? 0;
  return { p10: at(0.1), p50: at(0.5), p90: at(0.9) };
}

interface Open {
  readonly demand: Demand;
  left: number;
}

/** One week of one possible future. */
export interface PlayedWeek {
  readonly needed: number;
  readonly available: number;
  readonly lapsed: readonly Demand[];
  /** Minutes due this week and minutes of the able, per group (skills and area). */
  readonly due: ReadonlyMap<string, number>;
  readonly able: ReadonlyMap<string, number>;
}

export function groupKey(d: Demand): string {
  return `${[...d.skills].sort().join(' + ')}|${d.area ?? ''}`;
}

/**
 * Plays one possible future. What is drawn for a demand, a person or a week depends on the seed and its own name only, so
 * that futures with somebody more or less can be compared one by one.
 */
export function playCapacity(demand: readonly Demand[], people: readonly Person[], u: Uncertainty, options: { readonly weeks: number; readonly seed: number }): PlayedWeek[] {
  const { weeks, seed } = options;
  const arriving = [...demand].sort((a, b) => a.opensWeek - b.opensWeek);
  const kinds = new Map(demand.map((d) => [groupKey(d), d]));
  const away = people.map((person) => weeksAway(person, u, weeks, new Random(seed * 31 + hash(person.id))));
  let open: Open[] = [];
  let next = 0;
  const out: PlayedWeek[] = [];
  for (let week = 0; week < weeks; week++) {
    for (; next < arriving.length && arriving[next].opensWeek <= week; next++) open.push({ demand: arriving[next], left: drawnMinutes(arriving[next], u, new Random(seed * 17 + hash(arriving[next].id))) });
    open.sort((a, b) => a.demand.closesWeek - b.demand.closesWeek);
    const hours = people.map((person, i) => ({ person, left: away[i].has(week) ? 0 : person.minutesPerWeek }));
    hours.sort((a, b) => a.person.skills.length - b.person.skills.length);
    const available = hours.reduce((sum, h) => sum + h.left, 0);
    const able = new Map([...kinds].map(([key, d]) => [key, hours.reduce((sum, h) => sum + (mayDo(h.person, d, week) ? h.left : 0), 0)]));
    const breakdowns = spread(u.breakdownMinutes.length === 0 ? 0 : u.breakdownMinutes[week % u.breakdownMinutes.length], new Random(seed * 13 + week));
    const closing = open.filter((o) => o.demand.closesWeek === week);
    const due = new Map<string, number>();
    for (const o of closing) due.set(groupKey(o.demand), (due.get(groupKey(o.demand)) ?? 0) + o.left);
    let urgent = breakdowns;
    for (const h of [...hours].reverse()) {
      const taken = Math.min(urgent, h.left);
      urgent -= taken;
      h.left -= taken;
    }
    for (const o of open) serve(o, hours, week);
    const lapsed = open.filter((o) => o.left > 0.5 && o.demand.closesWeek <= week).map((o) => o.demand);
    const needed = [...due.values()].reduce((a, b) => a + b, 0) + breakdowns;
    open = open.filter((o) => o.left > 0.5 && o.demand.closesWeek > week);
    out.push({ needed: Math.round(needed), available: Math.round(available), lapsed, due, able });
  }
  return out;
}

function weeksAway(person: Person, u: Uncertainty, weeks: number, random: Random): Set<number> {
  const away = new Set(person.weeksOff ?? []);
  for (let week = 0; week < weeks; week++) if (random.unit() < u.sick) away.add(week);
  const leave = ((u.leaveWeeks ?? 0) * weeks) / 52;
  for (let i = Math.floor(leave + random.unit()); i > 0; i--) away.add(random.below(weeks));
  return away;
}

/** A whole number from a name (FNV-1a, from memory). */
function hash(name: string): number {
  let h = 0x811c9dc5;
  for (let i = 0; i < name.length; i++) h = Math.imul(h ^ name.charCodeAt(i), 0x01000193) >>> 0;
  return h % 1_000_003;
}

/** Collects the runs by skills and area. */
class Groups {
  private readonly due: Map<string, number[][]>;
  private readonly able: Map<string, number[][]>;
  private readonly lapsedIn: Map<string, number[]>;
  private readonly lapses = new Map<string, number>();

  constructor(demand: readonly Demand[], private readonly weeks: number, private readonly runs: number) {
    const keys = [...new Set(demand.map(groupKey))];
    const perWeek = (): number[][] => Array.from({ length: weeks }, () => []);
    this.due = new Map(keys.map((k) => [k, perWeek()]));
    this.able = new Map(keys.map((k) => [k, perWeek()]));
    this.lapsedIn = new Map(keys.map((k) => [k, new Array<number>(weeks).fill(0)]));
  }

  add(result: readonly PlayedWeek[]): void {
    result.forEach((w, i) => {
      for (const [key, list] of this.due) list[i].push(Math.round(w.due.get(key) ?? 0));
      for (const [key, list] of this.able) list[i].push(Math.round(w.able.get(key) ?? 0));
      for (const key of new Set(w.lapsed.map(groupKey))) (this.lapsedIn.get(key) as number[])[i] += 1;
      for (const d of w.lapsed) this.lapses.set(groupKey(d), (this.lapses.get(groupKey(d)) ?? 0) + 1);
    });
  }

  forecasts(): GroupForecast[] {
    return [...this.due.keys()].map((key): GroupForecast => {
      const [skills, area] = key.split('|');
      const weeks = Array.from({ length: this.weeks }, (_, week) => ({
        week, neededMin: range(this.due.get(key)?.[week] ?? []), ableMin: range(this.able.get(key)?.[week] ?? []), lapseChance: (this.lapsedIn.get(key)?.[week] ?? 0) / this.runs,
      }));
      return { skills, area: area === '' ? null : area, lapses: (this.lapses.get(key) ?? 0) / this.runs, lapsesBegin: weeks.find((w) => w.lapseChance > 0.5)?.week ?? null, weeks };
    }).sort((a, b) => b.lapses - a.lapses || (a.skills < b.skills ? -1 : 1));
  }
}

function serve(o: Open, hours: { person: Person; left: number }[], week: number): void {
  for (const h of hours) {
    if (o.left <= 0) return;
    if (h.left <= 0 || !mayDo(h.person, o.demand, week)) continue;
    const taken = Math.min(o.left, h.left);
    o.left -= taken;
    h.left -= taken;
  }
}

function mayDo(person: Person, demand: Demand, week: number): boolean {
  if (demand.area !== undefined && person.area !== undefined && demand.area !== person.area) return false;
  return demand.skills.every((s) => person.skills.includes(s) && week < (person.skillEnds?.[s] ?? Infinity));
}

/** Minutes that a task really takes, with failed access and repeat visits; the mean of the spread is 1. */
function drawnMinutes(d: Demand, u: Uncertainty, random: Random): number {
  const visit = (): number => d.minutes * Math.exp(u.minutesSpread * normal(random) - (u.minutesSpread * u.minutesSpread) / 2);
  let minutes = visit();
  // at most five failed attempts: beyond that it is no capacity matter
  for (let i = 0; i < 5 && random.unit() < u.noAccess; i++) minutes += 0.25 * d.minutes;
  if (random.unit() < u.repeat) minutes += visit();
  return minutes;
}

function spread(mean: number, random: Random): number {
  return mean <= 0 ? 0 : Math.max(0, mean * (1 + 0.25 * normal(random)));
}

/** Box-Muller (1958, from memory). */
function normal(random: Random): number {
  return Math.sqrt(-2 * Math.log(1 - random.unit())) * Math.cos(2 * Math.PI * random.unit());
}

export interface StaffingAnswer {
  /** How many people like the pattern must be added; null: not reached with `most`. */
  readonly added: number | null;
  readonly lapseChance: number;
}

/** Least number of added people so that the chance of a lapse within the horizon stays at or under `acceptable` (0..1). */
export function staffNeeded(
  demand: readonly Demand[], people: readonly Person[], uncertainty: Uncertainty, pattern: Person, acceptable: number,
  options: { readonly weeks: number; readonly runs: number; readonly seed: number; readonly most?: number },
): StaffingAnswer {
  let lapseChance = 1;
  for (let added = 0; added <= (options.most ?? 10); added++) {
    const more = Array.from({ length: added }, (_, i) => ({ ...pattern, id: `${pattern.id} +${i + 1}` }));
    ({ lapseChance } = forecastCapacity(demand, [...people, ...more], uncertainty, options));
    if (lapseChance <= acceptable) return { added, lapseChance };
  }
  return { added: null, lapseChance };
}
