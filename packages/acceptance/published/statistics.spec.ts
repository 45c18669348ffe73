import { describe, expect, it } from 'vitest';
import { normalQuantile, theilSen, wilsonInterval } from '../src/index.js';

describe('[ACC-26] Wilson interval', () => {
  // R prop.test as reproduced in scipy stats/tests/test_morestats.py (SEEN-P).
  it.each([
    [3, 10, 0.95, false, 0.1077913, 0.6032219],
    [0, 10, 0.95, false, 0, 0.2775328],
    [10, 10, 0.95, false, 0.7224672, 1],
    [3, 10, 0.99, false, 0.07956632, 0.6799753],
    [3, 10, 0.95, true, 0.08094782, 0.64632928],
  ])('%d of %d at %d, continuity %s: %d to %d', (x, n, confidence, continuity, low, high) => {
    const interval = wilsonInterval(x, n, confidence, continuity);
    expect(interval.low).toBeCloseTo(low, 6);
    expect(interval.high).toBeCloseTo(high, 6);
  });
  // Newcombe (1998): source MEM, CALC equal. Last three CALC.
  it.each([[81, 263, 0.2553, 0.3662], [15, 148, 0.0624, 0.1605], [0, 20, 0, 0.1611], [1, 29, 0.0061, 0.1718], [23, 60, 0.2709, 0.5098], [50, 50, 0.9287, 1], [95, 100, 0.8882, 0.9785]])('%d of %d: %d to %d', (x, n, low, high) => {
    expect(wilsonInterval(x, n).low).toBeCloseTo(low, 4);
    expect(wilsonInterval(x, n).high).toBeCloseTo(high, 4);
  });
  it('the 97.5 % point of the normal is 1.959964 (standard table, from memory)', () => expect(normalQuantile(0.975)).toBeCloseTo(1.959964, 6));
});

describe('[ACC-27] Theil-Sen line', () => {
  // Sen (1968) as cited in scipy stats/tests/test_mstats_basic.py (SEEN-P); limits rerun 3.7143 and 4.375.
  const sen = [[1, 9], [2, 15], [3, 19], [4, 20], [10, 45], [12, 55], [18, 78]].map(([x, y]) => ({ x: x!, y: y! }));
  it('Sen 1968: slope 4, intercept 4 or joint 6, 93 % limits 3.71 to 4.38', () => {
    const line = theilSen(sen, 0.93)!;
    expect([line.slope, line.intercept, line.jointIntercept]).toEqual([4, 4, 6]);
    expect(line.slopeLow).toBeCloseTo(3.7143, 4);
    expect(line.slopeHigh).toBeCloseTo(4.375, 4);
  });
  it('x 0,1,2; y 0,1,1: slope 0.5, intercept 0.5 (SEEN-P, same file)', () => {
    const line = theilSen([{ x: 0, y: 0 }, { x: 1, y: 1 }, { x: 2, y: 1 }])!;
    expect([line.slope, line.intercept]).toEqual([0.5, 0.5]);
  });
});
