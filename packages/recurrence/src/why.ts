import type { Cadence, Period, Span } from './cadence.js';
import { dayInWords, dayNumber } from './local-date.js';
import type { DayWindow, DutyWindow, Unmet } from './duty-history.js';

const MONTHS = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December'];
const EVERY_MONTHS: Record<number, string> = { 1: 'monthly', 3: 'quarterly', 6: 'half-yearly', 12: 'annual' };
const EVERY_PERIOD: Record<Period, string> = {
  week: 'once in each calendar week', month: 'once in each calendar month', quarter: 'once in each calendar quarter',
  'half-year': 'once in each calendar half-year', year: 'once in each calendar year',
};

const counted = (n: number, unit: string): string => `${n} ${unit}${n === 1 ? '' : 's'}`;

/** '6 months', '5 years', '30 days'. */
export function spanInWords(span: Span): string {
  if ('days' in span) return counted(span.days, 'day');
  return span.months > 12 && span.months % 12 === 0 ? counted(span.months / 12, 'year') : counted(span.months, 'month');
}

function every(span: Span): string {
  if ('days' in span) return span.days === 7 ? 'weekly' : span.days === 1 ? 'daily' : `every ${counted(span.days, 'day')}`;
  return EVERY_MONTHS[span.months] ?? `every ${spanInWords(span)}`;
}

function range(low: Span, high: Span): string {
  const isNothing = 'days' in low ? low.days === 0 : low.months === 0;
  if (isNothing) return `up to ${spanInWords(high)}`;
  if ('months' in low && 'months' in high) return low.months === high.months ? spanInWords(high) : `${low.months} to ${counted(high.months, 'month')}`;
  if ('days' in low && 'days' in high) return low.days === high.days ? spanInWords(high) : `${low.days} to ${counted(high.days, 'day')}`;
  return `${spanInWords(low)} to ${spanInWords(high)}`;
}

const isNothing = (span: Span): boolean => ('days' in span ? span.days : span.months) === 0;
function tolerance(early: Span, late: Span): string {
  const words = [isNothing(early) ? '' : `from ${spanInWords(early)} before`, isNothing(late) ? '' : `to ${spanInWords(late)} after`].filter((part) => part !== '');
  return words.length === 0 ? '' : `, ${words.join(' ')}`;
}

/** What a cadence asks, in words: 'annual, 9 to 15 months after the last proof'. */
export function cadenceInWords(cadence: Cadence, basis = 'the last proof'): string {
  switch (cadence.kind) {
    case 'since-last': return `${every(cadence.nominal)}, ${range(cadence.min, cadence.max)} after ${basis}`;
    case 'fixed-month': {
      const day = cadence.dueDay === 'month-end' ? '' : `${cadence.dueDay} `;
      return `${every({ months: cadence.everyMonths })} by the calendar, due ${day}${MONTHS[cadence.dueMonth - 1]}${tolerance(cadence.early, cadence.late)}`;
    }
    case 'calendar-rule': return `by the calendar (${cadence.rrule})${tolerance({ days: cadence.earlyDays }, { days: cadence.lateDays })}`;
    case 'once-per': return EVERY_PERIOD[cadence.period] + (cadence.minGapDays === 0 ? '' : `, at least ${counted(cadence.minGapDays, 'day')} after ${basis}`);
    case 'age': return `at ${counted(cadence.years, 'year')} of age, counted from ${basis === 'the last proof' ? 'manufacture' : basis}`;
    case 'after-event': return `within ${spanInWords(cadence.within)} of ${basis === 'the last proof' ? 'each event' : basis}`;
    case 'extending': return `every ${spanInWords(cadence.base)}, ${spanInWords(cadence.extended)} after ${counted(cadence.afterClean, 'clean result')} in a row, counted from ${basis}`;
    case 'share': return `${cadence.numerator} of every ${cadence.denominator} units ${EVERY_PERIOD[cadence.period]}, all of them in turn`;
  }
}

// The words of a cadence differ only in the basis date, and a fleet has few cadences: cut once around the date.
const cut = new WeakMap<Cadence, readonly [string, string | null]>();
const PLACE = '\u0000';

function around(cadence: Cadence): readonly [string, string | null] {
  let held = cut.get(cadence);
  if (held === undefined) {
    const parts = cadenceInWords(cadence, PLACE).split(PLACE);
    held = [parts[0] as string, parts[1] ?? null];
    cut.set(cadence, held);
  }
  return held;
}

/** The sentence of one window in day numbers; `unknown` when nothing is known to count from. */
export function whyInWords(cadence: Cadence, window: { opens: number; lapses: number }, basis: number | null, unknown: boolean, unmet: Unmet | null = null): string {
  if (unknown) {
    return `inherited, unproven: no date is known to count from, so due at once: opens ${dayInWords(window.opens)}, lapses ${dayInWords(window.lapses)}`;
  }
  let words: string;
  if (basis === null) words = cadenceInWords(cadence);
  else {
    const [before, after] = around(cadence);
    words = after === null ? before : before + dayInWords(basis) + after;
  }
  const proof = unmet?.lastProof == null ? '' : ` (last proof known: ${dayInWords(unmet.lastProof)})`;
  const stands = unmet === null ? '' : `; nothing met the window that lapsed ${dayInWords(unmet.lapsed)}${proof}, so it stands as lapsed until this one is met`;
  return `${words}: opens ${dayInWords(window.opens)}, lapses ${dayInWords(window.lapses)}${stands}`;
}

/** The sentence of a window out of its numbers: the same words as its DutyWindow carries. */
export const whyOfDays = (cadence: Cadence, window: Pick<DayWindow, 'opens' | 'lapses' | 'basis' | 'unknown' | 'unmet'>): string =>
  whyInWords(cadence, window, window.basis, window.unknown, window.unmet);

/**
 * The window in words a dispatcher understands:
 * 'annual, 9 to 15 months after 4 Mar 2025: opens 4 Dec 2025, lapses 4 Jun 2026'. Without what went before it: a window's own
 * `why` also says which one was not met.
 */
export function whyWindow(cadence: Cadence, window: Pick<DutyWindow, 'opens' | 'due' | 'lapses' | 'basisOn' | 'carried' | 'n'>): string {
  const unknown = window.basisOn === null && window.carried === 'cant-tell' && window.opens === window.due;
  return whyInWords(cadence, { opens: dayNumber(window.opens), lapses: dayNumber(window.lapses) }, window.basisOn === null ? null : dayNumber(window.basisOn), unknown);
}
