import { describe, expect, it } from 'vitest';
import { forecastCapacity, staffNeeded, type Demand, type Person, type Uncertainty } from './index.js';

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
});
