import { describe, expect, it } from 'vitest';
import { allowedExposureH, audibleRules, levelAtDistanceDb, requiredLevelDb, sumOfLevelsDb } from '../src/index.js';

describe('[ACC-23] level at distance', () => {
  // Inverse square (formula MEM), values CALC.
  it.each([[6, 93.98], [12, 87.96], [24, 81.94], [1, 109.54]])('100 dB at 3 m is at %d m %d dB', (m, db) => expect(levelAtDistanceDb(100, 3, m)).toBeCloseTo(db, 2));
  it.each([[20, 78.98], [40, 72.96], [80, 66.94]])('85 dB at 10 ft is at %d ft %d dB', (ft, db) => expect(levelAtDistanceDb(85, 10, ft)).toBeCloseTo(db, 2));
  it('two equal sources are 3.01 dB louder (CALC)', () => expect(sumOfLevelsDb([80, 80])).toBeCloseTo(83.01, 2));
});

describe('[ACC-24] level asked for', () => {
  // NFPA 72 18.4.x (SEEN-R/U).
  it.each([
    ['public', 55, null, 70], ['public', 55, 68, 73], ['private', 55, null, 65], ['sleeping', 40, null, 75], ['sleeping', 65, null, 80], ['sleeping', null, null, 75],
    // BS 5839-1 (SEEN-R; 5 dB MEM).
    ['bs-general', 40, null, 65], ['bs-general', 63, null, 68], ['bs-small-room', 40, null, 60], ['bs-bedhead', 40, null, 75],
  ] as const)('%s, ambient %s, maximum %s: %d dB(A)', (mode, ambient, maximum, asked) => {
    expect(requiredLevelDb(audibleRules[mode], ambient, maximum)).toBe(asked);
  });
  it('an unknown ambient asks for nothing that could be met by luck', () => expect(requiredLevelDb(audibleRules.public, null, null)).toBeNull());
});

describe('[ACC-25] hours at a level', () => {
  // OSHA 1910.95, 90 dB(A) 8 h, 5 dB exchange (SEEN-P/R; formula MEM).
  it.each([[90, 8], [95, 4], [100, 2], [105, 1], [110, 0.5], [115, 0.25]])('%d dB(A): %d h by the 5 dB rule', (level, hours) => expect(allowedExposureH(level, 90, 5)).toBeCloseTo(hours, 10));
  // 85 dB(A) and 3 dB (SEEN-R); values CALC; a Canadian table (SEEN-P) matches 3 dB from 87.
  it.each([[88, 4], [91, 2], [94, 1], [97, 0.5], [100, 0.25]])('%d dB(A): %d h by the 3 dB rule from 85', (level, hours) => expect(allowedExposureH(level, 85, 3)).toBeCloseTo(hours, 10));
  it.each([[87, 8], [90, 4], [93, 2], [96, 1], [99, 0.5]])('%d dB(A): %d h by the 3 dB rule from 87', (level, hours) => expect(allowedExposureH(level, 87, 3)).toBeCloseTo(hours, 10));
});
