import type { Cadence, CadenceKind, Period, Span } from '@bellround/recurrence';

/** Every kind of cadence, in the order it is offered. */
export const CADENCE_KINDS: readonly CadenceKind[] = ['since-last', 'fixed-month', 'once-per', 'calendar-rule', 'share', 'age', 'after-event', 'extending'];

const PERIOD_MONTHS: Record<Period, number> = { week: 0, month: 1, quarter: 3, 'half-year': 6, year: 12 };
const inMonths = (span: Span): number => ('months' in span ? span.months : Math.round(span.days / 30.44));

/** About how many months lie between two of it; 12 where a cadence names no interval. Less than half a month is 0: weekly. */
function monthsOf(cadence: Cadence): number {
  switch (cadence.kind) {
    case 'since-last': return inMonths(cadence.nominal);
    case 'fixed-month': return cadence.everyMonths;
    case 'once-per': case 'share': return PERIOD_MONTHS[cadence.period];
    case 'age': return cadence.years * 12;
    case 'extending': return inMonths(cadence.base);
    default: return 12;
  }
}

const periodOf = (months: number): Period => (months < 1 ? 'week' : months < 3 ? 'month' : months < 6 ? 'quarter' : months < 12 ? 'half-year' : 'year');
const whole = (months: number): number => Math.min(120, Math.max(1, Math.round(months)));

/**
 * A cadence of another kind that comes round about as often as the one before, complete and within the engine's bounds, to be
 * edited further. What the kinds share is kept.
 * @param on first day of a calendar rule, YYYY-MM-DD
 * @param timeZone the company's, for a calendar rule
 */
export function cadenceOfKind(kind: CadenceKind, before: Cadence, on: string, timeZone: string): Cadence {
  if (kind === before.kind) return before;
  const months = Math.min(960, monthsOf(before));
  switch (kind) {
    case 'since-last': return months < 1 ? { kind, min: { days: 1 }, nominal: { days: 7 }, max: { days: 8 } }
      : { kind, min: { months: Math.floor(months * 0.75) }, nominal: { months }, max: { months: Math.ceil(months * 1.25) } };
    case 'fixed-month': return { kind, everyMonths: whole(months), dueMonth: Number(on.slice(5, 7)), dueDay: 'month-end', early: { months: whole(months) > 2 ? 1 : 0 }, late: { months: whole(months) > 2 ? 1 : 0 } };
    case 'once-per': return { kind, period: periodOf(months), minGapDays: 0 };
    case 'calendar-rule': {
      // The first of a month or the day's own weekday: a day that DTSTART meets, as the engine asks.
      const rrule = months < 1 ? 'FREQ=WEEKLY' : `FREQ=MONTHLY;INTERVAL=${whole(months)};BYMONTHDAY=1`;
      return { kind, dtstart: months < 1 ? on : `${on.slice(0, 8)}01`, timeZone, rrule, earlyDays: months < 1 ? 1 : 14, lateDays: months < 1 ? 1 : 14 };
    }
    case 'share': return { kind, period: periodOf(Math.min(months, 3)), numerator: 1, denominator: 4 };
    case 'age': return { kind, years: Math.min(100, Math.max(1, Math.round(months / 12))), early: { months: 6 }, late: { days: 0 } };
    case 'after-event': return { kind, within: { days: 14 }, late: { days: 0 } };
    case 'extending': return { kind, first: { months: whole(months) }, base: { months: whole(months) }, extended: { months: whole(months) * 2 }, afterClean: 2, early: { months: whole(months) > 2 ? 1 : 0 }, late: { days: 0 } };
  }
}
