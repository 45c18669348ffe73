import { type AccessCalendar, closedBecause, quietBecause } from './access-calendar.js';
import { RecurrenceInputError } from './errors.js';
import { type LocalDate, dayInWords, dayNumber, fromDayNumber } from './local-date.js';

/** One duty's window as bundling looks at it. */
export interface TogetherWindow {
  /** What the duty is called in the answer; each name once. */
  readonly name: string;
  readonly opens: LocalDate;
  readonly lapses: LocalDate;
  /** Sounders are needed, so noise hours count. */
  readonly noisy: boolean;
  /**
   * For a cadence that counts from the last proof: the day it would ideally be done. Each day earlier is given away for good.
   * Absent for duties set by the calendar, which lose nothing.
   */
  readonly rollingDue?: LocalDate;
}

/** Why a visit cannot be earlier (or later): the rule that limits it, and every blocked stretch on the way to it. */
export interface Edge {
  /** The limiting rule in words. */
  readonly rule: string;
  /** All that stands in the way from the visit's edge outwards, nearest first. */
  readonly because: readonly string[];
}

/** Days on which a set of duties can be met in one visit. */
export interface TogetherVisit {
  readonly names: readonly string[];
  /** Each day that meets all of them, in order. */
  readonly days: readonly LocalDate[];
  readonly notBefore: Edge;
  readonly notAfter: Edge;
  /** The day with the fewest days given away. */
  readonly best: LocalDate;
  /** Days given away on `best` by each duty that loses any. */
  readonly givenAway: readonly { readonly name: string; readonly days: number }[];
}

/** A duty that no day of its window can meet, and what a person can do about it. */
export interface CannotBeMet {
  readonly name: string;
  readonly why: string;
  readonly waysOut: readonly string[];
}

/** One visit cut in its silent and its sounding part, when the silent one could be earlier. */
export interface SplitVisit {
  readonly silent: { readonly names: readonly string[]; readonly days: readonly LocalDate[] };
  readonly sounding: { readonly names: readonly string[]; readonly days: readonly LocalDate[] };
}

/** The fewest visits, and why not fewer. */
export interface Together {
  readonly visits: readonly TogetherVisit[];
  /** For one visit only: the alternative of doing the silent part apart, when that opens further days. */
  readonly split: SplitVisit | null;
  /** Two duties that no single visit can meet, when more than one visit is needed. */
  readonly apart: { readonly first: string; readonly second: string; readonly why: string } | null;
  readonly cannotBeMet: readonly CannotBeMet[];
}

/** Most duties of one question; the exact search doubles with each. */
export const MOST_TOGETHER = 16;

interface Item {
  readonly window: TogetherWindow;
  readonly opens: number;
  readonly lapses: number;
  readonly due: number | null;
}

const isUsable = (item: Item, day: number, calendar: AccessCalendar): boolean =>
  day >= item.opens && day <= item.lapses && closedBecause(calendar, day) === null && (!item.window.noisy || quietBecause(calendar, day) === null);

const givenAwayOn = (item: Item, day: number): number => (item.due === null ? 0 : Math.max(0, item.due - day));

function daysOf(items: readonly Item[], calendar: AccessCalendar): number[] {
  const days: number[] = [];
  for (let day = Math.max(...items.map((item) => item.opens)); day <= Math.min(...items.map((item) => item.lapses)); day += 1) {
    if (items.every((item) => isUsable(item, day, calendar))) days.push(day);
  }
  return days;
}

/** Walks outwards from a visit's first (or last) day and names what blocks it, nearest first, until a window ends. */
function edge(items: readonly Item[], from: number, step: -1 | 1, calendar: AccessCalendar): Edge {
  const because: string[] = [];
  let limiting: string | null = null;
  const isNoisy = items.some((item) => item.window.noisy);
  const say = (words: string, limits: boolean): void => {
    if (because.at(-1) !== words && !because.includes(words)) because.push(words);
    if (limits) limiting ??= words;
  };
  for (let day = from + step; ; day += step) {
    const shut = items.find((item) => (step < 0 ? day < item.opens : day > item.lapses));
    if (shut) {
      say(step < 0 ? `${shut.window.name} opens ${dayInWords(shut.opens)}` : `${shut.window.name} lapses ${dayInWords(shut.lapses)}`, true);
      return { rule: limiting as unknown as string, because };
    }
    const closed = closedBecause(calendar, day);
    if (closed) say(closed.reason, !closed.weekly);
    const quiet = isNoisy && !closed ? quietBecause(calendar, day) : null;
    if (quiet) say(`no sounders: ${quiet.reason}`, !quiet.weekly);
    if (!closed && !quiet) return { rule: limiting ?? (because.at(-1) as string), because };
  }
}

function visitOf(items: readonly Item[], calendar: AccessCalendar): TogetherVisit {
  const days = daysOf(items, calendar);
  const cost = (day: number): number => items.reduce((sum, item) => sum + givenAwayOn(item, day), 0);
  const best = days.reduce((held, day) => (cost(day) < cost(held) ? day : held), days[0] as number);
  return {
    names: items.map((item) => item.window.name),
    days: days.map(fromDayNumber),
    notBefore: edge(items, days[0] as number, -1, calendar),
    notAfter: edge(items, days.at(-1) as number, 1, calendar),
    best: fromDayNumber(best),
    givenAway: items.map((item) => ({ name: item.window.name, days: givenAwayOn(item, best) })).filter((each) => each.days > 0),
  };
}

interface Plan {
  readonly visits: number;
  readonly cost: number;
  readonly masks: readonly number[];
}

/** Fewest days that meet every item, and among those the fewest days given away. Exact: each step settles the first open item. */
function fewest(items: readonly Item[], calendar: AccessCalendar): number[] {
  const choices = new Map<number, Map<number, number>>();
  const days = [...new Set(items.flatMap((item) => daysOf([item], calendar)))].sort((a, b) => a - b);
  for (const day of days) {
    let mask = 0;
    items.forEach((item, at) => { if (isUsable(item, day, calendar)) mask |= 1 << at; });
    // Of the days that meet the same duties only the latest can be best: days given away shrink with time.
    choices.set(mask, new Map(items.map((item, at) => [at, givenAwayOn(item, day)])));
  }
  const whole = (1 << items.length) - 1;
  const held = new Map<number, Plan>([[whole, { visits: 0, cost: 0, masks: [] }]]);
  const solve = (covered: number): Plan => {
    const known = held.get(covered);
    if (known) return known;
    const first = items.findIndex((_, at) => (covered & (1 << at)) === 0);
    let best: Plan | null = null;
    for (const [mask, lost] of choices) {
      if ((mask & (1 << first)) === 0) continue;
      const added = mask & ~covered;
      const rest = solve(covered | mask);
      let cost = rest.cost;
      items.forEach((_, at) => { if (added & (1 << at)) cost += lost.get(at) as number; });
      const plan = { visits: rest.visits + 1, cost, masks: [added, ...rest.masks] };
      if (best === null || plan.visits < best.visits || (plan.visits === best.visits && plan.cost < best.cost)) best = plan;
    }
    held.set(covered, best as Plan);
    return best as Plan;
  };
  return [...solve(0).masks];
}

function blocked(item: Item, calendar: AccessCalendar): CannotBeMet {
  const open = daysOf([{ ...item, window: { ...item.window, noisy: false } }], calendar);
  const stretch = `${dayInWords(item.opens)} to ${dayInWords(item.lapses)}`;
  const reasons = new Set<string>();
  for (let day = item.opens; day <= item.lapses; day += 1) {
    const reason = closedBecause(calendar, day) ?? (item.window.noisy ? quietBecause(calendar, day) : null);
    if (reason) reasons.add(reason.reason);
  }
  const waysOut = ['do it before the closure, if the regime counts it early', 'a documented pause, asked for in writing by the owner and named to the authority'];
  if (open.length > 0) waysOut.unshift(`split: silent part from ${dayInWords(open[0] as number)}, sounding part on a day agreed for noise`);
  return { name: item.window.name, why: `no usable day from ${stretch}: ${[...reasons].join('; ') || 'the window holds no day'}`, waysOut };
}

function whyApart(items: readonly Item[], calendar: AccessCalendar): Together['apart'] {
  for (const [at, first] of items.entries()) {
    for (const second of items.slice(at + 1)) {
      if (daysOf([first, second], calendar).length > 0) continue;
      const [early, late] = first.lapses <= second.lapses ? [first, second] : [second, first];
      const why = early.lapses < late.opens
        ? `${early.window.name} lapses ${dayInWords(early.lapses)}, before ${late.window.name} opens ${dayInWords(late.opens)}`
        : `both are open from ${dayInWords(Math.max(early.opens, late.opens))} to ${dayInWords(early.lapses)}, but no day of that can be used`;
      return { first: early.window.name, second: late.window.name, why };
    }
  }
  return null;
}

function splitOf(items: readonly Item[], visits: readonly TogetherVisit[], calendar: AccessCalendar): SplitVisit | null {
  const silent = items.map((item) => ({ ...item, window: { ...item.window, noisy: false } }));
  const noisy = items.filter((item) => item.window.noisy);
  const only = visits.length === 1 ? (visits[0] as TogetherVisit) : null;
  if (only === null || noisy.length === 0) return null;
  const days = daysOf(silent, calendar).map(fromDayNumber);
  if (days.length <= only.days.length) return null;
  return { silent: { names: only.names, days }, sounding: { names: noisy.map((item) => item.window.name), days: only.days } };
}

/**
 * The fewest visits that meet all windows of a site on days when it can be entered and, for noisy duties, be loud; with the
 * limiting rule at each edge, the pair that makes one visit impossible, and the days given away. Every day named lies inside
 * every window it is named for.
 * @throws RecurrenceInputError for a name that stands twice, a window that ends before it begins, or more than 16 windows
 */
export function doTogether(windows: readonly TogetherWindow[], calendar: AccessCalendar = {}): Together {
  if (windows.length > MOST_TOGETHER) throw new RecurrenceInputError('windows', String(windows.length), `at most ${MOST_TOGETHER} windows of one site at a time`);
  const names = new Set<string>();
  const items = windows.map((window): Item => {
    if (names.has(window.name)) throw new RecurrenceInputError('window name', window.name, 'each name once');
    names.add(window.name);
    if (window.lapses < window.opens) throw new RecurrenceInputError('window', `${window.opens} to ${window.lapses}`, 'a lapse on or after the opening');
    return { window, opens: dayNumber(window.opens), lapses: dayNumber(window.lapses), due: window.rollingDue ? dayNumber(window.rollingDue) : null };
  });
  const possible = items.filter((item) => daysOf([item], calendar).length > 0);
  const cannotBeMet = items.filter((item) => !possible.includes(item)).map((item) => blocked(item, calendar));
  if (possible.length === 0) return { visits: [], split: null, apart: null, cannotBeMet };
  const visits = fewest(possible, calendar)
    .map((mask) => visitOf(possible.filter((_, at) => mask & (1 << at)), calendar))
    .sort((a, b) => (a.best < b.best ? -1 : 1));
  return { visits, split: splitOf(possible, visits, calendar), apart: visits.length > 1 ? whyApart(possible, calendar) : null, cannotBeMet };
}
