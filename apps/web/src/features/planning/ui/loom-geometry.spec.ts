import { describe, expect, it } from 'vitest';
import { loomGeometry } from './loom-geometry.js';

const technician = { id: 't', name: 'Tess', skills: [], pairOnly: false, homeLat: null, homeLon: null, absent: [], licences: [], shifts: [{ day: '2027-03-01', startMin: 480, endMin: 990 }] };
const stop = { visitId: 'v', arriveMin: 540, startMin: 560, endMin: 620, travelMin: 30, waitMin: 20 };
const view = { days: ['2027-03-01', '2027-03-02', '2027-03-06'], technicians: [technician], rounds: [{ technicianId: 't', day: '2027-03-01', startMin: 510, endMin: 1010, stops: [stop], overtimeMin: 20, travelMin: 60 }] };

describe('the loom', () => {
  it('draws a knot as wide as its minutes, travel before it, and overtime past the selvage', () => {
    const loom = loomGeometry(view, { dayWidth: 300, left: 100, rowHeight: 40 });
    const [cell] = loom.rows[0]!.cells;
    const perMinute = 290 / (loom.toMin - loom.fromMin);
    expect(cell!.knots[0]!.width).toBeCloseTo(60 * perMinute);
    expect(cell!.travel[0]!.width).toBeCloseTo(30 * perMinute);
    expect(cell!.travel[0]!.x + cell!.travel[0]!.width).toBeLessThanOrEqual(cell!.knots[0]!.x);
    expect(cell!.overtime!.width).toBeCloseTo(20 * perMinute);
  });
  it('leaves out days on which nobody works', () => {
    expect(loomGeometry(view, { dayWidth: 300, left: 100, rowHeight: 40 }).days.map((one) => one.day)).toEqual(['2027-03-01']);
  });
});
