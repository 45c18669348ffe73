import { describe, expect, it } from 'vitest';
import { type Cadence, type LocalDate, timeline } from './index.js';

// Taken over without a date, and where a calendar rule ends: what changing one comparison at a time (tests/mutation) had let through.

const d = (text: string): LocalDate => text as LocalDate;
const first = (cadence: Cadence, from: string, horizon: string) => timeline({ cadence, from: d(from), basisOn: null, proofs: [] }, d(horizon));
const edges = (windows: ReturnType<typeof timeline>) => windows.map((w) => `${w.opens}|${w.due}|${w.lapses}|${w.outcome ?? '-'}|${w.carried}`);
const rule = (rrule: string, more: Partial<Cadence & { kind: 'calendar-rule' }> = {}): Cadence => ({ kind: 'calendar-rule', dtstart: '2026-03-01', timeZone: 'Europe/Madrid', rrule, earlyDays: 0, lateDays: 2, ...more });

describe('a catch-up lasts as long as the next two dates of the rule lie apart', () => {
  it('[REC-41] two dates a week apart give a week, and it is missed when the first of them opens', () => {
    expect(edges(first(rule('FREQ=YEARLY;BYMONTH=3;BYMONTHDAY=1,8'), '2026-12-01', '2027-03-01'))).toEqual([
      '2026-12-01|2026-12-01|2026-12-08|missed|cant-tell', '2027-03-01|2027-03-01|2027-03-03|-|lapsed']);
  });
  it('[REC-41] counted from the dates after the first day, not from one on it', () => {
    expect(first(rule('FREQ=YEARLY;BYMONTH=3,6;BYMONTHDAY=1,8'), '2027-03-08', '2027-03-20')[0]).toMatchObject({ opens: '2027-03-08', lapses: '2027-03-15' });
  });
  it('[REC-41] where no two dates are left, a year', () => {
    expect(first(rule('FREQ=YEARLY;COUNT=1', { dtstart: '2028-06-01' }), '2026-12-01', '2027-01-01')[0]).toMatchObject({ opens: '2026-12-01', lapses: '2027-12-01' });
    expect(first(rule('FREQ=YEARLY;COUNT=1', { dtstart: '2026-06-01' }), '2026-12-01', '2027-01-01')[0]).toMatchObject({ opens: '2026-12-01', lapses: '2027-12-01' });
  });
  it('[REC-41] begun on the very day a window opens, it is that window\'s time: the next one takes over, not the same again', () => {
    expect(edges(first(rule('FREQ=MONTHLY;BYMONTHDAY=15', { dtstart: '2026-03-15', earlyDays: 5 }), '2027-02-10', '2027-03-12'))).toEqual([
      '2027-02-10|2027-02-10|2027-03-09|-|cant-tell', '2027-03-10|2027-03-15|2027-03-17|-|cant-tell']);
  });
  it('[REC-41] a calendar period taken over on its first day is missed at its end; on the second day it is rolled into the next, unjudged', () => {
    const monthly: Cadence = { kind: 'once-per', period: 'month', minGapDays: 0 };
    expect(edges(first(monthly, '2027-01-01', '2027-02-05'))).toEqual(['2027-01-01|2027-01-01|2027-01-31|missed|cant-tell', '2027-02-01|2027-02-28|2027-02-28|-|lapsed']);
    expect(edges(first(monthly, '2027-01-02', '2027-02-05'))).toEqual(['2027-01-02|2027-01-02|2027-01-31|-|cant-tell', '2027-02-01|2027-02-28|2027-02-28|-|cant-tell']);
  });
});

describe('how far a calendar rule is looked at', () => {
  it('[REC-31] a date on the as-of day is not one beyond it: the next window still shuts before the one after it is due', () => {
    const yearly = rule('FREQ=YEARLY', { lateDays: 400 });
    const [met, next] = timeline({ cadence: yearly, from: d('2026-06-01'), basisOn: d('2026-03-01'), proofs: [{ on: d('2027-03-01'), ref: 'check-1' }] }, d('2027-03-01'));
    expect(met).toMatchObject({ metOn: '2027-03-01', outcome: 'on-time' });
    expect(next).toMatchObject({ due: '2028-03-01', lapses: '2029-02-28' });
  });
});
