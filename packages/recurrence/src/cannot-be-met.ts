import { type AccessCalendar, closedBecause, quietBecause } from './access-calendar.js';
import { dayInWords } from './local-date.js';
import { type Item, daysOf, isUsable } from './together-days.js';

/** A duty that no day of its window can meet, and what a person can do about it. */
export interface CannotBeMet {
  readonly name: string;
  readonly why: string;
  readonly waysOut: readonly string[];
}

/** Duties that no single visit can meet though each can be met: two, or three of which every two share a day. */
export interface Clash {
  readonly first: string;
  readonly second: string;
  /** The third, when the first two share a day; empty for a pair. */
  readonly further: readonly string[];
  readonly why: string;
  readonly waysOut: readonly string[];
}

/** How far around a window a day of access is looked for. */
const AROUND_DAYS = 366;

const silently = (item: Item): Item => ({ ...item, window: { ...item.window, noisy: false } });
const counted = (n: number): string => `${n} day${n === 1 ? '' : 's'}`;

/** '3 Mar 2027, 8 Mar 2027 to 12 Mar 2027'; three runs at most. */
function runsInWords(days: readonly number[]): string {
  const runs: [number, number][] = [];
  for (const day of days) {
    const last = runs.at(-1);
    if (last && day === last[1] + 1) last[1] = day;
    else runs.push([day, day]);
  }
  const words = runs.slice(0, 3).map(([from, to]) => (from === to ? dayInWords(from) : `${dayInWords(from)} to ${dayInWords(to)}`));
  return words.join(', ') + (runs.length > 3 ? ' and later' : '');
}

/** The next day from one (exclusive) on which this can be done whatever its window says, or null within a year. */
function usableFrom(item: Item, from: number, step: -1 | 1, calendar: AccessCalendar): number | null {
  for (let n = 1; n <= AROUND_DAYS; n += 1) {
    const day = from + step * n;
    if (closedBecause(calendar, day) === null && (!item.window.noisy || quietBecause(calendar, day) === null)) return day;
  }
  return null;
}

const PAUSE = 'a documented pause, asked for in writing by the owner and named to the authority';

/** A duty that no day of its window can meet: what stands in the way, and what a person can do, each with its day. */
export function blocked(item: Item, calendar: AccessCalendar): CannotBeMet {
  const silent = daysOf([silently(item)], calendar);
  const reasons = new Set<string>();
  for (let day = item.opens; day <= item.lapses; day += 1) {
    const reason = closedBecause(calendar, day) ?? (item.window.noisy ? quietBecause(calendar, day) : null);
    if (reason) reasons.add(reason.reason);
  }
  const before = usableFrom(item, item.opens, -1, calendar);
  const after = usableFrom(item, item.lapses, 1, calendar);
  const waysOut = [
    ...(silent.length > 0 ? [`split: silent part from ${dayInWords(silent[0] as number)}, sounding part on a day agreed for noise`] : []),
    before === null ? 'do it before the closure, if the regime counts it early' : `do it before the closure, if the regime counts it early: ${dayInWords(before)} is the last day that can be used`,
    PAUSE,
    ...(after === null ? [] : [`otherwise ${dayInWords(after)} is the first day that can be used: late by ${counted(after - item.lapses)}, with the reason kept`]),
  ];
  return { name: item.window.name, why: `no usable day from ${dayInWords(item.opens)} to ${dayInWords(item.lapses)}: ${[...reasons].join('; ')}`, waysOut };
}

/**
 * The fewest items that share no day: a pair, else three. More are never needed: the one that opens last, the one that lapses
 * first and any one that sounds leave no day between them when all together leave none.
 */
function fewestClashing(items: readonly Item[], calendar: AccessCalendar): readonly Item[] | null {
  const first = Math.min(...items.map((item) => item.opens));
  const bits = items.map((item) => daysOf([item], calendar).reduce((set, day) => set | (1n << BigInt(day - first)), 0n));
  for (let a = 0; a < items.length; a += 1) for (let b = a + 1; b < items.length; b += 1) if ((bits[a]! & bits[b]!) === 0n) return [items[a]!, items[b]!];
  for (let a = 0; a < items.length; a += 1) for (let b = a + 1; b < items.length; b += 1) {
    const both = bits[a]! & bits[b]!;
    for (let c = b + 1; c < items.length; c += 1) if ((both & bits[c]!) === 0n) return [items[a]!, items[b]!, items[c]!];
  }
  return null;
}

function whyTwo(first: Item, second: Item): string {
  const [early, late] = first.lapses <= second.lapses ? [first, second] : [second, first];
  return early.lapses < late.opens
    ? `${early.window.name} lapses ${dayInWords(early.lapses)}, before ${late.window.name} opens ${dayInWords(late.opens)}`
    : `both are open from ${dayInWords(Math.max(early.opens, late.opens))} to ${dayInWords(early.lapses)}, but no day of that can be used`;
}

function whyThree(clash: readonly Item[], calendar: AccessCalendar): string {
  const each = clash.flatMap((one, at) => clash.slice(at + 1).map((other) => `${one.window.name} and ${other.window.name} on ${runsInWords(daysOf([one, other], calendar))}`));
  return `every two of them can be done together, but no day suits all three: ${each.join('; ')}`;
}

/** What keeps these from one visit, and what a person can do. Null when one visit does. */
export function whyApart(items: readonly Item[], calendar: AccessCalendar): Clash | null {
  const clash = fewestClashing(items, calendar);
  if (clash === null) return null;
  const [first, second, ...further] = clash as [Item, Item, ...Item[]];
  const noisy = clash.filter((item) => item.window.noisy);
  const silent = noisy.length === 0 ? [] : daysOf(clash.map(silently), calendar);
  const early = clash.reduce((held, item) => (item.lapses < held.lapses ? item : held));
  const late = clash.reduce((held, item) => (item.opens > held.opens ? item : held));
  const before = early === late || early.lapses < late.opens ? null : usableFrom({ ...early, window: { ...early.window, noisy: noisy.length > 0 } }, late.opens, -1, calendar);
  const waysOut = [
    ...(silent.length > 0 ? [`split: the silent part of all on ${runsInWords(silent)}, the sounding part of ${noisy.map((item) => item.window.name).join(' and ')} on a day agreed for noise`] : []),
    ...(early.lapses < late.opens ? [`${late.window.name} early, by ${dayInWords(early.lapses)}, if its regime counts that: ${counted(late.opens - early.lapses)} before it opens`] : []),
    ...(before !== null && clash.every((item) => item === late || isUsable(item, before, calendar)) ? [`all on ${dayInWords(before)}, before the closure, if the regime of ${late.window.name} counts it early`] : []),
    'several visits, as above',
    PAUSE,
  ];
  const why = further.length === 0 ? whyTwo(first, second) : whyThree(clash, calendar);
  return { first: first.window.name, second: second.window.name, further: further.map((item) => item.window.name), why, waysOut };
}

