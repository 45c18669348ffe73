import type { WeeklyHours } from './basics.js';
import type { CellType } from './cells.js';

/** Monday first, as ISO 8601 counts. */
const DAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;
const WHOLE_DAY = { from: '00:00', to: '23:59' };

export interface Hours extends WeeklyHours { readonly breakMin?: number }

/** Hours of a week in words: `Mon-Fri 08:00-18:00; Sat 09:00-12:00`, `any time`, or `never` when there are none. */
export function hoursInWords(hours: readonly Hours[]): string {
  if (hours.length === 0) return 'never';
  if (hours.length === 7 && hours.every((one) => one.from === WHOLE_DAY.from && one.to === WHOLE_DAY.to)) return 'any time';
  const byTime = new Map<string, number[]>();
  for (const one of sorted(hours)) {
    const time = `${one.from}-${one.to}${one.breakMin ? ` break ${one.breakMin}` : ''}`;
    byTime.set(time, [...(byTime.get(time) ?? []), one.weekday]);
  }
  return [...byTime].map(([time, days]) => `${daysInWords(days)} ${time}`).join('; ');
}

function sorted<T extends Hours>(hours: readonly T[]): T[] {
  return [...hours].sort((a, b) => a.weekday - b.weekday || a.from.localeCompare(b.from));
}

function daysInWords(days: readonly number[]): string {
  const runs: [number, number][] = [];
  for (const one of days) {
    const last = runs.at(-1);
    if (last && last[1] === one - 1) last[1] = one;
    else runs.push([one, one]);
  }
  return runs.map(([first, last]) => (first === last ? DAYS[first - 1] : `${DAYS[first - 1]}-${DAYS[last - 1]}`)).join(',');
}

/** Reads what `hoursInWords` writes; the answer is sorted. Gives the problem in words when it cannot be read. */
export function readHours(text: string, breaks: boolean): { hours: Hours[] } | { problem: string } {
  if (/^any ?time$/i.test(text)) return { hours: DAYS.map((_, index) => ({ weekday: index + 1, ...WHOLE_DAY })) };
  if (/^never$/i.test(text)) return { hours: [] };
  const hours: Hours[] = [];
  for (const part of text.split(';').map((piece) => piece.trim()).filter((piece) => piece !== '')) {
    const found = /^([A-Za-z, -]+?)\s+(\d{2}:\d{2})\s*-\s*(\d{2}:\d{2})(?:\s+break\s+(\d{1,3}))?$/.exec(part);
    if (!found) return { problem: `"${part}" is not days and hours` };
    const [, daysText, from, to, rest] = found as unknown as [string, string, string, string, string | undefined];
    const days = readDays(daysText);
    if (days === null) return { problem: `"${daysText}" names no weekdays` };
    if (![from, to].every((time) => /^([01]\d|2[0-3]):[0-5]\d$/.test(time))) return { problem: `"${from}-${to}" is no time of day` };
    if (from >= to) return { problem: `"${from}-${to}" ends before it begins` };
    if (rest !== undefined && !breaks) return { problem: 'a break belongs to shifts only' };
    for (const weekday of days) hours.push({ weekday, from, to, ...(rest === undefined ? {} : { breakMin: Number(rest) }) });
  }
  const order = sorted(hours);
  const overlap = order.find((one, index) => index > 0 && order[index - 1]!.weekday === one.weekday && order[index - 1]!.to > one.from);
  return overlap ? { problem: `two ranges overlap on ${DAYS[overlap.weekday - 1]}` } : { hours: order };
}

function readDays(text: string): number[] | null {
  const number = (name: string) => DAYS.findIndex((one) => one.toLowerCase() === name.trim().slice(0, 3).toLowerCase()) + 1;
  const days: number[] = [];
  for (const part of text.split(',')) {
    const [first = '', last = first] = part.split('-');
    const [from, to] = [number(first), number(last)];
    if (from === 0 || to === 0 || from > to) return null;
    for (let one = from; one <= to; one++) days.push(one);
  }
  return days;
}

/** A cell of weekly hours. `breaks`: shifts may end in `break 30`. */
export function weeklyHours(breaks = false): CellType {
  return {
    accepted: `weekdays and hours such as "Mon-Fri 08:00-18:00; Sat 09:00-12:00"${breaks ? ', with "break 30" after a range for an unpaid break in minutes' : ''}; or "any time" or "never"`,
    stages: [{ suffix: '', type: 'jsonb' }], free: false,
    show: ([given]) => (given === null || given === undefined ? '' : hoursInWords(given as Hours[])),
    read: (text) => { const read = readHours(text, breaks); return 'problem' in read ? read : { values: [JSON.stringify(read.hours)] }; },
  };
}
