import { type AccessCalendar, closedBecause, quietBecause } from './access-calendar.js';
import { type CannotBeMet, type Clash, blocked, whyApart } from './cannot-be-met.js';
import { RecurrenceInputError } from './errors.js';
import { type LocalDate, dayInWords, dayNumber, fromDayNumber } from './local-date.js';
import { type Item, type TogetherWindow, daysOf, isUsable } from './together-days.js';

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
  /** The fewest duties that no single visit can meet, when more than one visit is needed. */
  readonly apart: Clash | null;
  readonly cannotBeMet: readonly CannotBeMet[];
}

/** Most windows of one question. */
export const MOST_TOGETHER = 80;

const givenAwayOn = (item: Item, day: number): number => (item.due === null ? 0 : Math.max(0, item.due - day));

/** Walks outwards from a visit's first (or last) day and names what blocks it, nearest first, until a window ends. */
function edge(items: readonly Item[], from: number, step: -1 | 1, calendar: AccessCalendar): Edge {
  const because: string[] = [];
  let limiting: string | null = null;
  const isBack = step === -1;
  const say = (words: string, limits: boolean): void => {
    if (!because.includes(words)) because.push(words);
    if (limits) limiting ??= words;
  };
  for (let day = from + step; ; day += step) {
    const shut = items.find((item) => (isBack ? day < item.opens : day > item.lapses));
    if (shut) {
      say(isBack ? `${shut.window.name} opens ${dayInWords(shut.opens)}` : `${shut.window.name} lapses ${dayInWords(shut.lapses)}`, true);
      return { rule: limiting as unknown as string, because };
    }
    const closed = closedBecause(calendar, day);
    if (closed) say(closed.reason, !closed.weekly);
    else {
      // inside every window and not closed, yet not usable: only noise is left
      const quiet = quietBecause(calendar, day);
      if (quiet) say(`no sounders: ${quiet.reason}`, !quiet.weekly);
    }
  }
}

function visitOf(items: readonly Item[], calendar: AccessCalendar): TogetherVisit {
  const days = daysOf(items, calendar);
  // waiting is counted from any day: only differences matter
  const cost = (day: number): number => items.reduce((sum, item) => sum + givenAwayOn(item, day) + (item.window.overdue ? day : 0), 0);
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

/** A chosen day and the ones before it. */
interface Chosen {
  readonly day: number;
  readonly before: Chosen | null;
}

/** A partial plan: the latest chosen day, the latest chosen one on which sounders may be worked, and what it cost so far. */
interface Partial {
  readonly any: number;
  readonly loud: number;
  readonly visits: number;
  readonly cost: number;
  readonly chosen: Chosen | null;
}

const NEVER = Number.NEGATIVE_INFINITY;

/** Of the days that meet the same items only the latest can be best: days given away shrink with time. */
function candidateDays(usable: readonly (readonly number[])[]): number[] {
  const itemsOn = new Map<number, number[]>();
  usable.forEach((days, at) => {
    for (const day of days) {
      const list = itemsOn.get(day);
      if (list) list.push(at);
      else itemsOn.set(day, [at]);
    }
  });
  const latest = new Map<string, number>();
  for (const [day, list] of itemsOn) {
    const key = list.join();
    latest.set(key, Math.max(latest.get(key) ?? NEVER, day));
  }
  return [...latest.values()].sort((a, b) => a - b);
}

/**
 * Fewest days that meet every item, and among those the fewest days given away; exact. Days are taken or left in order. What
 * matters of the past is the latest day taken and the latest loud one, because an item is best met by the latest of its kind
 * before its own last day.
 */
function fewest(items: readonly Item[], calendar: AccessCalendar): number[][] {
  const usable = items.map((item) => daysOf([item], calendar));
  const lastOf = usable.map((days) => days.at(-1) as number);
  let partials: Partial[] = [{ any: NEVER, loud: NEVER, visits: 0, cost: 0, chosen: null }];
  for (const day of candidateDays(usable)) {
    const isLoud = quietBecause(calendar, day) === null;
    const ending = items.filter((_, at) => lastOf[at] === day);
    const kept = new Map<string, Partial>();
    for (const before of partials) {
      const taken: Partial = { any: day, loud: isLoud ? day : before.loud, visits: before.visits + 1, cost: before.cost, chosen: { day, before: before.chosen } };
      for (const partial of [before, taken]) {
        const meets = ending.map((item) => (item.window.noisy ? partial.loud : partial.any));
        if (ending.some((item, at) => (meets[at] as number) < item.opens)) continue;
        const cost = ending.reduce((sum, item, at) => sum + givenAwayOn(item, meets[at] as number), partial.cost);
        const key = `${partial.any} ${partial.loud}`;
        const held = kept.get(key);
        if (held === undefined || partial.visits < held.visits || (partial.visits === held.visits && cost < held.cost)) kept.set(key, { ...partial, cost });
      }
    }
    partials = [...kept.values()];
  }
  const best = partials.reduce((held, one) => (one.visits < held.visits || (one.visits === held.visits && one.cost < held.cost) ? one : held));
  const days: number[] = [];
  for (let at = best.chosen; at !== null; at = at.before) days.push(at.day);
  const met = new Map<number, number[]>(days.map((day) => [day, []]));
  items.forEach((item, at) => met.get(days.find((day) => isUsable(item, day, calendar)) as number)?.push(at));
  // no list is empty: without its day the others would have been fewer
  return [...met.values()];
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
 * @throws RecurrenceInputError for a name that stands twice, a window that ends before it begins, or more than 80 windows
 */
export function doTogether(windows: readonly TogetherWindow[], calendar: AccessCalendar = {}): Together {
  if (windows.length > MOST_TOGETHER) throw new RecurrenceInputError('windows', String(windows.length), `at most ${MOST_TOGETHER} different windows of one site at a time`);
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
    .map((list) => visitOf(list.map((at) => possible[at] as Item), calendar))
    .sort((a, b) => (a.best < b.best ? -1 : 1));
  return { visits, split: splitOf(possible, visits, calendar), apart: visits.length > 1 ? whyApart(possible, calendar) : null, cannotBeMet };
}
