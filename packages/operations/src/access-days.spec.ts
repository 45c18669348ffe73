import { describe, expect, it } from 'vitest';
import type { BlackoutFact, SiteDays } from '@bellround/database';
import { doTogether, timeline, usableDates, type LocalDate } from '@bellround/recurrence';
import { closuresOf, loudClosures, regionOf, visitCalendar, type CompanyDays } from './access-days.js';
import { holidayRegion, holidayRegions, publicHolidays } from './holidays.js';

const d = (text: string) => text as LocalDate;
const WEEKDAYS = [1, 2, 3, 4, 5].map((weekday) => ({ weekday, from: '08:00', to: '18:00' }));
const school: SiteDays = { siteId: 's', occupancy: 'school', region: null, accessHours: WEEKDAYS, noiseHours: null };
const nothing: CompanyDays = { region: null, shared: [] };
const row = (kind: string, from: string, to: string | null, reason: string): BlackoutFact => ({ siteId: 's', kind, from, to, reason, authority: 'head' });

describe('public holidays by region', () => {
  it('are plain days with their names: Madrid 2027 (feasts of the calendar and the two days before Easter, 28 March; from memory)', () => {
    const days = publicHolidays('ES-MD').filter((one) => one.from.startsWith('2027')).map((one) => one.from);
    for (const day of ['2027-01-01', '2027-01-06', '2027-03-25', '2027-03-26', '2027-05-01', '2027-10-12', '2027-11-01', '2027-12-06', '2027-12-08', '2027-12-25']) expect(days).toContain(day);
    expect(new Set(days).size).toBe(days.length);
    expect(publicHolidays('ES').some((one) => one.reason.includes('Madrid'))).toBe(false);
    expect(publicHolidays('ES-MD')).toBe(publicHolidays('ES-MD'));
  });
  it('know their codes and no others', () => {
    expect(holidayRegion('ES-MD')!.words).toBe('Spain, Comunidad de Madrid');
    expect(holidayRegion('GB')!.state).toBeNull();
    for (const wrong of ['XX', 'es', 'ES-XX', 'Spain', '', 'none']) expect(holidayRegion(wrong), wrong).toBeNull();
    expect(publicHolidays('XX')).toEqual([]);
    expect(holidayRegions().length).toBeGreaterThan(300);
  });
  it('a site follows its company unless it says otherwise', () => {
    const company = { region: 'ES', shared: [] };
    expect([regionOf(school, company), regionOf({ region: 'PT' }, company), regionOf({ region: 'none' }, company)]).toEqual(['ES', 'PT', null]);
  });
});

describe('on which days a site can be entered', () => {
  it('[REC-64] a due date on a public holiday is pulled to the day before, never past the lapse', () => {
    const cadence = { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 26, early: { days: 20 }, late: { days: 20 } } as const;
    const due = (calendar: ReturnType<typeof closuresOf>) => timeline({ cadence, from: d('2026-06-01'), basisOn: d('2026-03-20'), proofs: [], ...(calendar ? { calendar } : {}) }, d('2027-03-01'))[0]!.due;
    expect(due(closuresOf(school, [], nothing))).toBe('2027-03-26');
    // Holy Thursday and Good Friday are holidays in Madrid; in Portugal the Friday alone.
    expect(due(closuresOf(school, [], { region: 'ES-MD', shared: [] }))).toBe('2027-03-24');
    expect(due(closuresOf(school, [], { region: 'PT', shared: [] }))).toBe('2027-03-25');
    // It lands where somebody can come: on Wednesday when Thursdays are closed; a closed weekday alone pulls nothing.
    const midweek = { ...school, accessHours: WEEKDAYS.filter((one) => one.weekday < 4) };
    expect(due(closuresOf(midweek, [], { region: 'PT', shared: [] }))).toBe('2027-03-24');
    expect(due(closuresOf(midweek, [row('closed', '2027-03-01', '2027-03-02', 'works')], nothing))).toBe('2027-03-26');
  });
  it('school terms close schools only; days without sounders bind what sounds only', () => {
    const company: CompanyDays = { region: null, shared: [
      { kind: 'closed', from: '2027-07-01', to: '2027-08-31', reason: 'summer break', authority: 'council', occupancy: 'school' },
      { kind: 'noise', from: '2027-03-22', to: '2027-04-02', reason: 'exams', authority: 'council', occupancy: 'school' }] };
    expect(closuresOf({ region: null, occupancy: 'shop' }, [], company)).toBeUndefined();
    const silent = closuresOf(school, [], company)!;
    expect(silent.closed).toEqual([{ from: '2027-07-01', to: '2027-08-31', reason: 'summer break' }]);
    expect(usableDates(d('2027-03-22'), d('2027-04-05'), silent)).toHaveLength(15);
    expect(usableDates(d('2027-03-22'), d('2027-04-05'), loudClosures(silent)!)).toEqual(['2027-04-03', '2027-04-04', '2027-04-05']);
  });
  it('[REC-75] a season comes back every year; one without an end is a closure', () => {
    const season = closuresOf(school, [row('season', '2026-11-01', '2027-03-31', 'shut for the winter')], nothing)!;
    expect(usableDates(d('2027-02-01'), d('2027-04-30'), season)).toHaveLength(30);
    expect(usableDates(d('2031-02-01'), d('2031-04-30'), season)[0]).toBe('2031-04-01');
    expect(usableDates(d('2027-02-01'), d('2027-04-30'), closuresOf(school, [row('season', '2026-11-01', null, 'shut')], nothing)!)).toEqual([]);
  });
  it('weekly hours and a suspension to come count for visits; a weekday whose loud hours never meet its open ones is silent', () => {
    const calendar = visitCalendar({ ...school, noiseHours: [{ weekday: 6, from: '09:00', to: '12:00' }, { weekday: 2, from: '18:00', to: '20:00' }, { weekday: 3, from: '17:00', to: '20:00' }] },
      [row('suspended', '2027-04-05', '2027-04-09', 'rebuilding')], nothing);
    expect(calendar.openWeekdays).toEqual([1, 2, 3, 4, 5]);
    expect(calendar.quietWeekdays).toEqual([1, 2, 4, 5]);
    const [visit] = doTogether([{ name: 'yearly', opens: d('2027-03-29'), lapses: d('2027-04-16'), noisy: false }], calendar).visits;
    expect(visit!.days).not.toContain('2027-04-07');
    expect(visit!.days).toContain('2027-04-12');
  });
});
