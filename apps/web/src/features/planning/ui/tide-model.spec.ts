import type { CapacityFacts } from '@bellround/contracts';
import { describe, expect, it } from 'vitest';
import { answerTide, demandOf, ELSEWHERE, NO_TRIAL, staffAfter, staffOf, waterOf } from './tide-model.js';

const facts = (minutesPerWeek: number): CapacityFacts => ({
  fromMonday: '2027-03-01', weeks: 6, skills: ['fire', 'intrusion'],
  demand: [{ id: '0', skills: ['fire'], area: null, opensWeek: 0, closesWeek: 1, minutes: 2400, visits: 40 }, { id: '1', skills: [], area: null, opensWeek: 2, closesWeek: 4, minutes: 600, visits: 3 }],
  people: [{ id: '00000000-0000-7000-8000-000000000001', name: 'Tess', skills: ['fire'], minutesPerWeek, weeksOff: [], skillEnds: {} }, { id: '00000000-0000-7000-8000-000000000002', name: 'Tess', skills: ['intrusion'], minutesPerWeek, weeksOff: [], skillEnds: {} }],
  uncertainty: { noAccess: 0, repeat: 0, sick: 0, minutesSpread: 0, breakdownMinutes: [] }, sources: [], past: [],
});

describe('the tide', () => {
  it('draws visits apart, at most twelve bundles of a group, without losing a minute', () => {
    const demand = demandOf(facts(600));
    expect(demand).toHaveLength(12 + 3);
    expect(demand.reduce((sum, one) => sum + one.minutes, 0)).toBeCloseTo(3000);
    expect(new Set(demand.map((one) => one.id)).size).toBe(15);
  });
  it('splits work by place where asked, and plays all places as one where not', () => {
    const [first, ...rest] = facts(700).demand;
    const split = { ...facts(700), demand: [{ ...first!, id: '7', area: 'Vexley', minutes: 1800, visits: 30 }, { ...first!, minutes: 600, visits: 10 }, ...rest] };
    expect(demandOf(split).reduce((sum, one) => sum + one.minutes, 0)).toBeCloseTo(3000);
    expect(demandOf(split)).toHaveLength(12 + 3);
    const told = answerTide({ kind: 'areas', facts: split, weeks: 6 });
    if (told.kind !== 'areas') throw new Error('another answer');
    // 1,400 minutes of two weeks for 2,400: something lapses in each place
    expect(new Map(told.forecast.groups.map((one) => [`${one.area} ${one.skills}`, one.lapses > 0]))).toEqual(new Map([['Vexley fire', true], [`${ELSEWHERE} fire`, true], [`${ELSEWHERE} `, false]]));
  });
  it('holds what it would have said of the past against what came', () => {
    const { demand, people, uncertainty } = facts(700);
    const came = (lapsed: boolean[]) => lapsed.map((one, week) => ({ neededMin: week === 1 ? 2400 : 0, lapsed: one }));
    const test = (lapsed: boolean[]) => {
      const told = answerTide({ kind: 'past', facts: { ...facts(700), past: [{ fromMonday: '2027-01-04', demand, people, uncertainty, came: came(lapsed) }] } });
      if (told.kind !== 'past') throw new Error('another answer');
      return told.test;
    };
    const right = test([false, true, false, false, false, false]);
    expect(right).toMatchObject({ weeks: 6, brier: 0 });
    expect(right.brierOfShare).toBeGreaterThan(0);
    expect(test([true, false, false, false, false, false]).brier).toBeGreaterThan(right.brierOfShare);
  });
  it('tells two people of one name apart, and changes the staff as tried', () => {
    const people = staffOf(facts(600));
    expect(people.map((one) => one.id)).toEqual(['Tess', 'Tess (2)']);
    expect(staffAfter(people, { hireLike: 'Tess', lost: 'Tess (2)', trained: '', skill: '' }).map((one) => one.id)).toEqual(['Tess', 'one more']);
    expect(staffAfter(people, { ...NO_TRIAL, trained: 'Tess (2)', skill: 'fire' })[1]!.skills).toEqual(['intrusion', 'fire']);
  });
  it('tops the wall where hours are short, and one more like her brings the water under it', () => {
    const short = answerTide({ kind: 'forecast', facts: facts(700), trial: NO_TRIAL, weeks: 6 });
    const enough = answerTide({ kind: 'forecast', facts: facts(700), trial: { ...NO_TRIAL, hireLike: 'Tess' }, weeks: 6 });
    if (short.kind !== 'forecast' || enough.kind !== 'forecast') throw new Error('another answer');
    expect(short.forecast.lapseChance).toBe(1);
    expect(enough.forecast.lapseChance).toBe(0);
    const needed = answerTide({ kind: 'needed', facts: facts(700), weeks: 6, like: 'Tess', acceptable: 0.05 });
    expect(needed).toMatchObject({ kind: 'needed', answer: { added: 1, lapseChance: 0 } });
    const effects = answerTide({ kind: 'effects', facts: facts(700), weeks: 6 });
    if (effects.kind !== 'effects') throw new Error('another answer');
    expect(effects.effects.changes[0]!.change).toBeLessThan(0);
  });
  it('leave that nobody has booked takes hours from everybody', () => {
    const lapse = (leaveWeeks: number) => {
      const told = answerTide({ kind: 'forecast', facts: { ...facts(1250), uncertainty: { ...facts(1250).uncertainty, leaveWeeks } }, trial: NO_TRIAL, weeks: 6 });
      if (told.kind !== 'forecast') throw new Error('another answer');
      return told.forecast.lapseChance;
    };
    // 2,400 minutes of two weeks, by one person who has 2,500: a week away is a lapse
    expect(lapse(0)).toBe(0);
    expect(lapse(12)).toBeGreaterThan(0.2);
  });
  it('spreads what is owed over the weeks in which it can be done; ranges widen with what is uncertain', () => {
    const calm = waterOf(facts(700), null);
    expect(calm.map((week) => week.p50)).toEqual([1200, 1200, 200, 200, 200, 0]);
    expect(calm[0]).toEqual({ p10: 1200, p50: 1200, p90: 1200 });
    expect(waterOf(facts(700), 'fire').map((week) => week.p50)).toEqual([1200, 1200, 0, 0, 0, 0]);
    const wild = waterOf({ ...facts(700), uncertainty: { noAccess: 0.2, repeat: 0.1, sick: 0, minutesSpread: 0.4, breakdownMinutes: [60] } }, null);
    // 1200 min, a quarter more for one visit in five that finds nobody in (0.25 x 0.2 / 0.8), a tenth for second visits, an hour of breakdowns
    expect(wild[0]!.p50).toBeCloseTo(1200 * 1.1625 + 60);
    expect(wild[0]!.p90 - wild[0]!.p50).toBeGreaterThan(50);
  });
});
