import { describe, expect, it } from 'vitest';
import { triangleOf } from './squeeze-geometry.js';

const cell = (from: string, to: string, neededMin: number, availableMin: number) => ({ from, to, neededMin, availableMin, tasks: 1 });
const ROOM = { width: 600, left: 80, top: 20 };

describe('the squeeze triangle', () => {
  it('puts opening days down, closing days across, and marks the pair that is short by most', () => {
    const triangle = triangleOf([cell('2027-03-08', '2027-03-12', 3960, 3600), cell('2027-03-03', '2027-03-12', 5160, 5760), cell('2027-03-08', '2027-03-19', 4500, 7200)], ROOM);
    expect(triangle.opens.map((one) => one.day)).toEqual(['2027-03-03', '2027-03-08']);
    expect(triangle.closes.map((one) => one.day)).toEqual(['2027-03-12', '2027-03-19']);
    expect(triangle.worst).toMatchObject({ from: '2027-03-08', to: '2027-03-12' });
    expect(triangle.worst!.load).toBeCloseTo(1.1);
    expect(triangle.worst!.shade).toBeGreaterThan(triangle.cells[1]!.shade);
  });
  it('is darkest where nobody is there, and marks the fullest pair where nothing is short', () => {
    const triangle = triangleOf([cell('2027-03-08', '2027-03-12', 60, 0), cell('2027-03-01', '2027-03-05', 10, 60)], ROOM);
    expect(triangle.cells[0]!.shade).toBe(1);
    expect(triangleOf([cell('2027-03-08', '2027-03-12', 50, 100), cell('2027-03-01', '2027-03-05', 90, 100)], ROOM).worst).toMatchObject({ from: '2027-03-01' });
    expect(triangleOf([], ROOM).worst).toBeNull();
  });
});
