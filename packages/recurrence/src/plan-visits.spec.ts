import { describe, expect, it } from 'vitest';
import { type AccessCalendar, type Cadence, type LocalDate, type PlanCosts, type PlannedDuty, addDays, planVisits } from './index.js';

const d = (text: string): LocalDate => text as LocalDate;
/** Opens 11 Jan, due 21 Jan, lapses 31 Jan 2027 when counted from 1 Jan. */
const since = (min = 10, nominal = 20, max = 30): Cadence => ({ kind: 'since-last', min: { days: min }, nominal: { days: nominal }, max: { days: max } });
const monthly: Cadence = { kind: 'once-per', period: 'month', minGapDays: 0 };
const duty = (name: string, place: string, cadence: Cadence = since(), basisOn = '2027-01-01', more: Partial<PlannedDuty> = {}): PlannedDuty =>
  ({ name, place, noisy: false, minutes: 10, history: { cadence, from: d('2026-06-01'), basisOn: d(basisOn), proofs: [] }, ...more });
const costs = (more: Partial<PlanCosts> = {}): PlanCosts => ({ fixedMinutes: 30, travelMinutes: 60, givenAwayMinutes: 1, ...more });
const shut = (from: string, to: string) => ({ from: d(from), to: d(to), reason: 'works' });
const plan = (duties: PlannedDuty[], to: string, more: Partial<PlanCosts> = {}, calendar: AccessCalendar = {}, from = '2027-01-02') => planVisits(duties, d(from), d(to), costs(more), calendar);
const days = (...given: Parameters<typeof plan>) => plan(...given).visits.map((visit) => [visit.on, ...visit.names]);

describe('[REC-76] the day a duty is wanted on', () => {
  it('is its due day, or the last usable one before it; noise binds the noisy only', () => {
    expect(days([duty('a', 'A')], '2027-01-31')).toEqual([['2027-01-21', 'a']]);
    expect(days([duty('a', 'A')], '2027-01-31', {}, { closed: [shut('2027-01-21', '2027-01-21')] })).toEqual([['2027-01-20', 'a']]);
    const quiet = { quiet: [shut('2027-01-20', '2027-01-21')] };
    expect(days([duty('a', 'A')], '2027-01-31', {}, quiet)).toEqual([['2027-01-21', 'a']]);
    expect(days([duty('a', 'A', since(), '2027-01-01', { noisy: true })], '2027-01-31', {}, quiet)).toEqual([['2027-01-19', 'a']]);
    expect(days([duty('a', 'A', since(), '2027-01-01', { calendar: {} })], '2027-01-31', {}, { closed: [shut('2027-01-21', '2027-01-21')] })).toEqual([['2027-01-21', 'a']]);
  });
  it('is the day it opens when no later one before the due day is usable, and then the first after the due day', () => {
    expect(days([duty('a', 'A')], '2027-01-30', {}, { closed: [shut('2027-01-12', '2027-01-25')] })).toEqual([['2027-01-11', 'a']]);
    expect(days([duty('a', 'A')], '2027-01-31', {}, { closed: [shut('2027-01-11', '2027-01-25')] })).toEqual([['2027-01-26', 'a']]);
    expect(days([duty('a', 'A')], '2027-01-31', {}, { closed: [shut('2027-01-11', '2027-01-21')] })).toEqual([['2027-01-22', 'a']]);
    expect(days([duty('a', 'A')], '2027-02-02', {}, { closed: [shut('2027-01-15', '2027-01-30')] }, '2027-01-16')).toEqual([['2027-01-31', 'a']]);
  });
  it('is the last usable day after the start even when earlier ones are gone by', () => {
    expect(days([duty('a', 'A')], '2027-01-31', {}, { closed: [shut('2027-01-17', '2027-01-24')] }, '2027-01-16')).toEqual([['2027-01-16', 'a']]);
  });
  it('is the first usable day when it has lapsed, or when nobody can tell, and the lapse is named', () => {
    const lapsed = plan([duty('a', 'A', since(), '2026-11-01')], '2027-01-10', {}, { closed: [shut('2027-01-02', '2027-01-03')] });
    expect(lapsed.visits.map((visit) => visit.on)).toEqual(['2027-01-04']);
    expect(lapsed.lapsed).toEqual([{ name: 'a', on: '2026-12-01' }]);
    const unknown = duty('u', 'A', since(), '2027-01-01');
    expect(days([{ ...unknown, history: { ...unknown.history, from: d('2027-01-01'), basisOn: null } }], '2027-01-10', {}, { closed: [shut('2027-01-02', '2027-01-03')] })).toEqual([['2027-01-04', 'u']]);
    expect(plan([duty('a', 'A')], '2027-01-31', {}, { closed: [shut('2027-01-11', '2027-01-30')] })).toMatchObject({ visits: [{ on: '2027-01-31' }], lapsed: [] });
  });
  it('lies past the lapse when the window holds no usable day: the lapse is named, and the search ends after 366 days', () => {
    const closedTo = (to: LocalDate) => ({ closed: [{ from: d('2027-01-02'), to, reason: 'works' }] });
    expect(plan([duty('a', 'A')], '2027-02-10', {}, closedTo(d('2027-02-05')))).toMatchObject({ visits: [{ on: '2027-02-06' }], lapsed: [{ name: 'a', on: '2027-01-31' }] });
    expect(days([duty('a', 'A')], '2029-12-31', {}, closedTo(addDays(d('2027-01-31'), 365)))[0]).toEqual([addDays(d('2027-01-31'), 366), 'a']);
    expect(days([duty('a', 'A')], '2029-12-31', {}, closedTo(addDays(d('2027-01-31'), 366)))).toEqual([]);
    // a window that lapsed before the start, and one that lapses more than a year after it
    expect(days([duty('a', 'A', since(), '2026-11-01')], '2028-01-31', {}, closedTo(d('2027-12-20')))[0]).toEqual(['2027-12-21', 'a']);
    expect(days([duty('a', 'A', since(10, 380, 500))], '2028-12-31', {}, closedTo(d('2028-03-01')))[0]).toEqual(['2028-03-02', 'a']);
  });
  it('counts while it lies in the plan, its first and its last day among them', () => {
    expect(days([duty('a', 'A')], '2027-01-21')).toHaveLength(1);
    expect(days([duty('a', 'A')], '2027-01-20')).toEqual([]);
    expect(days([duty('a', 'A')], '2027-01-21', {}, {}, '2027-01-21')).toEqual([['2027-01-21', 'a']]);
    expect(() => plan([duty('a', 'A')], '2027-01-20', {}, {}, '2027-01-21')).toThrow('a date on or after 2027-01-21');
  });
  it('the next of the same duty comes after the visit, never on the same day', () => {
    const plenty = plan([duty('a', 'A', since(0, 1, 3))], '2027-01-06');
    expect(plenty.visits.map((visit) => visit.on)).toEqual(['2027-01-02', '2027-01-03', '2027-01-04', '2027-01-05', '2027-01-06']);
    expect(days([duty('a', 'A', since(), '2026-11-01'), duty('b', 'B', since(), '2026-11-01')], '2027-01-04', { givenAwayMinutes: 100, travelMinutes: 0, fixedMinutes: 0 })).toEqual([['2027-01-02', 'a'], ['2027-01-03', 'b']]);
  });
  it('refuses more than eighty duties', () => {
    const many = (count: number) => Array.from({ length: count }, (_, at) => duty(`a${at}`, 'A'));
    expect(plan(many(80), '2027-01-21').visits[0]!.names).toHaveLength(80);
    expect(() => plan(many(81), '2027-01-21')).toThrow('at most 80 duties');
  });
});

describe('[REC-76] what goes along in the same place', () => {
  const first = duty('first', 'A');
  it('a calendar duty loses nothing, so it always goes along', () => {
    const [visit] = plan([first, duty('monthly', 'A', monthly, '2026-12-05')], '2027-01-31', { givenAwayMinutes: 1000 }).visits;
    expect(visit).toMatchObject({ on: '2027-01-21', names: ['first', 'monthly'], givenAway: [] });
  });
  it('a duty that opens that day goes along, one that opens the day after does not', () => {
    expect(days([first, duty('b', 'A', since(20, 30, 40))], '2027-01-22')).toEqual([['2027-01-21', 'first', 'b']]);
    expect(days([first, duty('b', 'A', since(21, 30, 40))], '2027-01-22')).toEqual([['2027-01-21', 'first']]);
  });
  it('while its days given away cost less than the visit it saves, arriving and travel together', () => {
    // ten days given away: 90 minutes are saved
    const later = duty('b', 'A', since(10, 30, 40));
    expect(plan([first, later], '2027-01-22', { givenAwayMinutes: 8.9 }).visits[0]).toMatchObject({ names: ['first', 'b'], givenAway: [{ name: 'b', days: 10 }] });
    expect(days([first, later], '2027-01-22', { givenAwayMinutes: 9 })).toEqual([['2027-01-21', 'first']]);
    expect(days([first, later], '2027-01-22', { givenAwayMinutes: 4 })).toEqual([['2027-01-21', 'first', 'b']]);
  });
  it('late ones give nothing away, and one day is told as one', () => {
    const [visit] = plan([duty('lapsed', 'A', since(), '2026-11-01'), duty('due', 'A', since(1, 1, 30)), duty('soon', 'A', since(1, 2, 30))], '2027-01-02').visits;
    expect(visit).toMatchObject({ on: '2027-01-02', names: ['lapsed', 'due', 'soon'], givenAway: [{ name: 'soon', days: 1 }] });
  });
});

describe('[REC-76] what goes along in another place', () => {
  const first = duty('first', 'A');
  /** Due ten days after the first. */
  const other = duty('other', 'B', since(10, 30, 40));
  it('its next visit moves there whole when the days given away cost less than a day out', () => {
    expect(plan([first, other], '2027-02-28', { givenAwayMinutes: 5.9 }).visits[0]).toMatchObject({ names: ['first', 'other'], places: ['A', 'B'] });
    expect(days([other, first], '2027-01-31', { givenAwayMinutes: 6 })).toEqual([['2027-01-21', 'first'], ['2027-01-31', 'other']]);
  });
  it('what its next visit would give away anyway is not counted', () => {
    // shut from 27 Jan on, B is gone to on 26 Jan, five days before it is due: five more are given away on 21 Jan
    const closed = { closed: [shut('2027-01-27', '2027-02-10')] };
    const at = { ...other, calendar: closed };
    expect(days([first, at], '2027-01-26', { givenAwayMinutes: 11.9 })).toEqual([['2027-01-21', 'first', 'other']]);
    expect(days([first, at], '2027-01-26', { givenAwayMinutes: 12 })).toEqual([['2027-01-21', 'first'], ['2027-01-26', 'other']]);
  });
  it('only when that next visit lies in the plan, its last day counted', () => {
    expect(days([first, other], '2027-01-31')).toEqual([['2027-01-21', 'first', 'other']]);
    expect(days([first, other], '2027-01-30')).toEqual([['2027-01-21', 'first']]);
  });
  it('nothing of a place that is shut for good, or that is not open that day', () => {
    const never = { closed: [shut('2027-01-02', '2029-12-31')] };
    expect(days([first, duty('b', 'B', since(10, 30, 40), '2027-01-01', { calendar: never })], '2027-01-31')).toEqual([['2027-01-21', 'first']]);
    expect(days([first, duty('shut', 'B', since(10, 30, 40), '2027-01-01', { calendar: never }), duty('open', 'B', since(10, 30, 40))], '2027-01-31')).toEqual([['2027-01-21', 'first', 'open']]);
    expect(days([first, { ...other, calendar: { closed: [shut('2027-01-21', '2027-01-21')] } }], '2027-01-31')).toEqual([['2027-01-21', 'first'], ['2027-01-31', 'other']]);
  });
  it('its soonest duty sets that next visit; of two on one day the first stands first', () => {
    const [soon, later] = [duty('soon', 'B', since(10, 24, 40)), duty('later', 'B', since(23, 30, 40))];
    // on 25 Jan the later one is open and goes along there: on 21 Jan it is not, so the place must be gone to anyway
    expect(days([first, later, soon], '2027-01-25')).toEqual([['2027-01-21', 'first'], ['2027-01-25', 'soon', 'later']]);
    expect(days([first, duty('one', 'B', since(10, 30, 40)), duty('two', 'B', since(10, 30, 40))], '2027-01-31')[0]).toEqual(['2027-01-21', 'first', 'one', 'two']);
    // the later one is not met on that day for its days given away cost more than a visit: it stays, the soonest moves
    expect(days([first, duty('soon', 'B', since(10, 22, 30)), duty('later', 'B', since(10, 60, 90))], '2027-01-24', { givenAwayMinutes: 4 })).toEqual([['2027-01-21', 'first', 'soon']]);
  });
});

describe('[REC-76] what a plan costs', () => {
  it('a day out, each place once, each duty; beside the same duties alone', () => {
    const once = plan([duty('a', 'A'), duty('b', 'A'), duty('c', 'B')], '2027-01-21');
    expect(once.visits).toMatchObject([{ on: '2027-01-21', names: ['a', 'b', 'c'], places: ['A', 'B'] }]);
    expect([once.costMinutes, once.aloneMinutes]).toEqual([60 + 2 * 30 + 3 * 10, 3 * (60 + 30 + 10)]);
  });
});
