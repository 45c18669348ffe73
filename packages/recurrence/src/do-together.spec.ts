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

  it('[REC-71] the day on which a window opens or lapses is named by what closes it; a day that is closed as well as quiet by its closing only', () => {
    const one = (calendar: AccessCalendar, noisy = false) => doTogether([{ name: 'a', opens: d('2027-03-01'), lapses: d('2027-03-10'), noisy }], calendar).visits[0]!;
    const shut = one({ closed: [{ from: d('2027-03-01'), to: d('2027-03-01'), reason: 'works' }, { from: d('2027-03-10'), to: d('2027-03-10'), reason: 'fair' }] });
    expect(shut.notBefore).toEqual({ rule: 'works', because: ['works', 'a opens 1 Mar 2027'] });
    expect(shut.notAfter).toEqual({ rule: 'fair', because: ['fair', 'a lapses 10 Mar 2027'] });
    const quiet = [{ from: d('2027-03-01'), to: d('2027-03-03'), reason: 'exams' }];
    expect(one({ quiet, closed: [{ from: d('2027-03-03'), to: d('2027-03-03'), reason: 'works' }] }, true).notBefore.because).toEqual(['works', 'no sounders: exams', 'a opens 1 Mar 2027']);
    expect(one({ quiet, closed: [{ from: d('2027-03-01'), to: d('2027-03-03'), reason: 'works' }] }, true).notBefore.because).toEqual(['works', 'a opens 1 Mar 2027']);
    expect(one({ quiet }).notBefore).toEqual({ rule: 'a opens 1 Mar 2027', because: ['a opens 1 Mar 2027'] });
    expect(one({ openWeekdays: [2, 3, 5], quietWeekdays: [2] }, true).notBefore).toEqual({ rule: 'a opens 1 Mar 2027', because: ['no sounders: no sounders on Tuesdays', 'closed on Mondays', 'a opens 1 Mar 2027'] });
  });

  it('[REC-72] no split where the silent part has no day more', () => {
    const windows = [{ name: 'a', opens: d('2027-03-01'), lapses: d('2027-03-10'), noisy: true }];
    expect(doTogether(windows).split).toBeNull();
    expect(doTogether(windows, { quiet: [{ from: d('2027-03-01'), to: d('2027-03-01'), reason: 'exams' }] }).split!.silent.days).toHaveLength(10);
  });

  it('[REC-73] three duties of which every two share a day, but all three none, are named together with those days', () => {
    // Silent on Monday and Tuesday, loud on Tuesday and Wednesday; the loud ones may not sound on Tuesday the 2nd.
    const quiet = [{ from: d('2027-03-02'), to: d('2027-03-02'), reason: 'exams' }];
    const closed = [{ from: d('2027-03-03'), to: d('2027-03-03'), reason: 'works' }];
    const three: TogetherWindow[] = [
      { name: 'early', opens: d('2027-03-01'), lapses: d('2027-03-02'), noisy: false },
      { name: 'late', opens: d('2027-03-02'), lapses: d('2027-03-05'), noisy: false },
      { name: 'loud', opens: d('2027-03-01'), lapses: d('2027-03-05'), noisy: true },
      { name: 'any', opens: d('2027-02-01'), lapses: d('2027-04-30'), noisy: false },
    ];
    const { visits, apart } = doTogether(three, { quiet, closed });
    expect(visits).toHaveLength(2);
    expect(apart).toMatchObject({ first: 'early', second: 'late', further: ['loud'] });
    expect(apart!.why).toBe('every two of them can be done together, but no day suits all three: early and late on 2 Mar 2027; early and loud on 1 Mar 2027; late and loud on 4 Mar 2027 to 5 Mar 2027');
    expect(apart!.waysOut[0]).toBe('split: the silent part of all on 2 Mar 2027, the sounding part of loud on a day agreed for noise');
    expect(doTogether(three, { closed }).apart).toBeNull();
  });

  it('[REC-73] more than one visit always names duties that no day suits all of, none of which can be left out, on 400 random sites', () => {
    const windows = fc.array(fc.tuple(fc.integer({ min: 0, max: 8 }), fc.integer({ min: 2, max: 12 }), fc.boolean()), { minLength: 2, maxLength: 7 });
    const sizes = new Map<number, number>();
    fc.assert(fc.property(windows, fc.uniqueArray(fc.integer({ min: 0, max: 24 }), { maxLength: 14 }), fc.uniqueArray(fc.integer({ min: 0, max: 24 }), { maxLength: 14 }), (list, silent, shut) => {
      const calendar: AccessCalendar = { quiet: silent.map((n) => ({ from: addDays(START, n), to: addDays(START, n), reason: 'exams' })), closed: shut.map((n) => ({ from: addDays(START, n), to: addDays(START, n), reason: 'shut' })) };
      const named = list.map(([from, length, noisy], at): TogetherWindow => ({ name: `w${at}`, opens: addDays(START, from), lapses: addDays(START, from + length), noisy }));
      const { visits, apart } = doTogether(named, calendar);
      expect(apart === null).toBe(visits.length <= 1);
      if (apart === null) return;
      const clash = [apart.first, apart.second, ...apart.further].map((name) => named.find((one) => one.name === name)!);
      const shared = (some: readonly TogetherWindow[]) => some.map((one) => usableDates(one.opens, one.lapses, calendar, one.noisy)).reduce((held, days) => held.filter((day) => days.includes(day)));
      expect(shared(clash)).toEqual([]);
      for (const one of clash) if (clash.length > 1) expect(shared(clash.filter((other) => other !== one))).not.toEqual([]);
      sizes.set(clash.length, (sizes.get(clash.length) ?? 0) + 1);
    }), { seed: 73, numRuns: 400 });
    expect(sizes.get(2)).toBeGreaterThan(50);
    expect(sizes.get(3)).toBeGreaterThan(0);
  });

  it('[REC-75] a window without a usable day: the last day before, the first after and how late that is, the pause', () => {
    const closed = [{ from: d('2027-03-01'), to: d('2027-04-16'), reason: 'rebuilding' }];
    const [cannot] = doTogether([{ name: 'fire', opens: d('2027-03-10'), lapses: d('2027-04-10'), noisy: true }], { closed, openWeekdays: [1, 2, 3, 4, 5] }).cannotBeMet;
    expect(cannot!.why).toBe('no usable day from 10 Mar 2027 to 10 Apr 2027: rebuilding');
    expect(cannot!.waysOut).toEqual([
      'do it before the closure, if the regime counts it early: 26 Feb 2027 is the last day that can be used',
      'a documented pause, asked for in writing by the owner and named to the authority',
      'otherwise 19 Apr 2027 is the first day that can be used: late by 9 days, with the reason kept',
    ]);
    const [silent] = doTogether([{ name: 'fire', opens: d('2027-03-10'), lapses: d('2027-03-12'), noisy: true }], { quiet: [{ from: d('2027-03-01'), to: d('2027-03-31'), reason: 'exams' }] }).cannotBeMet;
    expect(silent!.waysOut[0]).toBe('split: silent part from 10 Mar 2027, sounding part on a day agreed for noise');
    const { apart } = doTogether([{ name: 'early', opens: d('2027-03-01'), lapses: d('2027-03-05'), noisy: false }, { name: 'late', opens: d('2027-03-08'), lapses: d('2027-03-31'), noisy: false }]);
    expect(apart!.waysOut[0]).toBe('late early, by 5 Mar 2027, if its regime counts that: 3 days before it opens');
    const shut = doTogether([{ name: 'fire', opens: d('2027-03-01'), lapses: d('2027-04-10'), noisy: false }, { name: 'insurer', opens: d('2027-03-20'), lapses: d('2027-06-30'), noisy: false }], { closed: [{ from: d('2027-03-20'), to: d('2027-04-10'), reason: 'rebuilding' }] });
    expect(shut.apart!.waysOut[0]).toBe('all on 19 Mar 2027, before the closure, if the regime of insurer counts it early');
  });
});
