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
}

export interface WeekForecast {
  readonly week: number;
  readonly neededMin: Range;
  readonly availableMin: Range;
  /** Chance that some duty lapses in this week. */
  readonly lapseChance: number;
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
  let anyLapse = 0;
  for (let run = 0; run < runs; run++) {
    const result = simulate(demand, people, uncertainty, weeks, new Random(options.seed * 1_000_003 + run));
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
  };
}

function range(values: readonly number[]): Range {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (q: number): number => sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))];
  return { p10: at(0.1), p50: at(0.5), p90: at(0.9) };
}

interface Open {
  readonly demand: Demand;
  left: number;
}

function simulate(demand: readonly Demand[], people: readonly Person[], u: Uncertainty, weeks: number, random: Random): { needed: number; available: number; lapsed: Demand[] }[] {
  const arriving = [...demand].sort((a, b) => a.opensWeek - b.opensWeek);
  let open: Open[] = [];
  let next = 0;
  const out: { needed: number; available: number; lapsed: Demand[] }[] = [];
  for (let week = 0; week < weeks; week++) {
    for (; next < arriving.length && arriving[next].opensWeek <= week; next++) open.push({ demand: arriving[next], left: drawnMinutes(arriving[next], u, random) });
    open.sort((a, b) => a.demand.closesWeek - b.demand.closesWeek);
    const hours = people.map((person) => ({ person, left: (person.weeksOff ?? []).includes(week) || random.unit() < u.sick ? 0 : person.minutesPerWeek }));
    hours.sort((a, b) => a.person.skills.length - b.person.skills.length);
    const available = hours.reduce((sum, h) => sum + h.left, 0);
    const breakdowns = spread(u.breakdownMinutes.length === 0 ? 0 : u.breakdownMinutes[week % u.breakdownMinutes.length], random);
    const needed = open.filter((o) => o.demand.closesWeek === week).reduce((sum, o) => sum + o.left, 0) + breakdowns;
    let urgent = breakdowns;
    for (const h of [...hours].reverse()) {
      const taken = Math.min(urgent, h.left);
      urgent -= taken;
      h.left -= taken;
    }
    for (const o of open) serve(o, hours, week);
    const lapsed = open.filter((o) => o.left > 0.5 && o.demand.closesWeek <= week).map((o) => o.demand);
    open = open.filter((o) => o.left > 0.5 && o.demand.closesWeek > week);
    out.push({ needed: Math.round(needed), available: Math.round(available), lapsed });
  }
  return out;
}

function serve(o: Open, hours: { person: Person; left: number }[], week: number): void {
  for (const h of hours) {
    if (o.left <= 0) return;
    if (h.left <= 0 || !able(h.person, o.demand, week)) continue;
    const taken = Math.min(o.left, h.left);
    o.left -= taken;
    h.left -= taken;
  }
}

function able(person: Person, demand: Demand, week: number): boolean {
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
