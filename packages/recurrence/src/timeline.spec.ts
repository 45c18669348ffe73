import { describe, expect, it } from 'vitest';
import { type Cadence, type DutyHistory, type LocalDate, standingOfDuty, standingOn, governing, timeline } from './index.js';

const d = (text: string): LocalDate => text as LocalDate;
const proofs = (...days: string[]) => days.map((on, i) => ({ on: d(on), ref: `check-${i + 1}` }));
const history = (cadence: Cadence, from: string, basisOn: string | null, days: string[], more: Partial<DutyHistory> = {}): DutyHistory =>
  ({ cadence, from: d(from), basisOn: basisOn === null ? null : d(basisOn), proofs: proofs(...days), ...more });
const edges = (h: DutyHistory, horizon: string) => timeline(h, d(horizon)).map((w) => `${w.opens}|${w.due}|${w.lapses}`);

const annualMarch: Cadence = { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 'month-end', early: { months: 1 }, late: { months: 1 } };
const halfYearly: Cadence = { kind: 'since-last', min: { months: 4 }, nominal: { months: 6 }, max: { months: 7 } };

describe('scenario 1: due month does not drift', () => {
  const at = (day: string) => timeline(history(annualMarch, '2026-06-01', '2026-03-10', [day]), d('2027-12-31'));
  it('[REC-20] annual, due March 2027, one month either side: window 2027-02-01 to 2027-04-30', () => {
    expect(edges(history(annualMarch, '2026-06-01', '2026-03-10', []), '2027-03-01')).toEqual(['2027-02-01|2027-03-31|2027-04-30']);
  });
  it('[REC-21] completed 2027-05-06: late by 6 days, next window 2028-02-01 to 04-30', () => {
    const [first, second] = at('2027-05-06');
    expect(first).toMatchObject({ outcome: 'late', lateDays: 6, metOn: '2027-05-06', governsTo: '2027-05-05' });
    expect(second).toMatchObject({ opens: '2028-02-01', lapses: '2028-04-30', governsFrom: '2027-05-06', governsTo: null, carried: 'proven' });
  });
  it('[REC-21] completed 2027-02-03 instead: on time, next window the same', () => {
    const [first, second] = at('2027-02-03');
    expect(first).toMatchObject({ outcome: 'on-time', lateDays: 0 });
    expect(second).toMatchObject({ opens: '2028-02-01', lapses: '2028-04-30' });
  });
  it('[REC-22] not done at all: missed when the next window opens, and lapsed is carried until it is met', () => {
    const windows = timeline(history(annualMarch, '2026-06-01', '2026-03-10', []), d('2028-03-01'));
    expect(windows[0]).toMatchObject({ outcome: 'missed', governsTo: '2028-01-31', metOn: null });
    expect(windows[1]).toMatchObject({ governsFrom: '2028-02-01', carried: 'lapsed', outcome: null });
    expect(standingOn(windows[1]!, d('2028-03-01'))).toBe('lapsed');
  });
});

describe('scenario 2: month-end', () => {
  it('[REC-23] since-last 4 / 6 / 7 months after 2026-08-31: opens 2026-12-31, due 2027-02-28, lapses 2027-03-31', () => {
    expect(edges(history(halfYearly, '2026-09-01', '2026-08-31', []), '2027-01-01')).toEqual(['2026-12-31|2027-02-28|2027-03-31']);
  });
  it('[REC-23] basis 2028-02-29 + 12 months = 2029-02-28', () => {
    const annual: Cadence = { kind: 'since-last', min: { months: 12 }, nominal: { months: 12 }, max: { months: 12 } };
    expect(edges(history(annual, '2028-03-01', '2028-02-29', []), '2028-06-01')).toEqual(['2029-02-28|2029-02-28|2029-02-28']);
  });
  it('[REC-24] with the basis day held a proof on 28 Feb does not ratchet: the next is due 31 Aug', () => {
    const held: Cadence = { ...halfYearly, holdDay: 31 };
    expect(edges(history(held, '2026-09-01', '2026-08-31', ['2027-02-28']), '2027-05-01')[1]).toBe('2027-06-30|2027-08-31|2027-09-30');
    expect(edges(history(halfYearly, '2026-09-01', '2026-08-31', ['2027-02-28']), '2027-05-01')[1]).toBe('2027-06-28|2027-08-28|2027-09-28');
  });
});

describe('standing', () => {
  it('[REC-40] walks proven, open, late, lapsed along one rolling window', () => {
    const h = history(halfYearly, '2026-09-01', '2026-08-31', []);
    const on = (day: string) => standingOfDuty(h, d(day));
    expect([on('2026-12-30'), on('2026-12-31'), on('2027-02-28'), on('2027-03-01'), on('2027-03-31'), on('2027-04-01'), on('2030-01-01')])
      .toEqual(['proven', 'open', 'open', 'late', 'late', 'lapsed', 'lapsed']);
  });
  it('[REC-41] taken over without dates is cannot tell from the first day, lapsed after its interval, never proven', () => {
    const h = history(halfYearly, '2027-03-01', null, []);
    expect(edges(h, '2027-03-01')).toEqual(['2027-03-01|2027-03-01|2027-09-01']);
    expect([standingOfDuty(h, d('2027-03-01')), standingOfDuty(h, d('2027-09-01')), standingOfDuty(h, d('2027-09-02'))]).toEqual(['cant-tell', 'cant-tell', 'lapsed']);
    const met = history(halfYearly, '2027-03-01', null, ['2027-04-10']);
    expect(standingOfDuty(met, d('2027-04-09'))).toBe('cant-tell');
    expect(standingOfDuty(met, d('2027-04-10'))).toBe('proven');
  });
  it('[REC-42] not owed before, after, and while suspended', () => {
    const h = history(halfYearly, '2026-09-01', '2026-08-31', [], { to: d('2027-12-31'), pauses: [{ from: d('2027-01-10'), to: d('2027-02-10'), by: 'owner' }] });
    expect(['2026-08-31', '2027-01-09', '2027-01-10', '2027-02-10', '2027-02-11', '2028-01-01'].map((day) => standingOfDuty(h, d(day))))
      .toEqual(['not-owed', 'open', 'not-owed', 'not-owed', 'open', 'not-owed']);
  });
  it('[REC-30] one window governs each day', () => {
    const windows = timeline(history(annualMarch, '2024-06-01', '2024-03-10', ['2025-03-01', '2027-05-06']), d('2028-06-01'));
    expect(windows.map((w) => [w.governsFrom, w.governsTo])).toEqual([
      ['2024-06-01', '2025-02-28'], ['2025-03-01', '2027-01-31'], ['2027-02-01', '2027-05-05'], ['2027-05-06', null]].map((r) => r));
    expect(governing(windows, d('2027-05-05'))?.outcome).toBe('late');
  });
});
