import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type LocalDate, addDays, addMonths, dayNumber, daysBetween, fromDayNumber, instantAt, localDate, localDateAt, localDateTimeAt, weekdayOf } from './index.js';

const d = (text: string): LocalDate => localDate(text);

describe('local dates', () => {
  it.each(['2027-02-30', '2027-13-01', '2027-2-3', '27-02-03', '2027-02-29', '', '0000-01-01', '2027-00-10', '2027-04-31', '1900-02-29', '20:7-03-01', '20/7-03-01', '2027/03-01', '2027-03/01', '2027-03-011', '2027-03-0'])('[REC-1] refuses "%s" with the accepted form', (text) => {
    expect(() => localDate(text, 'window opens')).toThrow(`window opens: "${text}" is not accepted; accepted: a true calendar date written YYYY-MM-DD`);
  });
  it.each(['2028-02-29', '2000-02-29', '0001-01-01', '9999-12-31'])('[REC-1] accepts %s', (text) => expect(localDate(text)).toBe(text));
  it('[REC-1] refuses day numbers outside the calendar', () => {
    for (const day of [-719163, 2932897, 0.5, Number.NaN]) expect(() => fromDayNumber(day)).toThrow('day number');
    expect([fromDayNumber(-719162), fromDayNumber(0), fromDayNumber(2932896)]).toEqual(['0001-01-01', '1970-01-01', '9999-12-31']);
  });
  it('[REC-2] clips to the month end, and holds a basis day', () => {
    expect(addMonths(d('2026-08-31'), 6)).toBe('2027-02-28');
    expect(addMonths(d('2027-02-28'), 6)).toBe('2027-08-28');
    expect(addMonths(d('2027-02-28'), 6, 31)).toBe('2027-08-31');
    expect(addMonths(d('2028-02-29'), 12)).toBe('2029-02-28');
    expect(addMonths(d('2027-03-31'), -1)).toBe('2027-02-28');
    expect(addMonths(d('2027-01-15'), -13)).toBe('2025-12-15');
  });
  it('[REC-1] agrees with the UTC calendar of the machine on every day of 1600 to 2400', () => {
    const day = 86_400_000;
    for (let n = dayNumber(d('1600-01-01')); n <= dayNumber(d('2400-12-31')); n += 1) {
      const text = new Date(n * day).toISOString().slice(0, 10);
      if (fromDayNumber(n) !== text || dayNumber(text as LocalDate) !== n) throw new Error(`day ${n}: ${text} and ${fromDayNumber(n)}`);
    }
  });
  it('[REC-3] 1 Mar 2027 is a Monday; weekdays run on', () => {
    expect(weekdayOf(d('2027-03-01'))).toBe(1);
    expect(weekdayOf(d('2027-03-07'))).toBe(7);
    expect(weekdayOf(d('1969-12-31'))).toBe(3);
  });
  it('[REC-1] differences and sums undo each other', () => {
    fc.assert(fc.property(fc.integer({ min: -200_000, max: 200_000 }), fc.integer({ min: -100_000, max: 100_000 }), (n, days) => {
      const date = fromDayNumber(n);
      expect(daysBetween(date, addDays(date, days))).toBe(days);
    }), { seed: 11, numRuns: 500 });
  });
});

describe('zones', () => {
  it('[REC-4] the local date of an instant belongs to the zone', () => {
    expect(localDateAt('2027-03-28T22:30:00Z', 'Europe/Madrid')).toBe('2027-03-29');
    expect(localDateAt('2027-03-28T22:30:00Z', 'UTC')).toBe('2027-03-28');
    expect(localDateTimeAt('2027-03-28T01:30:00Z', 'Europe/Madrid')).toBe('2027-03-28T03:30:00');
    expect(localDateTimeAt('2027-03-28T01:30:00+02:00', 'Asia/Kathmandu')).toBe('2027-03-28T05:15:00');
  });
  it('[REC-4] a skipped wall time is read with the offset before the gap, a double one is the first', () => {
    expect(instantAt('2027-03-28T02:30:00', 'Europe/Madrid')).toBe('2027-03-28T01:30:00.000Z');
    expect(instantAt('2027-10-31T02:30:00', 'Europe/Madrid')).toBe('2027-10-31T00:30:00.000Z');
    expect(instantAt('2027-10-31T03:30:00', 'Europe/Madrid')).toBe('2027-10-31T02:30:00.000Z');
  });
  it('[REC-1] names an unknown zone, a bad instant and a bad wall time', () => {
    expect(() => localDateAt('2027-03-28T22:30:00Z', 'Mars/Base')).toThrow('timeZone: "Mars/Base" is not accepted; accepted: an IANA zone name');
    expect(() => localDateAt('2027-03-28T22:30:00', 'UTC')).toThrow('an ISO instant with its offset');
    expect(() => instantAt('2027-02-30T10:00:00', 'UTC')).toThrow('2027-02-30T10:00:00');
  });
  it('[REC-4] every instant of a fleet comes back, except the second of a double hour', () => {
    const zones = ['Europe/Madrid', 'America/New_York', 'Australia/Lord_Howe', 'Asia/Kathmandu', 'Africa/Casablanca', 'Pacific/Apia', 'UTC'];
    let doubled = 0;
    fc.assert(fc.property(fc.constantFrom(...zones), fc.integer({ min: 1_000_000_000, max: 2_000_000_000 }), (zone, seconds) => {
      const iso = new Date(seconds * 1000).toISOString();
      const back = Date.parse(instantAt(localDateTimeAt(iso, zone), zone)) / 1000;
      if (back !== seconds) {
        doubled += 1;
        expect(seconds - back).toBeGreaterThan(0);
        expect(seconds - back).toBeLessThanOrEqual(3600);
      }
    }), { seed: 12, numRuns: 3000 });
    expect(doubled).toBeLessThan(30);
  });
});
