import { describe, expect, it } from 'vitest';
import { type Cadence, type DutyHistory, type LocalDate, type PopulationUnit, lateBecause, completionOf, shareProgress, timeline, usableDates } from './index.js';

// First and last days, order and ends: what changing one comparison at a time (tests/mutation) had let through.

const d = (text: string): LocalDate => text as LocalDate;
const QUARTER: Cadence & { kind: 'share' } = { kind: 'share', period: 'quarter', numerator: 1, denominator: 4 };
const unit = (key: string, from = '2020-01-01', to: string | null = null): PopulationUnit => ({ key, from: d(from), to: to === null ? null : d(to) });
const done = (on: string, ref: string, ...units: string[]) => ({ on: d(on), ref, units });

describe('a share, at its edges', () => {
  it('[REC-29] a unit counts on the day it comes and on the day it goes, and not a day outside', () => {
    const units = [unit('comes', '2027-02-10'), unit('goes', '2020-01-01', '2027-02-10'), unit('stays')];
    const next = (day: string) => shareProgress(QUARTER, { units, proofs: [] }, d(day)).next;
    expect(next('2027-02-09')).toEqual(['goes', 'stays']);
    expect(next('2027-02-10')).toEqual(['comes', 'goes', 'stays']);
    expect(next('2027-02-11')).toEqual(['comes', 'stays']);
  });
  it('[REC-29] names the period and the cycle by their first and last days', () => {
    expect(shareProgress(QUARTER, { units: [unit('a')], proofs: [] }, d('2027-05-05'))).toMatchObject({ periodFrom: '2027-04-01', periodTo: '2027-06-30', cycleFrom: '2027-01-01', cycleTo: '2027-12-31' });
    const weekly: Cadence & { kind: 'share' } = { kind: 'share', period: 'week', numerator: 1, denominator: 2 };
    expect(shareProgress(weekly, { units: [unit('a')], proofs: [] }, d('2027-03-03'))).toMatchObject({ periodFrom: '2027-03-01', periodTo: '2027-03-07' });
  });
  it('[REC-29] proofs told in any order give the same order of units, the longest ago first', () => {
    const proofs = [done('2026-11-03', 'c3', 'a'), done('2026-04-03', 'c1', 'b'), done('2026-02-03', 'c0', 'a'), done('2026-08-03', 'c2', 'c')];
    const next = (list: typeof proofs) => shareProgress(QUARTER, { units: ['a', 'b', 'c', 'd'].map((key) => unit(key)), proofs: list }, d('2027-01-05')).next;
    expect(next(proofs)).toEqual(['d', 'b', 'c', 'a']);
    expect(next([...proofs].reverse())).toEqual(['d', 'b', 'c', 'a']);
  });
  it('[REC-32] of two proofs that fill a share on one day the same one is credited, in whatever order they are told', () => {
    const proofs = [done('2027-02-03', 'c2', 'b'), done('2027-02-03', 'c1', 'a'), done('2027-01-20', 'c0', 'a')];
    const metBy = (list: typeof proofs) => timeline({ cadence: { ...QUARTER, denominator: 2 }, from: d('2027-01-01'), basisOn: d('2026-12-01'), units: ['a', 'b', 'c', 'd'].map((key) => unit(key)), proofs: list }, d('2027-03-01'))[0]!;
    expect(metBy(proofs)).toMatchObject({ metOn: '2027-02-03', metBy: 'c1' });
    expect(metBy([...proofs].reverse())).toEqual(metBy(proofs));
  });
});

describe('a history, at its edges', () => {
  const annual: Cadence = { kind: 'since-last', min: { months: 9 }, nominal: { months: 12 }, max: { months: 12 } };
  const history = (more: Partial<DutyHistory>): DutyHistory => ({ cadence: annual, from: d('2026-06-01'), basisOn: d('2026-03-10'), proofs: [], ...more });
  it('[REC-61] a suspension counts from its first day on, also when that is the last day looked at', () => {
    const pauses = [{ from: d('2027-03-01'), to: d('2027-03-20'), by: 'owner' }];
    const lapses = (horizon: string) => timeline(history({ pauses }), d(horizon)).at(-1)!.lapses;
    expect(lapses('2027-02-28')).toBe('2027-03-10');
    // Ten days were left on 1 March, its own day among them.
    expect(lapses('2027-03-01')).toBe('2027-03-30');
  });
  it('[REC-61] suspensions told in any order move a window the same way', () => {
    const pauses = [{ from: d('2027-03-25'), to: d('2027-04-20'), by: 'owner' }, { from: d('2027-03-01'), to: d('2027-03-20'), by: 'owner' }];
    const lapses = (list: typeof pauses) => timeline(history({ pauses: list }), d('2027-06-01')).at(-1)!.lapses;
    // To 30 March by the first; six days of it were left when the second began.
    expect(lapses(pauses)).toBe('2027-04-26');
    expect(lapses([...pauses].reverse())).toBe('2027-04-26');
  });
  it('[REC-42] a duty that ended before it began owes nothing; one that ended earlier still contradicts itself', () => {
    expect(timeline(history({ to: d('2026-05-31') }), d('2027-01-01'))).toEqual([]);
    expect(timeline(history({ to: d('2026-06-01') }), d('2027-01-01'))).toHaveLength(1);
    expect(() => timeline(history({ to: d('2026-05-30') }), d('2027-01-01'))).toThrow('a date on or after from (2026-06-01)');
  });
});

describe('what was done before the first day', () => {
  const age: Cadence = { kind: 'age', years: 10, early: { months: 6 }, late: { days: 0 } };
  const due = (cadence: Cadence, basisOn: string | null, ...proofs: DutyHistory['proofs']) => timeline({ cadence, from: d('2027-01-01'), basisOn: basisOn === null ? null : d(basisOn), proofs }, d('2027-02-01'))[0]!;
  it('[REC-26] a replacement counts by its manufacture date, else by its day; an undated one and an older one by nothing', () => {
    expect(due(age, '2015-05-01', { on: d('2026-03-01'), ref: 'swap', basisOn: d('2025-11-20') })).toMatchObject({ due: '2035-11-20', basisOn: '2025-11-20' });
    expect(due(age, '2020-05-01', { on: d('2026-03-01'), ref: 'swap' })).toMatchObject({ due: '2036-03-01', basisOn: '2026-03-01' });
    expect(due(age, '2020-05-01', { on: d('2026-03-01'), ref: 'swap', basisOn: null })).toMatchObject({ due: '2030-05-01', basisOn: '2020-05-01' });
    expect(due(age, '2020-05-01', { on: d('2026-03-01'), ref: 'swap', basisOn: d('2019-02-01') })).toMatchObject({ due: '2030-05-01' });
    expect(due(age, null, { on: d('2026-03-01'), ref: 'swap', basisOn: d('2019-02-01') })).toMatchObject({ due: '2029-02-01', carried: 'proven' });
  });
  it('[REC-44] of a duty that is no age the day of the proof counts, the latest of all', () => {
    const annual: Cadence = { kind: 'since-last', min: { months: 9 }, nominal: { months: 12 }, max: { months: 12 } };
    expect(due(annual, '2026-03-10', { on: d('2026-08-01'), ref: 'c2', basisOn: d('2019-02-01') }, { on: d('2026-05-01'), ref: 'c1' })).toMatchObject({ due: '2027-08-01', basisOn: '2026-08-01' });
  });
});

describe('an interval that lengthens, before the first day', () => {
  it('[REC-28] clean results before the first day count in the order they were made, whatever the order they are told in', () => {
    const cadence: Cadence = { kind: 'extending', first: { months: 12 }, base: { months: 24 }, extended: { months: 60 }, afterClean: 2, early: { months: 6 }, late: { months: 6 } };
    const proofs = [['2011-03-01', true], ['2013-03-01', true], ['2015-03-01', true]].map(([on, clean], at) => ({ on: d(on as string), ref: `c${at}`, clean: clean as boolean }));
    const due = (list: typeof proofs) => timeline({ cadence, from: d('2016-01-01'), basisOn: d('2010-03-01'), proofs: list }, d('2016-02-01'))[0]!.due;
    expect(due(proofs)).toBe('2020-03-01');
    expect(due([...proofs].reverse())).toBe('2020-03-01');
  });
});

describe('suspensions and calendars, at their edges', () => {
  const annual: Cadence = { kind: 'since-last', min: { months: 9 }, nominal: { months: 12 }, max: { months: 13 } };
  const first = (more: Partial<DutyHistory>, horizon = '2027-06-01') => timeline({ cadence: annual, from: d('2026-06-01'), basisOn: d('2026-03-10'), proofs: [], ...more }, d(horizon))[0]!;
  const pause = (from: string, to: string) => [{ from: d(from), to: d(to), by: 'owner' }];
  it('[REC-44] a commissioning on the last day looked at is a proof of that day', () => {
    expect(timeline({ cadence: annual, from: d('2026-06-01'), basisOn: d('2026-09-01'), proofs: [] }, d('2026-09-01')).map((one) => one.metOn)).toEqual(['2026-09-01', null]);
    expect(timeline({ cadence: annual, from: d('2026-06-01'), basisOn: d('2026-09-01'), proofs: [] }, d('2026-08-31')).map((one) => one.metOn)).toEqual([null]);
  });
  it('[REC-61] a lapse on the first day of a suspension comes back, one the day before does not', () => {
    expect(first({ pauses: pause('2027-04-10', '2027-04-20') }).lapses).toBe('2027-04-21');
    expect(first({ pauses: pause('2027-04-11', '2027-04-20') }).lapses).toBe('2027-04-10');
  });
  it('[REC-61] a due day on the first day of a suspension moves to the day after it; what was late before stays late', () => {
    expect(first({ pauses: pause('2027-03-10', '2027-03-20') }).due).toBe('2027-03-21');
    expect(first({ pauses: pause('2027-03-11', '2027-03-20') }).due).toBe('2027-03-10');
  });
  it('[REC-61] a window met on the first day of a suspension was moved by it; one met the day before was not', () => {
    const met = (on: string) => first({ pauses: pause('2027-04-10', '2027-04-20'), proofs: [{ on: d(on), ref: 'c1' }] });
    expect(met('2027-04-10')).toMatchObject({ lapses: '2027-04-21', outcome: 'on-time' });
    expect(met('2027-04-09')).toMatchObject({ lapses: '2027-04-10', outcome: 'on-time' });
  });
  it('[REC-64] a due day is pulled back as far as the day the window opens, and no further', () => {
    const closed = (from: string) => ({ closed: [{ from: d(from), to: d('2027-03-10'), reason: 'works' }] });
    expect(first({ calendar: closed('2026-12-11') }).due).toBe('2026-12-10');
    expect(first({ calendar: closed('2026-12-10') }).due).toBe('2027-03-10');
  });
});

describe('windows that the calendar sets, at their edges', () => {
  it('[REC-22] a proof on the day the next window opens meets that one; the one before is missed', () => {
    const windows = timeline({ cadence: { kind: 'once-per', period: 'month', minGapDays: 0 }, from: d('2027-01-01'), basisOn: d('2026-12-05'), proofs: [{ on: d('2027-02-01'), ref: 'c1' }] }, d('2027-02-10'));
    expect(windows.map((one) => [one.opens, one.outcome, one.metBy])).toEqual([['2027-01-01', 'missed', null], ['2027-02-01', 'on-time', 'c1'], ['2027-03-01', null, null]]);
  });
  it('[REC-30] after the last date of a rule that ended nothing governs', () => {
    const cadence: Cadence = { kind: 'calendar-rule', dtstart: '2026-03-02', timeZone: 'Europe/Madrid', rrule: 'FREQ=YEARLY;COUNT=2', earlyDays: 10, lateDays: 10 };
    const windows = (basisOn: string) => timeline({ cadence, from: d('2027-04-01'), basisOn: d(basisOn), proofs: [] }, d('2027-06-01')).length;
    expect(windows('2027-03-05')).toBe(0);
    expect(windows('2026-03-05')).toBe(1);
  });
  it('[REC-63] proven on the last day of a suspension, a check is still owed on return; on the day after it is not', () => {
    const cadence: Cadence = { kind: 'since-last', min: { months: 4 }, nominal: { months: 6 }, max: { months: 7 } };
    const pauses = [{ from: d('2027-01-10'), to: d('2027-01-20'), by: 'owner', onReturn: 'check' as const }];
    const opens = (on: string) => timeline({ cadence, from: d('2026-09-01'), basisOn: d('2026-08-31'), proofs: [{ on: d(on), ref: 'c1' }], pauses }, d('2027-03-01'))[1]!.opens;
    expect(opens('2027-01-20')).toBe('2027-01-21');
    expect(opens('2027-01-21')).toBe('2027-05-21');
  });
});

describe('tolerances and seasons, at their edges', () => {
  it('[REC-31] a tolerance longer than the interval is cut the day before the next is due, and what nothing met is missed, not rolled on', () => {
    const cadence: Cadence = { kind: 'fixed-month', everyMonths: 1, dueMonth: 1, dueDay: 15, early: { days: 0 }, late: { months: 2 } };
    const windows = timeline({ cadence, from: d('2027-01-15'), basisOn: d('2026-12-20'), proofs: [] }, d('2027-03-20'));
    expect(windows.map((one) => [one.opens, one.due, one.lapses, one.outcome])).toEqual([
      ['2027-01-15', '2027-01-15', '2027-02-14', 'missed'], ['2027-02-15', '2027-02-15', '2027-03-14', 'missed'], ['2027-03-15', '2027-03-15', '2027-04-14', null]]);
  });
  it('[REC-75] a season shuts its first and its last day, within a year and over its end, each year anew', () => {
    const open = (from: string, to: string, ...days: string[]) => days.filter((day) => usableDates(d(day), d(day), { closedSeasons: [{ from, to, reason: 'shut' }] }).length === 1);
    expect(open('06-15', '08-31', '2027-06-14', '2027-06-15', '2027-07-01', '2027-08-31', '2027-09-01', '2030-06-15')).toEqual(['2027-06-14', '2027-09-01']);
    expect(open('11-01', '03-31', '2027-10-31', '2027-11-01', '2027-12-31', '2028-01-01', '2028-03-31', '2028-04-01')).toEqual(['2027-10-31', '2028-04-01']);
    expect(open('05-01', '05-01', '2027-04-30', '2027-05-01', '2027-05-02')).toEqual(['2027-04-30', '2027-05-02']);
  });
});

describe('stopped and late, at their edges', () => {
  it('[REC-82] some left over: nothing is to be done again yet, however old the first', () => {
    const items = [{ key: 'a', on: d('2027-03-01') }, { key: 'b', on: d('2027-03-30') }, { key: 'c', on: null }];
    expect(completionOf(items, 14, 5)).toMatchObject({ completedOn: null, left: 1, redo: [], restBy: '2027-03-15' });
  });
  it('[REC-83] attempts count on the first and the last day of the window; two are enough; a call is no letter', () => {
    const window = { opens: d('2027-02-01'), lapses: d('2027-04-30') };
    const door = (on: string) => ({ on: d(on), how: 'at-door' as const, isProven: true });
    expect(lateBecause(window, [door('2027-02-01'), door('2027-04-30'), { on: d('2027-03-25'), how: 'call', isProven: true }])).toEqual({ who: 'customer', words: 'customer (2 attempts)' });
    expect(lateBecause(window, [door('2027-01-31'), door('2027-04-30')]).who).toBe('ours');
    expect(lateBecause(window, [door('2027-02-01'), door('2027-05-01')]).who).toBe('ours');
  });
});
