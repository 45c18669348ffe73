import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { backTestCapacity, forecastCapacity, learnMinutes, playCapacity, staffingEffects, staffNeeded, type Demand, type PastVisit, type Person, type Uncertainty } from './index.js';
import { Random } from './random.js';

const CERTAIN: Uncertainty = { noAccess: 0, repeat: 0, sick: 0, minutesSpread: 0, breakdownMinutes: [] };
const fire = (id: string, opensWeek: number, closesWeek: number, minutes: number): Demand => ({ id, skills: ['fire'], opensWeek, closesWeek, minutes });
const person = (id: string, skills: readonly string[], more: Partial<Person> = {}): Person => ({ id, skills, minutesPerWeek: 1000, ...more });
const OPTIONS = { weeks: 10, runs: 40, seed: 1 };

describe('capacity', () => {
  it('[PLN-70] without uncertainty it is exact: work that fits never lapses, a minute too many does', () => {
    const demand = Array.from({ length: 10 }, (_, w) => fire(`d${w}`, w, w, 1000));
    expect(forecastCapacity(demand, [person('a', ['fire'])], CERTAIN, OPTIONS).lapseChance).toBe(0);
    const over = forecastCapacity([...demand, fire('more', 4, 4, 1)], [person('a', ['fire'])], CERTAIN, OPTIONS);
    expect(over.lapseChance).toBe(1);
    expect(over.lapsesBegin).toBe(4);
    expect(over.bySkills[0].skills).toBe('fire');
  });

  it('[PLN-71] slack weeks before a peak are used, and an ended licence or leave takes hours away', () => {
    const peak = [fire('big', 0, 2, 3000)];
    expect(forecastCapacity(peak, [person('a', ['fire'])], CERTAIN, OPTIONS).lapseChance).toBe(0);
    expect(forecastCapacity(peak, [person('a', ['fire'], { skillEnds: { fire: 2 } })], CERTAIN, OPTIONS).lapsesBegin).toBe(2);
    expect(forecastCapacity(peak, [person('a', ['fire'], { weeksOff: [1] })], CERTAIN, OPTIONS).lapsesBegin).toBe(2);
  });

  it('[PLN-72] people with few skills are used first', () => {
    const demand: Demand[] = [{ id: 'i', skills: ['intrusion'], opensWeek: 0, closesWeek: 0, minutes: 1000 }, fire('f', 0, 0, 1000)];
    expect(forecastCapacity(demand, [person('both', ['fire', 'intrusion']), person('one', ['intrusion'])], CERTAIN, OPTIONS).lapseChance).toBe(0);
  });

  it('[PLN-73] more uncertainty, more lapses; more people, fewer; the same seed, the same forecast', () => {
    const demand = Array.from({ length: 40 }, (_, i) => fire(`d${i}`, i % 10, Math.min(9, (i % 10) + 1), 230));
    const rough = { ...CERTAIN, noAccess: 0.15, repeat: 0.1, sick: 0.05, minutesSpread: 0.4, breakdownMinutes: [60] };
    const one = forecastCapacity(demand, [person('a', ['fire'])], rough, OPTIONS);
    expect(one.lapseChance).toBeGreaterThan(forecastCapacity(demand, [person('a', ['fire'])], CERTAIN, OPTIONS).lapseChance);
    expect(forecastCapacity(demand, [person('a', ['fire'])], rough, OPTIONS)).toEqual(one);
    expect(one.weeks[3].neededMin.p10).toBeLessThan(one.weeks[3].neededMin.p90);
    const answer = staffNeeded(demand, [person('a', ['fire'])], rough, person('new', ['fire']), 0.05, OPTIONS);
    expect(answer.added).toBeGreaterThan(0);
    expect(answer.lapseChance).toBeLessThanOrEqual(0.05);
  });

  it('[PLN-74] by skills and area: hours of one area never serve another, and each group has its own first week of lapses', () => {
    const north = { ...fire('n', 0, 3, 3500), area: 'north' };
    const south = { ...fire('s', 0, 3, 5000), area: 'south' };
    const { groups } = forecastCapacity([north, south], [person('a', ['fire'], { area: 'north' }), person('b', ['fire'], { area: 'south' })], CERTAIN, OPTIONS);
    expect(groups.map((g) => [g.area, g.lapses, g.lapsesBegin])).toEqual([['south', 1, 3], ['north', 0, null]]);
    expect(groups[0].weeks[3].neededMin.p50).toBe(5000 - 3 * 1000);
    expect(groups[0].weeks[0].ableMin.p50).toBe(1000);
  });

  it('[PLN-75] leave not booked yet takes its share of the hours, and a season of breakdowns its weeks', () => {
    const long = { weeks: 52, runs: 200, seed: 3 };
    const mean = (u: Uncertainty): number => forecastCapacity([], [person('a', []), person('b', [])], u, long).weeks.reduce((s, w) => s + (w.availableMin.p10 + w.availableMin.p50 + w.availableMin.p90) / 3, 0);
    expect(mean({ ...CERTAIN, leaveWeeks: 10 })).toBeLessThan(mean({ ...CERTAIN, leaveWeeks: 2 }));
    const season = forecastCapacity([], [person('a', [])], { ...CERTAIN, breakdownMinutes: Array.from({ length: 52 }, (_, w) => (w < 8 ? 300 : 30)) }, long);
    expect(season.weeks[2].neededMin.p10).toBeGreaterThan(season.weeks[20].neededMin.p90);
  });

  it('[PLN-76] one hire, one training, one lost technician, each against the same futures', () => {
    const demand = Array.from({ length: 60 }, (_, i): Demand => ({ id: `d${i}`, skills: [i % 3 === 0 ? 'intrusion' : 'fire'], opensWeek: i % 20, closesWeek: (i % 20) + 1, minutes: 540 }));
    const people = [person('a', ['fire']), person('b', ['intrusion']), person('c', ['intrusion'])];
    const rough = { ...CERTAIN, sick: 0.05, minutesSpread: 0.3 };
    const effects = staffingEffects(demand, people, rough, { hire: person('new', ['fire']) }, { weeks: 20, runs: 60, seed: 5 });
    expect(effects.lapses).toBeGreaterThan(1);
    const of = (words: string): number => effects.changes.find((c) => c.words === words)?.change ?? NaN;
    expect(of('one more person with fire')).toBeLessThan(-1);
    expect(of('b learns fire')).toBeLessThan(-1);
    expect(of('a learns intrusion')).toBeLessThan(1);
    expect(of('a leaves')).toBeGreaterThan(1);
    expect(of('a leaves')).toBeGreaterThan(of('b leaves'));
    expect([...effects.changes].sort((x, y) => x.change - y.change)).toEqual(effects.changes);
    expect(() => staffingEffects(demand, people, rough, { lost: ['nobody'] }, OPTIONS)).toThrow(RangeError);
  });

  it('[PLN-77] back-test on a past whose truth is known: the ranges hold four weeks in five, the chances are calibrated, a forecast too sure is found out', () => {
    const rough: Uncertainty = { noAccess: 0.15, repeat: 0.1, sick: 0.06, minutesSpread: 0.4, breakdownMinutes: [120] };
    const past = (believed: Uncertainty) => Array.from({ length: 25 }, (_, k) => {
      const demand = Array.from({ length: 60 }, (_, i) => fire(`y${k} d${i}`, i % 12, Math.min(11, (i % 12) + 1 + (i % 2)), 180));
      const people = [person('a', ['fire']), person('b', ['fire'], { minutesPerWeek: 330 })];
      const truth = playCapacity(demand, people, rough, { weeks: 12, seed: 900_000 + k });
      return { demand, people, uncertainty: believed, came: truth.map((w) => ({ neededMin: w.needed, lapsed: w.lapsed.length > 0 })) };
    });
    const honest = backTestCapacity(past(rough), { runs: 120, seed: 1 });
    expect(honest.weeks).toBe(300);
    expect(honest.within).toBeGreaterThan(0.72);
    expect(honest.within).toBeLessThan(0.92);
    expect(honest.brier).toBeLessThan(honest.brierOfShare);
    for (const c of honest.calibration.filter((x) => x.weeks > 40)) expect(Math.abs(c.said - c.came)).toBeLessThan(0.15);
    const sure = backTestCapacity(past(CERTAIN), { runs: 20, seed: 1 });
    expect(sure.within).toBeLessThan(0.4);
    expect(sure.brier).toBeGreaterThan(honest.brier);
    expect(() => backTestCapacity([], { runs: 5, seed: 1 })).toThrow(RangeError);
  });

  it('[PLN-78] minutes learned from history: between the own mean and that of all, own weight rising with visits, truth found back', () => {
    const random = new Random(11);
    const normal = (): number => Math.sqrt(-2 * Math.log(1 - random.unit())) * Math.cos(2 * Math.PI * random.unit());
    const truth = Array.from({ length: 40 }, (_, k) => ({ kind: `k${String(k).padStart(2, '0')}`, at: Math.log(50) + 0.3 * normal(), n: k % 4 === 0 ? 2 : k % 4 === 1 ? 5 : 40 }));
    const history: PastVisit[] = truth.flatMap((t) => Array.from({ length: t.n }, () => ({ kind: t.kind, minutes: Math.exp(t.at + 0.4 * normal()) })));
    const learnt = learnMinutes(history, ['never made']);
    expect(learnt[0].spread).toBeCloseTo(0.4, 1);
    const error = (of: (l: (typeof learnt)[number]) => number): number => truth.filter((t) => t.n === 2).reduce((s, t) => s + (Math.log(of(learnt.find((l) => l.kind === t.kind)!)) - t.at - 0.08) ** 2, 0);
    expect(error((l) => l.minutes)).toBeLessThan(error((l) => l.rawMin));
    const never = learnt.find((l) => l.kind === 'never made');
    expect(never).toMatchObject({ visits: 0, ownWeight: 0 });
    fc.assert(fc.property(fc.constantFrom(...truth), (t) => {
      const l = learnt.find((x) => x.kind === t.kind)!;
      const raw = Math.exp(history.filter((h) => h.kind === t.kind).reduce((s, h) => s + Math.log(h.minutes), 0) / t.n + l.spread ** 2 / 2);
      const [low, high] = [Math.min(raw, never!.minutes), Math.max(raw, never!.minutes)];
      expect(l.minutes).toBeGreaterThanOrEqual(low - 1e-9);
      expect(l.minutes).toBeLessThanOrEqual(high + 1e-9);
      expect(l.ownWeight > learnt.find((x) => x.visits === 2)!.ownWeight).toBe(t.n > 2);
    }), { seed: 20270309, numRuns: 100 });
    expect(() => learnMinutes([{ kind: 'a', minutes: 0 }])).toThrow(RangeError);
    expect(() => learnMinutes([])).toThrow(RangeError);
  });
});
