import { RecurrenceInputError } from './errors.js';
import { type WrittenTime, readTime } from './zone.js';

/** Frequencies in the order of RFC 5545 section 3.3.10, coarse to fine. */
export const FREQUENCIES = ['YEARLY', 'MONTHLY', 'WEEKLY', 'DAILY', 'HOURLY', 'MINUTELY', 'SECONDLY'] as const;
export type Frequency = (typeof FREQUENCIES)[number];
export const WEEKDAYS = ['MO', 'TU', 'WE', 'TH', 'FR', 'SA', 'SU'] as const;

/** One BYDAY entry: weekday 0 (Monday) to 6, and the ordinal where one is given (never 0). */
export interface ByDay {
  readonly weekday: number;
  readonly nth: number | null;
}

/** A recurrence rule in parts, checked against RFC 5545 section 3.3.10. */
export interface RuleParts {
  readonly freq: Frequency;
  readonly interval: number;
  readonly count: number | null;
  readonly until: WrittenTime | null;
  /** 0 (Monday) to 6; the RFC's default is Monday. */
  readonly weekStart: number;
  readonly byDay: readonly ByDay[];
  readonly byMonth: readonly number[];
  readonly byMonthDay: readonly number[];
  readonly byYearDay: readonly number[];
  readonly byWeekNo: readonly number[];
  readonly byHour: readonly number[];
  readonly byMinute: readonly number[];
  readonly bySecond: readonly number[];
  readonly bySetPos: readonly number[];
}

const NAMES = ['FREQ', 'INTERVAL', 'COUNT', 'UNTIL', 'WKST', 'BYDAY', 'BYMONTH', 'BYMONTHDAY', 'BYYEARDAY', 'BYWEEKNO', 'BYHOUR', 'BYMINUTE', 'BYSECOND', 'BYSETPOS'];

const refuse = (name: string, value: string, accepted: string): never => {
  throw new RecurrenceInputError(`rrule ${name}`, value, accepted);
};

function cut(text: string): Map<string, string> {
  const parts = new Map<string, string>();
  const body = text.trim().replace(/^RRULE:/i, '');
  for (const piece of body.split(';')) {
    if (piece === '' && body !== '') continue;
    const at = piece.indexOf('=');
    const name = piece.slice(0, Math.max(at, 0)).trim().toUpperCase();
    const value = piece.slice(at + 1).trim().toUpperCase();
    if (!NAMES.includes(name) || value === '') refuse('part', piece, `NAME=VALUE parts joined by ';', NAME one of ${NAMES.join(', ')}`);
    if (parts.has(name)) refuse(name, value, 'each part once');
    parts.set(name, value);
  }
  return parts;
}

function wholeNumber(name: string, value: string): number {
  const number = Number(value);
  if (!/^\d+$/.test(value) || number < 1 || number > 1_000_000) refuse(name, value, 'a whole number from 1 to 1000000');
  return number;
}

/** Comma list of whole numbers between low and high; negatives mirror them when signed. */
function numbers(parts: Map<string, string>, name: string, low: number, high: number, signed: boolean): number[] {
  const value = parts.get(name);
  if (value === undefined) return [];
  const accepted = signed ? `${low} to ${high} or -${high} to -${low}, joined by commas` : `${low} to ${high}, joined by commas`;
  const list = value.split(',').map((piece) => {
    const number = Number(piece);
    const size = signed ? Math.abs(number) : number;
    if (!/^[+-]?\d+$/.test(piece) || size < low || size > high || (!signed && piece.startsWith('-'))) refuse(name, piece, accepted);
    return number;
  });
  return [...new Set(list)].sort((a, b) => a - b);
}

function byDay(value: string | undefined, freq: Frequency, hasWeekNo: boolean): ByDay[] {
  if (value === undefined) return [];
  return value.split(',').map((piece) => {
    const found = /^([+-]?\d{1,2})?(MO|TU|WE|TH|FR|SA|SU)$/.exec(piece);
    if (!found) return refuse('BYDAY', piece, 'weekdays MO TU WE TH FR SA SU, with an ordinal such as 1MO or -2FR for MONTHLY and YEARLY');
    const nth = found[1] === undefined ? null : Number(found[1]);
    if (nth !== null) {
      if (freq !== 'MONTHLY' && freq !== 'YEARLY') refuse('BYDAY', piece, `no ordinal with FREQ=${freq}`);
      if (freq === 'YEARLY' && hasWeekNo) refuse('BYDAY', piece, 'no ordinal together with BYWEEKNO');
      if (nth === 0 || Math.abs(nth) > 53) refuse('BYDAY', piece, 'an ordinal from 1 to 53 or -53 to -1');
    }
    return { weekday: WEEKDAYS.indexOf(found[2] as (typeof WEEKDAYS)[number]), nth };
  });
}

function refuseForbiddenPairs(parts: Map<string, string>, freq: Frequency): void {
  const forbidden: [string, readonly Frequency[]][] = [
    ['BYWEEKNO', ['MONTHLY', 'WEEKLY', 'DAILY', 'HOURLY', 'MINUTELY', 'SECONDLY']],
    ['BYYEARDAY', ['MONTHLY', 'WEEKLY', 'DAILY']],
    ['BYMONTHDAY', ['WEEKLY']],
  ];
  for (const [name, frequencies] of forbidden) {
    const value = parts.get(name);
    if (value !== undefined && frequencies.includes(freq)) refuse(name, value, `no ${name} with FREQ=${freq} (RFC 5545 section 3.3.10)`);
  }
  if (parts.has('COUNT') && parts.has('UNTIL')) refuse('UNTIL', parts.get('UNTIL') as string, 'COUNT or UNTIL, not both');
  const others = NAMES.filter((name) => name.startsWith('BY') && name !== 'BYSETPOS');
  if (parts.has('BYSETPOS') && !others.some((name) => parts.has(name))) {
    refuse('BYSETPOS', parts.get('BYSETPOS') as string, 'BYSETPOS only beside another BY part');
  }
}

/**
 * Reads a recurrence rule, with or without 'RRULE:' in front.
 * @throws RecurrenceInputError naming the part, its value and what is accepted
 */
export function readRule(text: string): RuleParts {
  const parts = cut(text);
  const freq = (parts.get('FREQ') ?? refuse('FREQ', '', `one of ${FREQUENCIES.join(', ')}`)) as Frequency;
  if (!FREQUENCIES.includes(freq)) refuse('FREQ', freq, `one of ${FREQUENCIES.join(', ')}`);
  refuseForbiddenPairs(parts, freq);
  const weekStart = parts.get('WKST') ?? 'MO';
  if (!WEEKDAYS.includes(weekStart as (typeof WEEKDAYS)[number])) refuse('WKST', weekStart, `one of ${WEEKDAYS.join(', ')}`);
  const count = parts.get('COUNT');
  const until = parts.get('UNTIL');
  return {
    freq,
    interval: wholeNumber('INTERVAL', parts.get('INTERVAL') ?? '1'),
    count: count === undefined ? null : wholeNumber('COUNT', count),
    until: until === undefined ? null : readTime(until, 'rrule UNTIL'),
    weekStart: WEEKDAYS.indexOf(weekStart as (typeof WEEKDAYS)[number]),
    byDay: byDay(parts.get('BYDAY'), freq, parts.has('BYWEEKNO')),
    byMonth: numbers(parts, 'BYMONTH', 1, 12, false),
    byMonthDay: numbers(parts, 'BYMONTHDAY', 1, 31, true),
    byYearDay: numbers(parts, 'BYYEARDAY', 1, 366, true),
    byWeekNo: numbers(parts, 'BYWEEKNO', 1, 53, true),
    byHour: numbers(parts, 'BYHOUR', 0, 23, false),
    byMinute: numbers(parts, 'BYMINUTE', 0, 59, false),
    bySecond: numbers(parts, 'BYSECOND', 0, 59, false),
    bySetPos: numbers(parts, 'BYSETPOS', 1, 366, true),
  };
}
