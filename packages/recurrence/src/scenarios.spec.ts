import { describe, expect, it } from 'vitest';
import { type AccessCalendar, type Cadence, type LocalDate, completionOf, doTogether, lateBecause, standingOfDuty, timeline, usableDates } from './index.js';

const d = (text: string): LocalDate => text as LocalDate;

describe('scenario 3: Ostrel primary school, three authorities and exams', () => {
  const fire: Cadence = { kind: 'since-last', min: { days: 275 }, nominal: { days: 365 }, max: { days: 365 } };
  const body: Cadence = { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 'month-end', early: { months: 1 }, late: { months: 1 } };
  const insurer: Cadence = { kind: 'once-per', period: 'half-year', minGapDays: 120 };
  const at = d('2027-03-01');
  const from = d('2026-12-01');
  const windows = [
    { name: 'fire authority', cadence: fire, basisOn: '2026-04-10', noisy: true, rolling: true },
    { name: 'certification body', cadence: body, basisOn: '2026-03-20', noisy: true, rolling: false },
    { name: 'insurer', cadence: insurer, basisOn: '2026-11-20', noisy: true, rolling: false },
  ].map(({ name, cadence, basisOn, noisy, rolling }) => {
    const window = timeline({ cadence, from, basisOn: d(basisOn), proofs: [] }, at).at(-1)!;
    return { name, opens: window.opens, lapses: window.lapses, noisy, ...(rolling ? { rollingDue: window.due } : {}) };
  });
  const calendar: AccessCalendar = { openWeekdays: [1, 2, 3, 4, 5], quiet: [{ from: d('2027-03-22'), to: d('2027-04-02'), reason: 'exams' }] };

  it('[REC-20] [REC-25] each authority has its own window', () => {
    expect(windows.map((w) => [w.name, w.opens, w.lapses])).toEqual([
      ['fire authority', '2027-01-10', '2027-04-10'], ['certification body', '2027-02-01', '2027-04-30'], ['insurer', '2027-03-20', '2027-06-30']]);
  });
  it('[REC-70] without a calendar the shared window is 2027-03-20 to 04-10', () => {
    const { visits } = doTogether(windows);
    expect(visits).toHaveLength(1);
    expect([visits[0]!.days[0], visits[0]!.days.at(-1)]).toEqual(['2027-03-20', '2027-04-10']);
    expect(visits[0]!.notBefore.rule).toBe('insurer opens 20 Mar 2027');
    expect(visits[0]!.notAfter.rule).toBe('fire authority lapses 10 Apr 2027');
  });
  it('[REC-71] with exams and weekends everything fits in one visit on 5 to 9 April only, and the edges say why', () => {
    const { visits } = doTogether(windows, calendar);
    expect(visits).toHaveLength(1);
    expect(visits[0]!.days).toEqual(['2027-04-05', '2027-04-06', '2027-04-07', '2027-04-08', '2027-04-09']);
    expect(visits[0]!.notBefore.rule).toBe('no sounders: exams');
    expect(visits[0]!.notAfter.rule).toBe('fire authority lapses 10 Apr 2027');
    expect(visits[0]!.best).toBe('2027-04-09');
    expect(visits[0]!.givenAway).toEqual([{ name: 'fire authority', days: 1 }]);
  });
  it('[REC-72] the alternative: silent part from 22 March, sounding part 5 to 9 April', () => {
    const { split } = doTogether(windows, calendar);
    expect(split!.silent.days[0]).toBe('2027-03-22');
    expect(split!.sounding.days).toEqual(['2027-04-05', '2027-04-06', '2027-04-07', '2027-04-08', '2027-04-09']);
  });
  it('[REC-73] two windows that never touch name the pair and its dates', () => {
    const { visits, apart } = doTogether([
      { name: 'early', opens: d('2027-01-04'), lapses: d('2027-01-29'), noisy: false }, { name: 'late', opens: d('2027-02-01'), lapses: d('2027-02-26'), noisy: false }]);
    expect(visits).toHaveLength(2);
    expect(apart).toMatchObject({ first: 'early', second: 'late', further: [], why: 'early lapses 29 Jan 2027, before late opens 1 Feb 2027' });
  });
  it('[REC-74] a silent day that suits both beats two visits, even when it is not the last day of either', () => {
    const { visits } = doTogether([
      { name: 'silent', opens: d('2027-03-15'), lapses: d('2027-04-02'), noisy: false }, { name: 'loud', opens: d('2027-03-15'), lapses: d('2027-04-09'), noisy: true }], calendar);
    expect(visits).toHaveLength(1);
    expect(visits[0]!.days.at(-1)).toBe('2027-03-19');
  });
});

describe('scenario 17: stopped half-way', () => {
  const items = (rest: string | null) => Array.from({ length: 30 }, (_, i) => ({ key: `item-${i + 1}`, on: i < 22 ? d('2027-03-01') : rest === null ? null : d(rest) }));
  it('[REC-80] 22 of 30 done: 8 left, 44 minutes, no completion', () => {
    expect(completionOf(items(null), 14, 5.5)).toEqual({ completedOn: null, done: 22, left: 8, leftMinutes: 44, redo: [], restBy: '2027-03-15' });
  });
  it('[REC-81] all within 14 days: the date is the last item\'s', () => {
    expect(completionOf(items('2027-03-15'), 14, 5.5)).toMatchObject({ completedOn: '2027-03-15', redo: [] });
  });
  it('[REC-82] beyond 14 days: the 22 are done again', () => {
    const late = completionOf(items('2027-03-16'), 14, 5.5);
    expect(late.completedOn).toBeNull();
    expect(late.redo).toHaveLength(22);
  });
});

describe('scenario 19: no access, and a seasonal site', () => {
  const annual: Cadence = { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 'month-end', early: { months: 1 }, late: { months: 1 } };
  const history = { cadence: annual, from: d('2026-06-01'), basisOn: d('2026-03-10'), proofs: [{ on: d('2027-05-12'), ref: 'check-1' }] };
  const window = timeline(history, d('2027-06-01'))[0]!;
  const door = (on: string, isProven = true) => ({ on: d(on), how: 'at-door' as const, isProven });
  it('[REC-21] it counts as late in truth', () => {
    expect(window).toMatchObject({ opens: '2027-02-01', lapses: '2027-04-30', outcome: 'late', lateDays: 12 });
    expect(standingOfDuty(history, d('2027-05-01'))).toBe('lapsed');
  });
  it('[REC-83] three attempts and a letter: attributed to the customer', () => {
    expect(lateBecause(window, [door('2027-03-02'), door('2027-03-09'), door('2027-04-24'), { on: d('2027-03-25'), how: 'letter', isProven: true }]))
      .toEqual({ who: 'customer', words: 'customer (3 attempts, letter)' });
  });
  it('[REC-83] one unproven attempt: ours', () => {
    expect(lateBecause(window, [door('2027-03-02', false)])).toEqual({ who: 'ours', words: 'ours (1 attempt, 0 proven; 2 are needed)' });
  });
  it('[REC-75] shut 1 Nov to 31 Mar: usable 1 to 30 April, 22 weekdays', () => {
    const calendar: AccessCalendar = { openWeekdays: [1, 2, 3, 4, 5], closedSeasons: [{ from: '11-01', to: '03-31', reason: 'shut for the winter' }] };
    const days = usableDates(window.opens, window.lapses, calendar);
    expect(days).toHaveLength(22);
    expect([days[0], days.at(-1)]).toEqual(['2027-04-01', '2027-04-30']);
    const [visit] = doTogether([{ name: 'annual', opens: window.opens, lapses: window.lapses, noisy: false }], calendar).visits;
    expect(visit!.notBefore.rule).toBe('shut for the winter');
  });
});
