import { addDays, dayNumber, localDate } from '@bellround/recurrence';
import { fitModel, GAIN_DAYS, visitGain, whatIf, type ComponentInput, type SiteInput } from '@bellround/risk';
import { solve, type Visit, type WeekProblem } from '@bellround/planning';
import { describe, expect, it } from 'vitest';
import { URGENT_PACE, worthAtPace, worthOf } from './visit-worth.js';

const MONDAY = '2027-03-01';
const DAYS = [0, 1, 2, 3, 4].map((n) => addDays(localDate(MONDAY), n));
const today = dayNumber(localDate(MONDAY));
const model = fitModel([]);

const part = (cls: ComponentInput['class'], role: ComponentInput['role'], change: Partial<ComponentInput> = {}): ComponentInput => ({
  id: cls, class: cls, role, label: cls, installedDay: today - 1500, lastProofDay: today - 380, failures: 0, hoursInService: 36_000, ageYears: null, temperatureC: 25, marginDb: 20, marginalCount: 0,
  selfReported: false, supervisionH: 1, coverage: 0.9, protects: null, ...change,
});
const site = (change: Partial<ComponentInput> = {}): SiteInput => ({
  siteId: 's', lifeSafety: false, weight: 1,
  systems: [{ systemId: 'y', kind: 'intrusion', components: [part('supply', 'power', change), part('battery', 'power', { ...change, ageYears: 3 }), part('control-unit', 'control-unit', change), part('path-cellular', 'path', { ...change, selfReported: true }), part('detector-wired', 'detection', change)] }],
});
const scored = (input: SiteInput, on = today) => ({ visit_gain: visitGain(model, input, { today: on, nextProofDay: on + 1 }), scored_on: addDays(localDate(MONDAY), on - today), exposure_per_year_h: 100, worst_severity: null, deficiency_due: null, kind: 'programme' });

describe('what a visit is worth by day', () => {
  it('is, on the first day, what the engine says of visiting that week instead of in six', () => {
    const { savedH } = whatIf(model, site(), { kind: 'visit-on', day: today }, { today, nextProofDay: today + GAIN_DAYS });
    expect(worthOf(scored(site()), DAYS).prize).toBeCloseTo(savedH, 1);
    expect(savedH).toBeGreaterThan(10);
  });

  it('a fresh proof takes it away', () => {
    const fresh = worthOf(scored(site({ lastProofDay: today })), DAYS);
    expect(fresh.prize).toBeLessThan(worthOf(scored(site()), DAYS).prize / 20);
    expect(fresh.prize).toBeGreaterThan(0);
  });

  it('a score of nine days ago says what one of today says', () => {
    const stale = site();
    const before = { ...stale, systems: stale.systems.map((system) => ({ ...system, components: system.components.map((c) => (c.ageYears === null ? c : { ...c, ageYears: c.ageYears - 9 / 365.25 })) })) };
    const [now, then] = [worthOf(scored(stale), DAYS).prize, worthOf(scored(before, today - 9), DAYS).prize];
    expect(Math.abs(then / now - 1)).toBeLessThan(0.005);
    // Not shifted, the stale one would be read as of its own day.
    expect(Math.abs(worthOf({ ...scored(before, today - 9), scored_on: MONDAY }, DAYS).prize / now - 1)).toBeGreaterThan(0.01);
  });

  it('waiting counts by steps of twelve hours: not for an ordinary site, every day for one that is known to be down', () => {
    expect(worthOf(scored(site()), DAYS)).not.toHaveProperty('prizeByDay');
    const down = Object.values(worthOf(scored(site({ down: true })), DAYS).prizeByDay!);
    for (let day = 1; day < down.length; day++) expect(down[day - 1]! - down[day]!).toBeGreaterThanOrEqual(12);
    expect(down[0]! - down.at(-1)!).toBe(84);
  });

  it('unscored is not safe; deficiencies and urgent calls add by the pace of their rule, late ones more', () => {
    const unscored = { ...scored(site()), visit_gain: null, scored_on: null, exposure_per_year_h: null };
    expect(worthOf(unscored, DAYS).prize).toBeCloseTo((40 * GAIN_DAYS) / 365.25, 2);
    const by = (change: object) => worthOf({ ...unscored, ...change }, DAYS).prize - worthOf(unscored, DAYS).prize;
    expect(by({ worst_severity: 1, deficiency_due: MONDAY })).toBeCloseTo((120 * GAIN_DAYS) / 365.25, 1);
    expect(by({ worst_severity: 1, deficiency_due: '2027-02-20' })).toBeCloseTo((180 * GAIN_DAYS) / 365.25, 1);
    expect(by({ kind: 'urgent' })).toBeCloseTo(worthAtPace(URGENT_PACE, DAYS).prize, 1);
    expect(worthOf({ ...unscored, exposure_per_year_h: 0 }, DAYS).prize).toBeCloseTo(GAIN_DAYS / 365.25, 2);
  });
});

describe('the planner follows the curve', () => {
  const visit = (id: string, place: number, worth: ReturnType<typeof worthOf>): Visit => ({ id, siteId: id, place, serviceMin: 240, windows: DAYS.map((day) => ({ day, startMin: 480, endMin: 780 })), ...worth });
  const week = (visits: Visit[]): WeekProblem => ({
    days: DAYS, visits, travel: { kind: 'matrix', minutes: [[0, 20, 20, 20], [20, 0, 20, 20], [20, 20, 0, 20], [20, 20, 20, 0]] },
    technicians: [{ id: 't', name: 'Tess', skills: [], home: 0, licences: [], shifts: DAYS.map((day) => ({ day, startMin: 480, endMin: 840, maxOvertimeMin: 0, breakMin: 0 })) }],
  });
  const dayOf = (problem: WeekProblem, id: string) => solve(problem, { seed: 3, stop: { iterations: 300 } }).rounds.find((round) => round.stops.some((stop) => stop.visitId === id))?.day;

  it('a site whose exposure rises steeply goes first, whichever it is', () => {
    const steep = worthOf(scored(site({ down: true })), DAYS);
    const flat = worthOf(scored(site()), DAYS);
    for (const urgent of [1, 2, 3]) expect(dayOf(week([1, 2, 3].map((place) => visit(`v${place}`, place, place === urgent ? steep : flat))), `v${urgent}`)).toBe(DAYS[0]);
  });
});
