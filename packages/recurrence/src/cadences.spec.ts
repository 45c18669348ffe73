import { describe, expect, it } from 'vitest';
import {
  type AccessCalendar, type Cadence, type DutyHistory, type LocalDate, type PopulationUnit, changeRegime, checkCadence, doTogether, planVisits, shareProgress, standingOfDuty, timeline, whyWindow,
} from './index.js';

const d = (text: string): LocalDate => text as LocalDate;
const proofs = (...days: string[]) => days.map((on, i) => ({ on: d(on), ref: `check-${i + 1}`, clean: true }));
const history = (cadence: Cadence, from: string, basisOn: string | null, days: string[], more: Partial<DutyHistory> = {}): DutyHistory =>
  ({ cadence, from: d(from), basisOn: basisOn === null ? null : d(basisOn), proofs: proofs(...days), ...more });
const edges = (h: DutyHistory, horizon: string) => timeline(h, d(horizon)).map((w) => `${w.opens}|${w.due}|${w.lapses}`);
const annual: Cadence = { kind: 'since-last', min: { months: 9 }, nominal: { months: 12 }, max: { months: 15 } };
const halfYearly: Cadence = { kind: 'since-last', min: { months: 4 }, nominal: { months: 6 }, max: { months: 7 } };

describe('words', () => {
  it('says why in a sentence a dispatcher understands', () => {
    const [window] = timeline(history(annual, '2025-03-05', '2025-03-04', []), d('2025-06-01'));
    expect(window!.why).toBe('annual, 9 to 15 months after 4 Mar 2025: opens 4 Dec 2025, lapses 4 Jun 2026');
    expect(whyWindow(annual, window!)).toBe(window!.why);
  });
  it('[REC-45] a share or a once-per whose last proof is older than a period begins as lapsed, and says which window nothing met', () => {
    const share: Cadence = { kind: 'share', period: 'quarter', numerator: 1, denominator: 4 };
    const units: PopulationUnit[] = ['a', 'b', 'c', 'd'].map((key) => ({ key, from: d('2020-01-01'), to: null }));
    const first = (cadence: Cadence, basisOn: string) => timeline(history(cadence, '2027-02-01', basisOn, [], { units }), d('2027-03-01'))[0]!;
    expect(first(share, '2026-08-10')).toMatchObject({ opens: '2027-01-01', lapses: '2027-03-31', carried: 'lapsed' });
    expect(first(share, '2026-08-10').why).toBe('1 of every 4 units once in each calendar quarter, all of them in turn: opens 1 Jan 2027, lapses 31 Mar 2027; nothing met the window that lapsed 31 Dec 2026 (last proof known: 10 Aug 2026), so it stands as lapsed until this one is met');
    expect(first({ kind: 'once-per', period: 'month', minGapDays: 0 }, '2026-12-31').why).toContain('nothing met the window that lapsed 31 Jan 2027 (last proof known: 31 Dec 2026)');
    expect(first(share, '2026-10-01')).toMatchObject({ carried: 'proven' });
    expect(first(share, '2026-10-01').why).not.toContain('nothing met');
    const walked = timeline(history({ kind: 'once-per', period: 'month', minGapDays: 0 }, '2027-01-01', '2026-12-05', ['2027-03-10']), d('2027-04-02'));
    expect(walked.map((one) => [one.governsFrom, one.outcome, /nothing met the window that lapsed (.*) \(/.exec(one.why)?.[1] ?? null])).toEqual([
      ['2027-01-01', 'missed', null], ['2027-02-01', 'missed', '31 Jan 2027'], ['2027-03-01', 'on-time', '28 Feb 2027'], ['2027-03-10', null, null]]);
  });
  it.each<[Cadence, string | null, string]>([
    [{ kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 'month-end', early: { months: 1 }, late: { months: 1 } }, '2026-03-10', 'annual by the calendar, due March, from 1 month before to 1 month after: opens 1 Feb 2027, lapses 30 Apr 2027'],
    [{ kind: 'once-per', period: 'half-year', minGapDays: 120 }, '2026-11-20', 'once in each calendar half-year, at least 120 days after 20 Nov 2026: opens 20 Mar 2027, lapses 30 Jun 2027'],
    [{ kind: 'age', years: 10, early: { months: 6 }, late: { days: 0 } }, '2017-05-20', 'at 10 years of age, counted from 20 May 2017: opens 20 Nov 2026, lapses 20 May 2027'],
    [{ kind: 'since-last', min: { days: 0 }, nominal: { days: 7 }, max: { days: 8 } }, '2026-12-30', 'weekly, up to 8 days after 30 Dec 2026: opens 30 Dec 2026, lapses 7 Jan 2027'],
    [annual, null, 'inherited, unproven: no date is known to count from, so due at once: opens 1 Jan 2027, lapses 1 Jan 2028'],
  ])('%o', (cadence, basisOn, words) => {
    expect(timeline(history(cadence, '2027-01-01', basisOn, []), d('2027-01-02'))[0]!.why).toBe(words);
  });
});

describe('fixed cadences', () => {
  it('[REC-20] a due day is clipped and never ratchets', () => {
    const cadence: Cadence = { kind: 'fixed-month', everyMonths: 6, dueMonth: 8, dueDay: 31, early: { days: 14 }, late: { days: 14 } };
    expect(edges(history(cadence, '2026-03-20', '2026-03-01', ['2026-08-30', '2027-02-28', '2027-08-31']), '2027-09-30'))
      .toEqual(['2026-08-17|2026-08-31|2026-09-14', '2027-02-14|2027-02-28|2027-03-14', '2027-08-17|2027-08-31|2027-09-14', '2028-02-15|2028-02-29|2028-03-14']);
  });
  it('[REC-31] tolerances that would overlap are cut: shut before the next is due, open after the last has shut', () => {
    const monthly: Cadence = { kind: 'fixed-month', everyMonths: 1, dueMonth: 1, dueDay: 15, early: { days: 20 }, late: { days: 40 } };
    const windows = timeline(history(monthly, '2027-01-01', '2026-12-15', []), d('2027-04-01'));
    windows.slice(1).forEach((window, at) => expect(window.opens > windows[at]!.lapses).toBe(true));
    expect(edges(history(monthly, '2027-01-16', '2027-01-15', []), '2027-02-01')).toEqual(['2027-02-15|2027-02-15|2027-03-14']);
  });
  it('[REC-22] every first Monday of March and September, 7 days either side', () => {
    const cadence: Cadence = { kind: 'calendar-rule', dtstart: '2026-03-02', timeZone: 'Europe/Madrid', rrule: 'FREQ=YEARLY;BYMONTH=3,9;BYDAY=1MO', earlyDays: 7, lateDays: 7 };
    expect(edges(history(cadence, '2026-03-10', '2026-03-02', ['2026-09-10']), '2027-01-01')).toEqual(['2026-08-31|2026-09-07|2026-09-14', '2027-02-22|2027-03-01|2027-03-08']);
  });
  it('[REC-30] after the last date of a rule that ends nothing governs', () => {
    const cadence: Cadence = { kind: 'calendar-rule', dtstart: '2027-03-01', timeZone: 'UTC', rrule: 'FREQ=YEARLY;COUNT=2', earlyDays: 30, lateDays: 30 };
    const h = history(cadence, '2027-01-01', '2026-12-01', ['2027-03-02', '2028-03-03']);
    expect(timeline(h, d('2029-01-01'))).toHaveLength(2);
    expect(standingOfDuty(h, d('2028-06-01'))).toBe('not-owed');
  });
  it('[REC-25] once a quarter, 60 days apart: the gap opens the next one later, an unmet one is missed at the quarter\'s end', () => {
    const cadence: Cadence = { kind: 'once-per', period: 'quarter', minGapDays: 60 };
    const windows = timeline(history(cadence, '2027-01-01', '2026-11-01', ['2027-03-20', '2027-04-30', '2027-05-19']), d('2027-10-15'));
    expect(windows.map((w) => [w.opens, w.lapses, w.metOn, w.outcome])).toEqual([
      ['2027-01-01', '2027-03-31', '2027-03-20', 'on-time'], ['2027-05-19', '2027-06-30', '2027-05-19', 'on-time'],
      ['2027-07-18', '2027-09-30', null, 'missed'], ['2027-10-01', '2027-12-31', null, null]]);
    expect(windows[3]!.carried).toBe('lapsed');
  });
  it('[REC-41] taken over in the middle of a calendar cadence: cannot tell until its first window has lapsed', () => {
    const cadence: Cadence = { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 'month-end', early: { months: 1 }, late: { months: 1 } };
    const h = history(cadence, '2027-01-10', null, []);
    const windows = timeline(h, d('2027-06-01'));
    expect(windows.map((w) => [w.opens, w.lapses, w.governsFrom, w.carried, w.outcome])).toEqual([
      ['2027-01-10', '2027-01-31', '2027-01-10', 'cant-tell', null], ['2027-02-01', '2027-04-30', '2027-02-01', 'cant-tell', null]]);
    expect(['2027-01-10', '2027-02-01', '2027-04-30', '2027-05-01'].map((day) => standingOfDuty(h, d(day)))).toEqual(['cant-tell', 'cant-tell', 'cant-tell', 'lapsed']);
  });
  it('[REC-41] a catch-up limit that passes before the first window is missed', () => {
    const cadence: Cadence = { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 'month-end', early: { months: 1 }, late: { months: 1 } };
    const windows = timeline(history(cadence, '2026-09-01', null, [], { catchUpDays: 90 }), d('2027-03-01'));
    expect(windows.map((w) => [w.lapses, w.outcome, w.carried])).toEqual([['2026-11-30', 'missed', 'cant-tell'], ['2027-04-30', null, 'lapsed']]);
  });
});

describe('ages, events, extending intervals', () => {
  const tenYears: Cadence = { kind: 'age', years: 10, early: { months: 6 }, late: { days: 0 } };
  it('[REC-26] ten years from manufacture; a replacement counts from its own manufacture, early or late', () => {
    const h = history(tenYears, '2020-01-01', '2017-05-20', [], { proofs: [{ on: d('2026-03-01'), ref: 'swap', basisOn: d('2025-11-11') }] });
    expect(edges(h, '2027-01-01')).toEqual(['2026-11-20|2027-05-20|2027-05-20', '2035-05-11|2035-11-11|2035-11-11']);
    expect(standingOfDuty(history(tenYears, '2020-01-01', '2017-05-20', []), d('2027-05-21'))).toBe('lapsed');
  });
  it('[REC-26] reading the same date again replaces nothing; an undated replacement is due at once', () => {
    const again = history(tenYears, '2020-01-01', '2017-05-20', [], { proofs: [{ on: d('2027-03-01'), ref: 'look', basisOn: d('2017-05-20') }] });
    expect(timeline(again, d('2028-01-01'))).toHaveLength(1);
    const undated = history(tenYears, '2020-01-01', '2017-05-20', [], { proofs: [{ on: d('2027-03-01'), ref: 'swap', basisOn: null }] });
    expect(timeline(undated, d('2027-03-02'))[1]).toMatchObject({ opens: '2027-03-01', due: '2027-03-01', carried: 'cant-tell' });
    expect(() => timeline(history(tenYears, '2020-01-01', null, [], { proofs: [{ on: d('2027-03-01'), ref: 'x', basisOn: d('2031-01-01') }] }), d('2027-04-01'))).toThrow('a manufacture date on or before its fitting');
  });
  it('[REC-27] within 14 days of a repair; one check meets two repairs; nothing is owed in between', () => {
    const cadence: Cadence = { kind: 'after-event', within: { days: 14 }, late: { days: 0 } };
    const events = [{ on: d('2027-03-01'), ref: 'repair-1' }, { on: d('2027-03-10'), ref: 'repair-2' }, { on: d('2027-06-01'), ref: 'repair-3' }];
    const h = history(cadence, '2027-01-01', null, ['2027-03-12'], { events });
    expect(timeline(h, d('2027-07-01')).map((w) => [w.opens, w.lapses, w.governsFrom, w.governsTo, w.outcome])).toEqual([
      ['2027-03-01', '2027-03-15', '2027-03-01', '2027-03-11', 'on-time'], ['2027-06-01', '2027-06-15', '2027-06-01', null, null]]);
    expect(['2027-02-28', '2027-03-01', '2027-03-12', '2027-06-15', '2027-06-16'].map((day) => standingOfDuty(h, d(day)))).toEqual(['not-owed', 'open', 'not-owed', 'open', 'lapsed']);
  });
  it('[REC-27] repairs and checks in any order; a check on a repair\'s own day meets it; one before the first day leaves nothing owed', () => {
    const cadence: Cadence = { kind: 'after-event', within: { days: 14 }, late: { days: 0 } };
    const met = (days: string[], repairs: string[]) => timeline(history(cadence, '2027-01-01', null, days, { events: repairs.map((on, i) => ({ on: d(on), ref: `repair-${i + 1}` })) }), d('2027-07-01')).map((w) => [w.opens, w.governsTo, w.metOn]);
    expect(met(['2027-06-20', '2027-03-12'], ['2027-06-01', '2027-03-01'])).toEqual([['2027-03-01', '2027-03-11', '2027-03-12'], ['2027-06-01', '2027-06-19', '2027-06-20']]);
    expect(met(['2027-03-12'], ['2027-03-01', '2027-03-12'])).toEqual([['2027-03-01', '2027-03-11', '2027-03-12']]);
    expect(met(['2027-03-12'], ['2027-03-12'])).toEqual([['2027-03-12', '2027-03-11', '2027-03-12']]);
    expect(met(['2027-01-01'], ['2026-12-20'])).toEqual([['2026-12-20', '2026-12-31', '2027-01-01']]);
    expect(met(['2026-12-31'], ['2026-12-20'])).toEqual([]);
  });
  // SEEN-R, three pages: smoke sensitivity, installed 2010, tests 2011, 2013, 2015, then 2020 (NFPA 72 14.4.5.3, 2010 and 2013 numbering).
  const sensitivity: Cadence = { kind: 'extending', first: { months: 12 }, base: { months: 24 }, extended: { months: 60 }, afterClean: 2, early: { months: 3 }, late: { days: 0 } };
  it('[REC-28] installed 2010, clean in 2011, 2013 and 2015, then due 2020', () => {
    expect(timeline(history(sensitivity, '2010-06-01', '2010-06-01', ['2011-06-01', '2013-06-01', '2015-06-01']), d('2016-01-01')).map((w) => w.due))
      .toEqual(['2011-06-01', '2013-06-01', '2015-06-01', '2020-06-01']);
  });
  it('[REC-28] commissioning after the first day is no result: the first interval counts from it', () => {
    const dates = (from: string) => timeline({ cadence: sensitivity, from: d(from), basisOn: d('2010-06-15'), proofs: [{ on: d('2011-06-10'), ref: 'a', clean: true }] }, d('2012-01-01')).map((window) => window.lapses);
    expect(dates('2010-06-15')).toEqual(['2011-06-15', '2013-06-10']);
    expect(dates('2010-01-01').slice(1)).toEqual(['2011-06-15', '2013-06-10']);
  });
  it('[REC-28] a new version from a day on forgets no clean result before it, and no dirty one', () => {
    const from = (clean: boolean) => timeline({ cadence: sensitivity, from: d('2016-01-01'), basisOn: d('2010-06-15'),
      proofs: ['2011-06-10', '2013-06-05', '2015-06-01'].map((on) => ({ on: d(on), ref: on, clean: clean || on < '2015' })) }, d('2016-02-01'))[0]!.lapses;
    expect(from(true)).toBe('2020-06-01');
    expect(from(false)).toBe('2017-06-01');
  });
  it('[REC-28] of the checks before the first day those count that met a window: from its opening day on, each once', () => {
    const next = (from: string, basisOn: string | null, proofs: string[]) => timeline({ cadence: sensitivity, from: d(from), basisOn: basisOn === null ? null : d(basisOn), proofs: proofs.map((on) => ({ on: d(on), ref: on, clean: true })) }, d('2016-02-01')).at(-1)!.lapses;
    expect(next('2012-01-01', '2010-06-15', ['2011-03-15'])).toBe('2013-03-15');
    expect(next('2012-01-01', '2010-06-15', ['2011-03-14'])).toBe('2012-03-14');
    expect(next('2012-01-01', '2010-06-15', ['2010-06-01', '2011-03-15'])).toBe('2013-03-15');
    expect(next('2016-01-01', null, ['2011-06-10', '2013-06-05', '2015-06-01'])).toBe('2020-06-01');
    expect(next('2016-01-01', null, ['2013-06-05', '2015-06-01'])).toBe('2017-06-01');
    // The check of the first day itself is judged by the first window, and not before it too.
    expect(next('2013-06-05', '2010-06-15', ['2011-06-10', '2013-06-05'])).toBe('2015-06-05');
  });
  it('[REC-28] a result that is not clean falls back, and one not known to be clean does not lengthen', () => {
    const dirty = history(sensitivity, '2010-06-01', '2010-06-01', []);
    const run = (flags: (boolean | undefined)[]) => timeline({ ...dirty, proofs: ['2011-06-01', '2013-06-01', '2015-06-01', '2020-06-01'].slice(0, flags.length).map((on, i) => ({ on: d(on), ref: `${i}`, ...(flags[i] === undefined ? {} : { clean: flags[i] }) })) }, d('2021-01-01')).at(-1)!.due;
    expect(run([true, false, true])).toBe('2017-06-01');
    expect(run([true, undefined, true])).toBe('2017-06-01');
    expect(run([true, true, true, false])).toBe('2022-06-01');
    expect(run([true, true, true, true])).toBe('2025-06-01');
  });
});

describe('edges one day either way', () => {
  it('[REC-21] a fixed window is counted from no proof, once-per only where it has a gap', () => {
    const basis = (cadence: Cadence) => timeline(history(cadence, '2027-01-01', '2026-12-10', ['2027-01-05']), d('2027-01-06')).map((w) => w.basisOn);
    expect(basis({ kind: 'once-per', period: 'month', minGapDays: 0 })).toEqual([null, null]);
    expect(basis({ kind: 'once-per', period: 'month', minGapDays: 5 })).toEqual(['2026-12-10', '2027-01-05']);
  });
  it('[REC-25] weeks run from Monday to Sunday, before 1970 too', () => {
    const weekly: Cadence = { kind: 'once-per', period: 'week', minGapDays: 0 };
    expect(edges(history(weekly, '2027-03-03', '2027-02-22', []), '2027-03-04')).toEqual(['2027-03-01|2027-03-07|2027-03-07']);
    expect(edges(history(weekly, '1969-12-31', '1969-12-22', []), '1969-12-31')).toEqual(['1969-12-29|1970-01-04|1970-01-04']);
  });
  it('[REC-41] without dates a week lapses after a week, a month after a month', () => {
    const lapse = (period: 'week' | 'month') => timeline(history({ kind: 'once-per', period, minGapDays: 0 }, '2027-03-01', null, []), d('2027-03-01'))[0]!.lapses;
    expect([lapse('week'), lapse('month')]).toEqual(['2027-03-07', '2027-03-31']);
    expect(edges(history(halfYearly, '2027-03-01', null, [], { catchUpDays: 30 }), '2027-03-02')).toEqual(['2027-03-01|2027-03-01|2027-03-31']);
    expect(edges(history({ kind: 'age', years: 5, early: { days: 0 }, late: { days: 0 } }, '2027-03-01', null, []), '2027-03-02')).toEqual(['2027-03-01|2027-03-01|2027-05-30']);
    expect(edges(history({ kind: 'age', years: 5, early: { days: 10 }, late: { days: 0 } }, '2027-03-01', null, []), '2027-03-02')).toEqual(['2027-03-01|2027-03-01|2027-03-11']);
  });
  it('[REC-24] the held day counts only from a clipped month end', () => {
    expect(edges(history({ ...halfYearly, holdDay: 31 } as Cadence, '2027-03-16', '2027-03-15', []), '2027-04-01')).toEqual(['2027-07-15|2027-09-15|2027-10-15']);
    expect(edges(history({ ...halfYearly, holdDay: 30 } as Cadence, '2027-04-01', '2027-03-31', []), '2027-04-02')).toEqual(['2027-07-31|2027-09-30|2027-10-31']);
  });
  it('[REC-23] a proof before min counts only where the cadence says so', () => {
    const met = (cadence: Cadence) => timeline(history(cadence, '2026-09-01', '2026-08-31', ['2026-12-30']), d('2027-01-15')).map((w) => w.metOn);
    expect(met(halfYearly)).toEqual([null]);
    expect(met({ ...halfYearly, beforeMin: 'ignored' } as Cadence)).toEqual([null]);
    expect(met({ ...halfYearly, beforeMin: 'counts' } as Cadence)).toEqual(['2026-12-30', null]);
  });
  it('[REC-32] the basis day itself is no further proof; the first day otherwise is', () => {
    const loose: Cadence = { kind: 'since-last', min: { months: 0 }, nominal: { months: 6 }, max: { months: 7 } };
    expect(timeline(history(loose, '2026-09-01', '2026-09-01', ['2026-09-01']), d('2026-10-01'))).toHaveLength(1);
    expect(timeline(history(loose, '2026-09-01', '2026-08-31', ['2026-09-01']), d('2026-10-01')).map((w) => [w.governsFrom, w.governsTo])).toEqual([['2026-09-01', '2026-08-31'], ['2026-09-01', null]]);
  });
  it('[REC-28] an early edge longer than the interval opens the day after the basis', () => {
    const cadence: Cadence = { kind: 'age', years: 1, early: { months: 24 }, late: { days: 0 } };
    expect(edges(history(cadence, '2026-09-01', '2026-08-31', []), '2026-10-01')).toEqual(['2026-09-01|2027-08-31|2027-08-31']);
  });
  it('[REC-26] something made on the day it is fitted is accepted', () => {
    const h = history({ kind: 'age', years: 10, early: { months: 6 }, late: { days: 0 } }, '2020-01-01', '2017-05-20', [], { proofs: [{ on: d('2026-03-01'), ref: 'swap', basisOn: d('2026-03-01') }] });
    expect(timeline(h, d('2026-04-01'))[1]!.due).toBe('2036-03-01');
  });
  it('[REC-42] owed on its first and on its last day', () => {
    const h = history(halfYearly, '2026-09-01', '2026-08-31', [], { to: d('2026-12-31') });
    expect(['2026-08-31', '2026-09-01', '2026-12-31', '2027-01-01'].map((day) => standingOfDuty(h, d(day)))).toEqual(['not-owed', 'proven', 'open', 'not-owed']);
  });
});

describe('shares', () => {
  const quarter: Cadence & { kind: 'share' } = { kind: 'share', period: 'quarter', numerator: 1, denominator: 4 };
  const units = (n: number, from = '2027-01-01'): PopulationUnit[] => Array.from({ length: n }, (_, i) => ({ key: `d${String(i + 1).padStart(2, '0')}`, from: d(from), to: null }));
  const proof = (on: string, keys: string[]) => ({ on: d(on), ref: on, units: keys });
  it('[REC-29] ten detectors: three each quarter until all are done, the next in order', () => {
    const h = { units: units(10), proofs: [proof('2027-02-01', ['d01', 'd02', 'd03'])] };
    expect(shareProgress(quarter, h, d('2027-02-01'))).toMatchObject({ needed: 3, done: ['d01', 'd02', 'd03'], cycleFrom: '2027-01-01', cycleTo: '2027-12-31' });
    expect(shareProgress(quarter, h, d('2027-04-10'))).toMatchObject({ needed: 3, done: [], next: ['d04', 'd05', 'd06', 'd07', 'd08', 'd09', 'd10'] });
  });
  it('[REC-29] a lazy quarter is caught up evenly, a unit added late is spread over what is left', () => {
    const h = { units: [...units(8), { key: 'new', from: d('2027-08-01'), to: null }], proofs: [proof('2027-02-01', ['d01'])] };
    expect(shareProgress(quarter, h, d('2027-04-10')).needed).toBe(3);
    expect(shareProgress(quarter, h, d('2027-08-10')).needed).toBe(4);
    expect(shareProgress(quarter, h, d('2027-11-10'))).toMatchObject({ needed: 8, next: expect.arrayContaining(['new']) });
  });
  it('[REC-29] a unit proven twice counts once, a removed one is not waited for, never proven comes before proven long ago', () => {
    const all = units(4).map((unit) => (unit.key === 'd04' ? { ...unit, to: d('2027-03-31') } : unit));
    const h = { units: all, proofs: [proof('2026-05-01', ['d02']), proof('2027-01-10', ['d01']), proof('2027-04-01', ['d01'])] };
    expect(shareProgress(quarter, h, d('2027-04-10'))).toMatchObject({ needed: 1, done: [], next: ['d03', 'd02'] });
  });
  it('[REC-29] the period is met on the day the share is full, not before', () => {
    const h: DutyHistory = { cadence: quarter, from: d('2027-01-01'), basisOn: d('2026-12-01'), units: units(8), proofs: [proof('2027-01-20', ['d01']), proof('2027-02-20', ['d02']), proof('2027-05-01', ['d03', 'd04'])] };
    expect(timeline(h, d('2027-05-10')).map((w) => [w.metOn, w.outcome])).toEqual([['2027-02-20', 'on-time'], ['2027-05-01', 'on-time'], [null, null]]);
  });
});

describe('suspensions and calendars', () => {
  const pause = (from: string, to: string | null, onReturn?: 'check') => [{ from: d(from), to: to === null ? null : d(to), by: 'owner', ...(onReturn ? { onReturn } : {}) }];
  it('[REC-61] a lapse inside a suspension comes back with the days that were left, up to 30', () => {
    const at = (from: string, to: string) => edges(history(halfYearly, '2026-09-01', '2026-08-31', [], { pauses: pause(from, to) }), '2027-12-01')[0];
    expect(at('2027-03-20', '2027-06-30')).toBe('2026-12-31|2027-02-28|2027-07-12');
    expect(at('2027-01-15', '2027-06-30')).toBe('2026-12-31|2027-07-01|2027-07-30');
    expect(at('2027-01-15', '2027-02-10')).toBe('2026-12-31|2027-02-28|2027-03-31');
  });
  it('[REC-60] what had lapsed stays lapsed', () => {
    expect(edges(history(halfYearly, '2026-09-01', '2026-08-31', [], { pauses: pause('2027-04-01', '2027-06-30') }), '2027-12-01')[0]).toBe('2026-12-31|2027-02-28|2027-03-31');
  });
  it('[REC-60] what was late when it began stays late (found by the property of REC-33)', () => {
    const h = history(halfYearly, '2026-09-01', '2026-08-31', [], { pauses: pause('2027-03-10', '2027-03-12', 'check') });
    expect(edges(h, '2027-12-01')[0]).toBe('2026-12-31|2027-02-28|2027-04-03');
    expect(standingOfDuty(h, d('2027-03-13'))).toBe('late');
  });
  it('[REC-61] a suspension after the window was met moves nothing', () => {
    expect(edges(history(halfYearly, '2026-09-01', '2026-08-31', ['2027-01-10'], { pauses: pause('2027-01-11', '2027-06-30') }), '2027-01-20')[0]).toBe('2026-12-31|2027-02-28|2027-03-31');
  });
  it('[REC-62] a fixed window that passes in a suspension is not missed, and the next carries cannot tell', () => {
    const cadence: Cadence = { kind: 'once-per', period: 'month', minGapDays: 0 };
    const windows = timeline(history(cadence, '2027-01-01', '2026-12-10', ['2027-01-05'], { pauses: pause('2027-02-01', '2027-04-15') }), d('2027-05-02'));
    expect(windows.map((w) => [w.opens, w.outcome, w.carried])).toEqual([
      ['2027-01-01', 'on-time', 'proven'], ['2027-02-01', null, 'proven'], ['2027-03-01', null, 'cant-tell'], ['2027-04-01', null, 'cant-tell'], ['2027-05-01', null, 'cant-tell']]);
  });
  it('[REC-62] one suspended day moves a lapse to the very day of the next opening: rolled over; without it the month is missed', () => {
    const cadence: Cadence = { kind: 'once-per', period: 'month', minGapDays: 0 };
    const outcome = (pauses: ReturnType<typeof pause>) => timeline(history(cadence, '2027-02-01', '2027-01-10', [], { pauses }), d('2027-03-02'))[0]!.outcome;
    expect(outcome(pause('2027-02-28', '2027-02-28'))).toBeNull();
    expect(outcome([])).toBe('missed');
  });
  it('[REC-63] a check owed on return opens the day after and lapses 30 days after the end', () => {
    const h = history(annual, '2026-09-01', '2026-08-31', [], { pauses: pause('2026-10-01', '2026-12-31', 'check') });
    expect(edges(h, '2027-03-01')[0]).toBe('2027-01-01|2027-01-30|2027-01-30');
    expect(['2026-12-31', '2027-01-01', '2027-01-30', '2027-01-31'].map((day) => standingOfDuty(h, d(day)))).toEqual(['not-owed', 'open', 'open', 'lapsed']);
  });
  it('[REC-63] a check on return is owed once: later windows are their own (found by the property of REC-33)', () => {
    const h = history(annual, '2026-09-01', '2026-08-31', ['2027-01-10'], { pauses: pause('2026-10-01', '2026-12-31', 'check') });
    expect(edges(h, '2027-03-01')[1]).toBe('2027-10-10|2028-01-10|2028-04-10');
  });
  it('[REC-42] while a suspension has no end nothing is owed', () => {
    const h = history(halfYearly, '2026-09-01', '2026-08-31', [], { pauses: pause('2027-01-15', null) });
    expect(standingOfDuty(h, d('2035-01-01'))).toBe('not-owed');
    expect(timeline(h, d('2035-01-01'))[0]!.lapses).toBe('9999-12-31');
  });
  it('[REC-64] a calendar pulls due earlier, never later and never past the lapse', () => {
    const calendar = { openWeekdays: [1, 2, 3, 4, 5], closed: [{ from: d('2027-02-15'), to: d('2027-03-31'), reason: 'building works' }] };
    expect(edges(history(halfYearly, '2026-09-01', '2026-08-31', [], { calendar }), '2027-01-01')[0]).toBe('2026-12-31|2027-02-12|2027-03-31');
    const shut = { closed: [{ from: d('2026-12-01'), to: d('2027-04-30'), reason: 'shut' }] };
    expect(edges(history(halfYearly, '2026-09-01', '2026-08-31', [], { calendar: shut }), '2027-01-01')[0]).toBe('2026-12-31|2027-02-28|2027-03-31');
  });
  it('[REC-64] a due date that a closed day pulls lands on a weekday with access; such a weekday alone pulls nothing', () => {
    const due = (calendar: AccessCalendar) => timeline({ cadence: { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 26, early: { days: 20 }, late: { days: 5 } }, from: d('2026-06-01'), basisOn: d('2026-03-20'), proofs: [], calendar }, d('2027-03-01'))[0]!.due;
    const closed = [{ from: d('2027-03-25'), to: d('2027-03-26'), reason: 'feast' }];
    expect(due({ landOn: [1, 2] })).toBe('2027-03-26');
    expect(due({ closed })).toBe('2027-03-24');
    expect(due({ closed, landOn: [1, 2] })).toBe('2027-03-23');
    expect(due({ closed, landOn: [1, 2], openWeekdays: [1] })).toBe('2027-03-22');
    expect(due({ closed, landOn: [7], closedSeasons: [{ from: '03-01', to: '03-24', reason: 'shut' }] })).toBe('2027-03-26');
  });
});

describe('a change of regime, refused input, plans over years', () => {
  it('[REC-33] the old cadence judges the days before the change, the new one counts from the last proof', () => {
    const old = history(annual, '2025-01-01', '2024-12-20', ['2025-12-15']);
    const { before, after } = changeRegime(old, d('2026-07-01'), halfYearly);
    expect(timeline(before, d('2027-01-01')).at(-1)).toMatchObject({ opens: '2026-09-15', governsTo: '2026-06-30' });
    expect(timeline(after, d('2027-01-01'))[0]).toMatchObject({ governsFrom: '2026-07-01', basisOn: '2025-12-15', lapses: '2026-07-15' });
  });
  it('[REC-44] a commissioning after the first day is a proof without a check', () => {
    expect(timeline(history(halfYearly, '2027-01-01', '2027-01-20', []), d('2027-02-01'))).toMatchObject([
      { carried: 'cant-tell', metOn: '2027-01-20', metBy: null, governsTo: '2027-01-19' }, { carried: 'proven', basisOn: '2027-01-20', opens: '2027-05-20' }]);
  });
  it.each<[Partial<DutyHistory> & { cadence?: Cadence }, string]>([
    [{ from: d('2027-02-30') }, 'date: "2027-02-30"'], [{ to: d('2026-01-01') }, 'a date on or after from (2027-01-01)'],
    [{ pauses: [{ from: d('2027-03-02'), to: d('2027-03-01'), by: 'x' }] }, 'an end on or after its start'],
    [{ cadence: { ...halfYearly, min: { months: 8 } } as Cadence }, 'min no longer than nominal'], [{ cadence: { kind: 'once-per', period: 'month', minGapDays: 28 } }, 'from 0 to 27 for one month'],
    [{ cadence: { kind: 'fixed-month', everyMonths: 0, dueMonth: 3, dueDay: 1, early: { days: 0 }, late: { days: 0 } } }, 'cadence everyMonths: "0"'],
    [{ cadence: { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 32, early: { days: 0 }, late: { days: 0 } } }, 'cadence dueDay: "32"'],
    [{ cadence: { kind: 'weekly' } as unknown as Cadence }, 'cadence kind: ""weekly""'],
  ])('[REC-1] refuses %o', (part, message) => {
    expect(() => timeline({ ...history(halfYearly, '2027-01-01', null, []), ...part }, d('2027-06-01'))).toThrow(message);
  });
  it('[REC-1] checks spans', () => {
    expect(() => checkCadence({ ...halfYearly, max: { months: 1, days: 2 } as never })).toThrow('{ months: 0 to 1200 } or { days: 0 to 36600 }');
    expect(() => checkCadence({ kind: 'extending', first: { months: 12 }, base: { months: 24 }, extended: { months: 60 }, afterClean: 0, early: { days: 0 }, late: { days: 0 } })).toThrow('afterClean');
  });
  it('[REC-1] a month beside days is out of order only where it surely is: 27 days at the least, 34 at the most', () => {
    const since = (min: object, nominal: object) => () => checkCadence({ kind: 'since-last', min, nominal, max: { days: 400 } } as Cadence);
    expect(since({ months: 1 }, { days: 27 })).not.toThrow();
    expect(since({ months: 1 }, { days: 26 })).toThrow('min no longer than nominal');
    expect(since({ days: 34 }, { months: 1 })).not.toThrow();
    expect(since({ days: 35 }, { months: 1 })).toThrow('min no longer than nominal');
    expect(since({ months: 0 }, { days: 0 })).not.toThrow();
    expect(() => checkCadence({ kind: 'since-last', min: { days: 0 }, nominal: { days: 0 }, max: { days: 0 } })).toThrow('more than nothing');
    expect(() => checkCadence({ kind: 'since-last', min: { days: 0 }, nominal: { days: 0 }, max: { days: 1 } })).not.toThrow();
  });
  it('[REC-76] two neighbouring sites fall together, earlier only, and every duty stays in its window', () => {
    const duty = (name: string, place: string, basisOn: string) => ({ name, place, noisy: false, minutes: 40, history: history(annual, '2027-01-01', basisOn, []) });
    const duties = [duty('A yearly', 'A', '2026-05-10'), duty('B yearly', 'B', '2026-06-20')];
    const plan = planVisits(duties, d('2027-01-01'), d('2029-12-31'), { fixedMinutes: 30, travelMinutes: 60, givenAwayMinutes: 0.5 });
    expect(plan.lapsed).toEqual([]);
    expect(plan.visits.every((visit) => visit.names.length === 2)).toBe(true);
    expect(plan.costMinutes).toBeLessThan(plan.aloneMinutes);
    for (const each of duties) {
      const days = plan.visits.filter((visit) => visit.names.includes(each.name)).map((visit) => visit.on);
      const windows = timeline({ ...each.history, proofs: days.map((on) => ({ on, ref: on })) }, d('2029-12-31')).filter((w) => w.metOn !== null);
      expect(windows).toHaveLength(days.length);
      for (const window of windows) expect(window.outcome).toBe('on-time');
    }
    const dear = planVisits(duties, d('2027-01-01'), d('2029-12-31'), { fixedMinutes: 30, travelMinutes: 60, givenAwayMinutes: 60 });
    expect(dear.visits.some((visit) => visit.names.length === 1)).toBe(true);
  });
  it('[REC-76] a place that must be gone to anyway is not taken along', () => {
    const duty = (name: string, place: string, basisOn: string, cadence: Cadence = annual) => ({ name, place, noisy: false, minutes: 10, history: history(cadence, '2027-01-01', basisOn, []) });
    // B's next visit on 20 June meets both of its duties; on 10 May one of them is not open, so going there then saves nothing.
    const late: Cadence = { kind: 'since-last', min: { days: 350 }, nominal: { days: 365 }, max: { days: 380 } };
    const plan = planVisits([duty('A', 'A', '2026-05-10'), duty('B1', 'B', '2026-06-20'), duty('B2', 'B', '2026-06-20', late)], d('2027-04-01'), d('2027-12-31'), { fixedMinutes: 30, travelMinutes: 60, givenAwayMinutes: 0.5 });
    expect(plan.visits.map((visit) => [visit.on, visit.names])).toEqual([['2027-05-10', ['A']], ['2027-06-20', ['B1', 'B2']]]);
  });
  it('[REC-75] a window without a usable day says why, with ways out', () => {
    const closed = { closed: [{ from: d('2027-01-01'), to: d('2027-12-31'), reason: 'rebuilding' }] };
    const { visits, cannotBeMet } = doTogether([{ name: 'yearly', opens: d('2027-02-01'), lapses: d('2027-04-30'), noisy: true }], closed);
    expect(visits).toEqual([]);
    expect(cannotBeMet[0]).toMatchObject({ name: 'yearly', why: 'no usable day from 1 Feb 2027 to 30 Apr 2027: rebuilding' });
    expect(cannotBeMet[0]!.waysOut).toContain('a documented pause, asked for in writing by the owner and named to the authority');
  });
});
