import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type AccessCalendar, type LocalDate, type TogetherWindow, addDays, doTogether, usableDates } from './index.js';

const d = (text: string): LocalDate => text as LocalDate;
const START = d('2027-03-01');

/** All ways to take `count` of these. */
function choices<T>(of: readonly T[], count: number): T[][] {
  if (count === 0) return [[]];
  return of.flatMap((first, at) => choices(of.slice(at + 1), count - 1).map((rest) => [first, ...rest]));
}

describe('the cheapest of the fewest visits', () => {
  it('[REC-70] gives away no more days than the best of all sets of that many days, on 300 random sites', () => {
    const windows = fc.array(fc.tuple(fc.integer({ min: 0, max: 14 }), fc.integer({ min: 0, max: 10 }), fc.boolean(), fc.boolean()), { minLength: 2, maxLength: 6 });
    let given = 0;
    fc.assert(fc.property(windows, fc.integer({ min: 0, max: 14 }), fc.integer({ min: 0, max: 6 }), (list, quietFrom, quietLength) => {
      const calendar: AccessCalendar = { openWeekdays: [1, 2, 3, 4, 5], quiet: [{ from: addDays(START, quietFrom), to: addDays(START, quietFrom + quietLength), reason: 'exams' }] };
      const named = list.map(([from, length, noisy, rolling], at): TogetherWindow => ({
        name: `w${at}`, opens: addDays(START, from), lapses: addDays(START, from + length), noisy, ...(rolling ? { rollingDue: addDays(START, from + length) } : {}) }));
      const can = named.map((one) => new Set<string>(usableDates(one.opens, one.lapses, calendar, one.noisy)));
      const items = named.map((one, at) => ({ ...one, can: can[at]! })).filter((one) => one.can.size > 0);
      const answer = doTogether(named, calendar);
      const days = Array.from({ length: 25 }, (_, n) => addDays(START, n));
      const lost = (one: TogetherWindow, day: string) => (one.rollingDue ? Math.max(0, (Date.parse(one.rollingDue) - Date.parse(day)) / 86_400_000) : 0);
      const costs = choices(days, answer.visits.length).map((set) => items.reduce((sum, one) => sum + Math.min(...set.filter((day) => one.can.has(day)).map((day) => lost(one, day)), Number.POSITIVE_INFINITY), 0));
      const best = Math.min(...costs);
      const ours = answer.visits.flatMap((visit) => visit.givenAway).reduce((sum, one) => sum + one.days, 0);
      expect(ours).toBe(items.length === 0 ? 0 : best);
      if (ours > 0 && answer.visits.length > 1) given += 1;
    }), { seed: 71, numRuns: 300 });
    expect(given).toBeGreaterThan(20);
  }, 60_000);

  it('[REC-70] eighty windows of one site are answered exactly; eighty-one are refused', () => {
    const many = (count: number) => Array.from({ length: count }, (_, at): TogetherWindow => ({ name: `w${at}`, opens: addDays(START, at * 7), lapses: addDays(START, at * 7 + 27), noisy: at % 3 === 0 }));
    const { visits } = doTogether(many(80), { openWeekdays: [1, 2, 3, 4, 5] });
    expect(visits).toHaveLength(20);
    expect(() => doTogether(many(81))).toThrow('at most 80 different windows');
  });

  it('[REC-77] what is overdue is wanted soonest: the visit goes to the day on which waiting and giving away cost least', () => {
    const rolling: TogetherWindow = { name: 'yearly', opens: d('2027-03-01'), lapses: d('2027-04-30'), noisy: false, rollingDue: d('2027-03-31') };
    const overdue: TogetherWindow = { name: 'lapsed', opens: d('2027-03-01'), lapses: d('2027-05-31'), noisy: false, overdue: true };
    expect(doTogether([rolling]).visits[0]!.best).toBe('2027-03-31');
    expect(doTogether([overdue]).visits[0]!.best).toBe('2027-03-01');
    expect(doTogether([rolling, overdue, { ...overdue, name: 'another' }]).visits[0]!.best).toBe('2027-03-01');
  });

  it('[REC-64] [REC-71] public holidays close like any other day and are named at the edge', () => {
    const holidays = [{ from: d('2027-03-26'), to: d('2027-03-26'), reason: 'Good Friday' }];
    const [visit] = doTogether([{ name: 'a', opens: d('2027-03-25'), lapses: d('2027-03-26'), noisy: false }, { name: 'b', opens: d('2027-03-20'), lapses: d('2027-03-31'), noisy: false }], { holidays }).visits;
    expect(visit!.days).toEqual(['2027-03-25']);
    expect(visit!.notAfter.rule).toBe('Good Friday');
  });
});
