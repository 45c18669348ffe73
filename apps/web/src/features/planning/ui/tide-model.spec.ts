import type { CapacityFacts } from '@bellround/contracts';
import { describe, expect, it } from 'vitest';
import { answerTide, demandOf, NO_TRIAL, staffAfter, staffOf } from './tide-model.js';

const facts = (minutesPerWeek: number): CapacityFacts => ({
  fromMonday: '2027-03-01', weeks: 6, skills: ['fire', 'intrusion'],
  demand: [{ id: '0', skills: ['fire'], opensWeek: 0, closesWeek: 1, minutes: 2400, visits: 40 }, { id: '1', skills: [], opensWeek: 2, closesWeek: 4, minutes: 600, visits: 3 }],
  people: [{ id: '00000000-0000-7000-8000-000000000001', name: 'Tess', skills: ['fire'], minutesPerWeek, weeksOff: [], skillEnds: {} }, { id: '00000000-0000-7000-8000-000000000002', name: 'Tess', skills: ['intrusion'], minutesPerWeek, weeksOff: [], skillEnds: {} }],
  uncertainty: { noAccess: 0, repeat: 0, sick: 0, minutesSpread: 0, breakdownMinutes: [] }, sources: [],
});

describe('the tide', () => {
  it('draws visits apart, at most twelve bundles of a group, without losing a minute', () => {
    const demand = demandOf(facts(600));
    expect(demand).toHaveLength(12 + 3);
    expect(demand.reduce((sum, one) => sum + one.minutes, 0)).toBeCloseTo(3000);
    expect(new Set(demand.map((one) => one.id)).size).toBe(15);
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
});
