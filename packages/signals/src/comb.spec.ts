import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { combOf } from './comb.js';

const NOW = '2027-03-01T12:00:00.000Z';
const FROM = '2027-02-01T03:00:00.000Z';
const daily = (days: number, leanMin = (_: number) => 0) => Array.from({ length: days }, (_, i) => new Date(Date.parse(FROM) + i * 86_400_000 + leanMin(i) * 60_000).toISOString());
const rule = { intervalH: 24, graceH: 1 };

describe('the silence comb', () => {
  it('[SIG-35] has a tooth per expected signal, all standing when all came', () => {
    const comb = combOf(daily(29), rule, FROM, NOW)!;
    expect([comb.teeth.length, comb.missing, comb.driftMinPerDay]).toEqual([29, 0, 0]);
    expect(comb.words).toContain('All of 29 expected signals came');
  });

  it('[SIG-35] misses exactly the teeth that did not come, and each night is named', () => {
    const heard = daily(29).filter((_, i) => i !== 4 && i !== 11 && i !== 12);
    const comb = combOf(heard, rule, FROM, NOW)!;
    expect(comb.teeth.flatMap((tooth, i) => (tooth.heardAt === null ? [i] : []))).toEqual([4, 11, 12]);
    expect(comb.missing).toBe(3);
  });

  it('[SIG-35] a clock that gains or loses shows as teeth that lean ever more', () => {
    const late = combOf(daily(29, (i) => 2 * i), rule, FROM, NOW)!;
    expect(late.driftMinPerDay).toBe(2);
    expect(late.teeth.at(-1)!.leanMin).toBe(56);
    expect(late.words).toContain('2 min later every day');
    expect(combOf(daily(29, (i) => -3 * i), rule, FROM, NOW)!.driftMinPerDay).toBe(-3);
  });

  it('[SIG-35] learns the interval where none was promised, and expects nothing of nothing', () => {
    expect(combOf(daily(29), { intervalH: null, graceH: 1 }, FROM, NOW)).toMatchObject({ intervalH: 24, isLearned: true, missing: 0 });
    expect(combOf(daily(3), { intervalH: null, graceH: 1 }, FROM, NOW)).toBeNull();
    const never = combOf([], rule, FROM, NOW)!;
    expect([never.missing, never.teeth.length, never.silence.state]).toEqual([0, 0, 'unknown']);
  });

  it('[SIG-35] nothing is expected before a history began, and everything after it did', () => {
    const begun = daily(29).slice(9);
    expect(combOf(begun, rule, FROM, NOW)).toMatchObject({ missing: 0 });
    expect(combOf(['2027-01-20T03:00:00.000Z', ...begun], rule, FROM, NOW)).toMatchObject({ missing: 9 });
  });

  it('[SIG-35] where the feed ended, no tooth is expected after it', () => {
    const comb = combOf(daily(10), { ...rule, heardUntil: '2027-02-10T12:00:00Z' }, FROM, NOW)!;
    expect([comb.teeth.length, comb.missing]).toEqual([10, 0]);
  });

  it('[SIG-35] refuses a time that is none', () => expect(() => combOf(['yesterday'], rule, FROM, NOW)).toThrow(RangeError));

  it('[SIG-35] leaving any teeth out leaves exactly those out; order and repeats change nothing', () => {
    let cut = 0;
    fc.assert(fc.property(fc.uniqueArray(fc.integer({ min: 1, max: 28 }), { maxLength: 20 }), fc.infiniteStream(fc.boolean()), (out, coin) => {
      const heard = daily(29).filter((_, i) => !out.includes(i));
      const comb = combOf([...heard, ...heard].toSorted(() => (coin.next().value ? 1 : -1)), rule, FROM, NOW)!;
      expect(comb.teeth.flatMap((tooth, i) => (tooth.heardAt === null ? [i] : []))).toEqual(out.toSorted((a, b) => a - b));
      cut += out.length;
    }), { numRuns: 60 });
    expect(cut).toBeGreaterThan(50);
  });
});
