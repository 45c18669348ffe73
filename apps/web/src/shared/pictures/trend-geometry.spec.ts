import { describe, expect, it } from 'vitest';
import { drawTrend, PAD, TREND_HEIGHT, TREND_WIDTH, type DrawnTrend } from './trend-geometry.js';

// 20, 18, 16, 14 on four first days of March: falls by 2 a year and meets 10 two years after the last.
const falling: DrawnTrend = {
  values: [20, 18, 16, 14].map((value, i) => ({ on: `202${4 + i}-03-01`, value })), edges: [10], atLast: 14, slopePerYear: -2, slopeLowPerYear: -2.2, slopeHighPerYear: -1.8,
  crosses: { on: '2029-03-01', earliest: '2028-12-26', latest: '2029-05-21' },
};

describe('the picture of a reading over visits', () => {
  it('puts readings by day and value, the limit below them, and the crossing on the limit between its first and last day', () => {
    const drawn = drawTrend(falling);
    expect(drawn.pegs).toHaveLength(4);
    expect(drawn.pegs[0]!.x).toBe(PAD);
    for (const [before, after] of drawn.pegs.slice(1).map((peg, i) => [drawn.pegs[i]!, peg] as const)) expect([after.x > before.x, after.y > before.y]).toEqual([true, true]);
    expect(drawn.edges).toHaveLength(1);
    expect(drawn.edges[0]).toBeGreaterThan(drawn.pegs.at(-1)!.y);
    const { cross, line } = drawn;
    expect(cross!.y).toBe(drawn.edges[0]);
    expect(cross!.from < cross!.x && cross!.x < cross!.to && cross!.to <= TREND_WIDTH - PAD).toBe(true);
    expect(cross!.x > drawn.pegs.at(-1)!.x).toBe(true);
    // The line runs through the crossing: as far along as down.
    expect((cross!.x - line.x2) / (line.x3 - line.x2)).toBeCloseTo((cross!.y - line.y2) / (line.y3 - line.y2), 1);
  });
  it('a crossing further off than as long as was read and two years more is not drawn', () => {
    expect(drawTrend({ ...falling, crosses: { on: '2060-01-01', earliest: '2050-01-01', latest: null } }).cross).toBeNull();
    expect(drawTrend({ ...falling, crosses: null }).cross).toBeNull();
  });
  it('an open end of the interval reaches the edge of the picture, and nothing leaves it', () => {
    const drawn = drawTrend({ ...falling, crosses: { ...falling.crosses!, latest: null } });
    expect(drawn.cross!.to).toBe(TREND_WIDTH - PAD);
    const wild = drawTrend({ ...falling, slopeLowPerYear: -900, slopeHighPerYear: 900 });
    for (const y of wild.wedge.split(' ').map((pair) => Number(pair.split(',')[1]))) expect(y >= 0 && y <= TREND_HEIGHT).toBe(true);
  });
  it('equal values, one day, no limit: numbers all the same', () => {
    const flat = drawTrend({ values: [5, 5, 5].map((value) => ({ on: '2027-03-01', value })), edges: [], atLast: 5, slopePerYear: 0, slopeLowPerYear: 0, slopeHighPerYear: 0, crosses: null });
    expect([...flat.pegs.flatMap((peg) => [peg.x, peg.y]), ...Object.values(flat.line)].every(Number.isFinite)).toBe(true);
  });
});
