import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type CatchUpSite, type LocalDate, catchUp } from './index.js';

const d = (text: string): LocalDate => text as LocalDate;
const MONDAY = d('2027-03-01');
const site = (key: string, minutes: number, risk: number | null, lapses: string | null = null): CatchUpSite => ({ key, minutes, risk, lapses: lapses === null ? null : d(lapses) });

describe('catching up with what was taken over unproven', () => {
  it('[REC-90] the greatest risk first, an unknown one before all; ends on the Sunday of its last week', () => {
    const plan = catchUp([site('low', 120, 5), site('high', 120, 90), site('unknown', 120, null), site('middle', 120, 40)], 240, MONDAY);
    expect(plan.weeks.map((week) => [week.weekStart, week.visits.map((visit) => visit.key)])).toEqual([['2027-03-01', ['unknown', 'high']], ['2027-03-08', ['middle', 'low']]]);
    expect(plan).toMatchObject({ endsOn: '2027-03-14', minutes: 480, tooLong: [] });
    expect(plan.weeks[1]!.visits.map((visit) => visit.place)).toEqual([3, 4]);
  });
  it('[REC-91] a short visit fills a gap and delays nobody of greater risk', () => {
    const plan = catchUp([site('a', 200, 9), site('b', 200, 8), site('c', 40, 7)], 240, MONDAY);
    expect(plan.weeks.map((week) => week.visits.map((visit) => visit.key))).toEqual([['a', 'c'], ['b']]);
  });
  it('[REC-90] of equal risks the earlier lapse comes first, then the key; a minute is enough for a week and for a visit', () => {
    const plan = catchUp([site('a', 1, 5), site('b', 1, 5, '2027-06-30'), site('d', 1, 5, '2027-05-31'), site('c', 1, 5, '2027-05-31')], 1, MONDAY);
    expect(plan.weeks.map((week) => week.visits.map((visit) => visit.key))).toEqual([['c'], ['d'], ['b'], ['a']]);
  });
  it('[REC-92] names who lapses before their week, and the capacity below which somebody must', () => {
    const sites = [site('a', 100, 9, '2027-06-30'), site('b', 100, 8, '2027-06-30'), site('c', 100, 7, '2027-03-07'), site('d', 100, 6, '2027-03-10')];
    const plan = catchUp(sites, 100, MONDAY);
    expect(plan.weeks.flatMap((week) => week.visits.filter((visit) => visit.lapsesBefore).map((visit) => visit.key))).toEqual(['c', 'd']);
    expect(plan).toMatchObject({ lapseBefore: 2, atLeastMinutes: 100 });
    expect(catchUp([...sites, site('e', 50, 1, '2027-03-02')], 100, MONDAY).atLeastMinutes).toBe(150);
    expect(catchUp([...sites, site('e', 50, 1, '2027-02-28')], 100, MONDAY).atLeastMinutes).toBeNull();
  });
  it('[REC-92] the week that holds the last day is in time', () => {
    expect(catchUp([site('a', 60, 1, '2027-03-01')], 60, MONDAY).lapseBefore).toBe(0);
    expect(catchUp([site('a', 60, 1, '2027-02-28')], 60, MONDAY).lapseBefore).toBe(1);
    expect(catchUp([site('a', 60, 2), site('b', 60, 1, '2027-03-08')], 60, MONDAY).lapseBefore).toBe(0);
    expect(catchUp([site('a', 60, 2), site('b', 60, 1, '2027-03-07')], 60, MONDAY).lapseBefore).toBe(1);
  });
  it('[REC-93] a visit longer than the week is named and stands in no week; nothing to do ends nowhere', () => {
    expect(catchUp([site('huge', 500, 9), site('a', 60, 1)], 240, MONDAY)).toMatchObject({ tooLong: ['huge'], endsOn: '2027-03-07', minutes: 60 });
    expect(catchUp([], 240, MONDAY)).toMatchObject({ weeks: [], endsOn: null, minutes: 0, atLeastMinutes: 0 });
  });
  it.each<[CatchUpSite[], number, string, string]>([
    [[], 0, MONDAY, 'weekly capacity: "0"'], [[], 60, '2027-03-02', 'a Monday'], [[site('a', 0, 1)], 60, MONDAY, 'minutes of a: "0"'], [[site('a', 10, 1), site('a', 20, 1)], 60, MONDAY, 'each site once'],
  ])('[REC-90] refuses %o', (sites, minutes, monday, message) => expect(() => catchUp(sites, minutes, d(monday))).toThrow(message));

  it('[REC-90] [REC-91] on 400 random fleets no week is overfull, each site stands once, and none could be earlier than those before it leave room for', () => {
    let several = 0;
    const fleet = fc.array(fc.tuple(fc.integer({ min: 10, max: 300 }), fc.option(fc.integer({ min: 0, max: 50 }))), { minLength: 1, maxLength: 40 });
    fc.assert(fc.property(fleet, fc.integer({ min: 300, max: 900 }), (list, capacity) => {
      const plan = catchUp(list.map(([minutes, risk], at) => site(`s${at}`, minutes, risk)), capacity, MONDAY);
      const placed = plan.weeks.flatMap((week, index) => week.visits.map((visit) => ({ ...visit, index }))).sort((a, b) => a.place - b.place);
      expect(placed.map((visit) => visit.place)).toEqual(list.map((_, at) => at + 1));
      const loads = plan.weeks.map(() => 0);
      for (const visit of placed) {
        for (let earlier = 0; earlier < visit.index; earlier += 1) expect(loads[earlier]! + visit.minutes).toBeGreaterThan(capacity);
        loads[visit.index]! += visit.minutes;
        expect(loads[visit.index]).toBeLessThanOrEqual(capacity);
      }
      if (plan.weeks.length > 2) several += 1;
    }), { seed: 90, numRuns: 400 });
    expect(several).toBeGreaterThan(100);
  });
});
