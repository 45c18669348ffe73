import { type Cadence, checkCadence, timeline } from '@bellround/recurrence';
import { describe, expect, it } from 'vitest';
import { CADENCE_KINDS, cadenceOfKind } from './cadence-kinds.js';

const given: readonly Cadence[] = [
  { kind: 'since-last', min: { months: 9 }, nominal: { months: 12 }, max: { months: 15 } },
  { kind: 'since-last', min: { days: 1 }, nominal: { days: 7 }, max: { days: 8 } },
  { kind: 'fixed-month', everyMonths: 120, dueMonth: 3, dueDay: 31, early: { months: 1 }, late: { months: 1 } },
  { kind: 'once-per', period: 'week', minGapDays: 0 },
  { kind: 'calendar-rule', dtstart: '2026-03-02', timeZone: 'UTC', rrule: 'FREQ=YEARLY;BYMONTH=3,9;BYDAY=1MO', earlyDays: 7, lateDays: 7 },
  { kind: 'share', period: 'quarter', numerator: 1, denominator: 4 },
  { kind: 'age', years: 100, early: { months: 6 }, late: { days: 0 } },
  { kind: 'after-event', within: { days: 14 }, late: { days: 0 } },
  { kind: 'extending', first: { months: 12 }, base: { months: 24 }, extended: { months: 60 }, afterClean: 2, early: { months: 3 }, late: { days: 0 } },
];

describe('another kind of cadence', () => {
  it('offers every kind of the engine, each once', () => {
    expect(new Set(CADENCE_KINDS)).toEqual(new Set(given.map((cadence) => cadence.kind)));
    expect(new Set(CADENCE_KINDS).size).toBe(CADENCE_KINDS.length);
  });
  it.each(given.flatMap((before) => CADENCE_KINDS.map((kind) => [before.kind, kind, before] as const)))('%s to %s is complete, within bounds and gives windows', (_, kind, before) => {
    const made = cadenceOfKind(kind, before, '2027-03-31', 'Europe/Madrid');
    expect(made.kind).toBe(kind);
    expect(() => checkCadence(made)).not.toThrow();
    const day = '2027-03-31' as never;
    const more = kind === 'share' ? { units: [{ key: 'a', from: day, to: null }] } : kind === 'after-event' ? { events: [{ on: day, ref: 'e' }] } : {};
    expect(timeline({ cadence: made, from: day, basisOn: day, proofs: [], ...more }, '2027-06-01' as never).length).toBeGreaterThan(0);
  });
  it('comes round about as often as before', () => {
    const yearly = given[0]!;
    expect(cadenceOfKind('fixed-month', yearly, '2027-03-31', 'UTC')).toMatchObject({ everyMonths: 12, dueMonth: 3 });
    expect(cadenceOfKind('once-per', yearly, '2027-03-31', 'UTC')).toMatchObject({ period: 'year' });
    expect(cadenceOfKind('calendar-rule', yearly, '2027-03-31', 'UTC')).toMatchObject({ dtstart: '2027-03-01', rrule: 'FREQ=MONTHLY;INTERVAL=12;BYMONTHDAY=1' });
    expect(cadenceOfKind('since-last', { kind: 'once-per', period: 'half-year', minGapDays: 120 }, '2027-03-31', 'UTC')).toMatchObject({ min: { months: 4 }, nominal: { months: 6 }, max: { months: 8 } });
    expect(cadenceOfKind('since-last', yearly, '2027-03-31', 'UTC')).toBe(yearly);
  });
});
