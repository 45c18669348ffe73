import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judge, readingTrends, type CheckFacts, type Limit } from './index.js';
import { aDefinition, numbers, today } from './spec-builders.js';

const rule = { text: 'company rule', provenance: 'company rule' };
const limit = (over: Partial<Limit>): Limit => ({ reading: 'level', comparator: '>=', value: 10, unit: 'dB', level: 'fail', source: rule, ...over });
const check = (...limits: Limit[]) => aDefinition({ readings: numbers('level'), limits });
const series = (...values: number[]): CheckFacts => ({ series: { 'a-check/level': values.map((value, i) => ({ on: `202${7 - values.length + i}-03-01`, value })) } });

describe('[ACC-30] the trend of any reading', () => {
  it('falls towards a least value: slope, interval, dates, and it is found before it fails', () => {
    const [trend] = readingTrends(check(limit({})), series(20, 18, 16), { level: 14 }, today);
    expect(trend).toMatchObject({ reading: 'level', crosses: true, isNear: true, trend: { points: 4, crossesOn: expect.stringMatching(/^2029-0[23]-/) } });
    expect(trend!.trend.slopePerYear).toBeCloseTo(-2, 2);
    expect(trend!.words).toMatch(/^level: falls by 2 a year over 4 dates .* meets its limit, at least 10 dB, about 2029-0/);
    const judged = judge(check(limit({})), { level: 14 }, series(20, 18, 16), today);
    expect(judged).toMatchObject({ verdict: 'pass', findings: [{ code: 'trend' }] });
    expect(judged.notes).toContain(trend!.words);
  });
  it('rises towards a most value', () => expect(readingTrends(check(limit({ comparator: '<=', value: 30 })), series(20, 22, 24), { level: 26 }, today)[0]).toMatchObject({ crosses: true, trend: { crossesOn: expect.stringMatching(/^2029-0/) } }));
  it('between: whichever side is met first', () => {
    expect(readingTrends(check(limit({ comparator: 'between', value: 10, upper: 30 })), series(20, 22, 24), { level: 26 }, today)[0]!.trend.crossesOn).toMatch(/^2029-0/);
    expect(readingTrends(check(limit({ comparator: 'between', value: 10, upper: 30 })), series(20, 18, 16), { level: 14 }, today)[0]!.trend.crossesOn).toMatch(/^2029-0/);
  });
  it('of two limits the one that comes first; a far date is told and asks for nothing', () => {
    expect(readingTrends(check(limit({}), limit({ value: 13, level: 'marginal' })), series(20, 18, 16), { level: 14 }, today)[0]!.limit!.value).toBe(13);
    const far = readingTrends(check(limit({})), series(20, 19.8, 19.6), { level: 19.4 }, today)[0]!;
    expect(far).toMatchObject({ crosses: true, isNear: false });
    expect(judge(check(limit({})), { level: 19.4 }, series(20, 19.8, 19.6), today).findings).toEqual([]);
  });
  it.each<[string, number[], number]>([['moves away', [14, 16, 18], 20], ['steady', [20, 20, 20], 20], ['may be steady', [20, 23, 17, 22, 18], 20], ['already outside', [14, 12, 11], 9], ['at its limit', [16, 14, 12], 10], ['may not move at all', [20, 20, 19], 18]])('%s: no date, no finding', (_, before, now) => {
    expect(readingTrends(check(limit({})), series(...before), { level: now }, today)[0]).toMatchObject({ crosses: false, isNear: false, words: expect.stringContaining('no date for its limit') });
    expect(judge(check(limit({})), { level: now }, series(...before), today).findings).toEqual([]);
  });
  it('a number that may only seem to rise towards a most value is no warning', () => {
    expect(readingTrends(check(limit({ comparator: '<=', value: 30 })), series(20, 23, 17, 22, 18), { level: 21 }, today)[0]).toMatchObject({ crosses: false });
  });
  it("another reading's limit is none of its own", () => {
    const two = { ...check(limit({ reading: 'other' })), readings: numbers('level', 'other') };
    expect(readingTrends(two, series(20, 18, 16), { level: 14 }, today)).toEqual([expect.objectContaining({ reading: 'level', limit: null, crosses: false })]);
  });
  it('two dates are no trend; a reading without a limit still has its slope', () => {
    expect(readingTrends(check(limit({})), series(20), { level: 18 }, today)).toEqual([]);
    expect(readingTrends(check(), series(20, 18), { level: 16 }, today)[0]).toMatchObject({ limit: null, crosses: false, words: expect.stringContaining('no date for its limit') });
  });
  it('numbers of another check on the same subject are no history of this one', () => {
    expect(readingTrends(check(limit({})), { series: { 'another/level': series(20, 18, 16).series!['a-check/level']! } }, { level: 14 }, today)).toEqual([]);
  });
  it("the subject's own limit is the one that is met", () => {
    const facts = { ...series(20, 18, 16), limits: [limit({ value: 12 })] };
    expect(readingTrends(check(limit({})), facts, { level: 14 }, today)[0]!.trend.crossesOn).toMatch(/^2028-0/);
  });
  it('property: one wild value among many does not turn the slope; order changes nothing', () => {
    let seen = 0;
    fc.assert(fc.property(fc.integer({ min: 7, max: 15 }), fc.double({ min: -3, max: -0.5, noNaN: true }), fc.nat(), fc.double({ min: -1000, max: 1000, noNaN: true }), (n, slope, at, wild) => {
      seen += 1;
      const points = Array.from({ length: n }, (_, i) => ({ on: `${2010 + i}-03-01`, value: i === at % n ? wild : 100 + slope * i }));
      const [trend] = readingTrends(check(limit({})), { series: { 'a-check/level': points } }, {}, today);
      expect(Math.abs(trend!.trend.slopePerYear - slope)).toBeLessThan(Math.abs(slope) * 0.35);
      expect(readingTrends(check(limit({})), { series: { 'a-check/level': points.toReversed() } }, {}, today)).toEqual([trend]);
    }), { seed: 30, numRuns: 200 });
    expect(seen).toBe(200);
  });
});
