import { describe, expect, it } from 'vitest';
import { ghostAt, loomGeometry, stepTarget, targetAt } from './loom-geometry.js';

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

  const other = { ...technician, id: 'o', name: 'Olu' };
  const two = { ...stop, visitId: 'w', arriveMin: 700, startMin: 720, endMin: 780 };
  const week = { days: view.days.slice(0, 2), technicians: [technician, other], rounds: [{ ...view.rounds[0]!, stops: [stop, two] }], done: [], finishes: [{ technicianId: 't', day: '2027-03-01', expectedMin: 1010, badDayMin: 1080 }] };
  const shifts = { ...week, technicians: week.technicians.map((one) => ({ ...one, shifts: [{ day: '2027-03-01', startMin: 480, endMin: 990 }, { day: '2027-03-02', startMin: 480, endMin: 990 }] })) };
  const size = { dayWidth: 300, left: 100, rowHeight: 40 };

  it('finds the place under a point: among the other stops, on another thread, or off the rounds', () => {
    const loom = loomGeometry(shifts, size);
    const [first, second] = loom.rows[0]!.cells[0]!.knots;
    expect(targetAt(loom, first!.x - 5, 20, 'x')).toEqual({ technicianId: 't', day: '2027-03-01', position: 0 });
    expect(targetAt(loom, second!.x - 5, 20, 'x')).toEqual({ technicianId: 't', day: '2027-03-01', position: 1 });
    expect(targetAt(loom, second!.x + second!.width, 20, 'x').position).toBe(2);
    expect(targetAt(loom, second!.x + second!.width, 20, 'v').position).toBe(1); // its own knot is no other stop
    expect(targetAt(loom, 450, 60, 'v')).toEqual({ technicianId: 'o', day: '2027-03-02', position: 0 });
    expect(targetAt(loom, 450, 90, 'v').technicianId).toBeNull();
  });

  it('lets keys do what the pointer does: through the places, on to the next day, to the other thread and off the rounds', () => {
    const loom = loomGeometry(shifts, size);
    let target = { technicianId: 't' as string | null, day: '2027-03-01', position: 0 };
    const press = (key: string) => { target = stepTarget(loom, target, key, 'x'); return target; };
    expect(press('ArrowRight').position).toBe(1);
    expect(press('ArrowRight').position).toBe(2);
    expect(press('ArrowRight')).toEqual({ technicianId: 't', day: '2027-03-02', position: 0 });
    expect(press('ArrowDown')).toEqual({ technicianId: 'o', day: '2027-03-02', position: 0 });
    expect(press('ArrowDown').technicianId).toBeNull();
    expect(press('ArrowUp').technicianId).toBe('o');
    expect(press('ArrowLeft')).toEqual({ technicianId: 'o', day: '2027-03-01', position: 0 });
    expect(ghostAt(loom, { technicianId: 't', day: '2027-03-01', position: 1 }, 'x').x).toBeGreaterThan(loom.rows[0]!.cells[0]!.knots[0]!.x);
  });

  it('draws what has begun at its real times, and nothing goes before it', () => {
    const loom = loomGeometry({ ...shifts, done: [{ visitId: 'v', technicianId: 't', day: '2027-03-01', startMin: 600, endMin: 690, state: 'open' }] }, size);
    const cell = loom.rows[0]!.cells[0]!;
    expect(cell.knots.map((knot) => [knot.visitId, knot.startMin, knot.done])).toEqual([['v', 600, true], ['w', 720, false]]);
    expect(targetAt(loom, cell.x, 20, 'x').position).toBe(1);
    expect(stepTarget(loom, { technicianId: 't', day: '2027-03-01', position: 1 }, 'ArrowLeft', 'x').position).toBe(1);
  });

  it('hangs the tail of a bad day behind the end of the shift', () => {
    const tail = loomGeometry(shifts, size).rows[0]!.cells[0]!.badDay!;
    const loom = loomGeometry(shifts, size);
    expect(tail.width).toBeCloseTo(((1080 - 1010) / (loom.toMin - loom.fromMin)) * 290);
  });

  it('lays out forty technicians and twelve hundred visits with every stop drawn once', () => {
    const many = Array.from({ length: 40 }, (_, t) => ({ ...technician, id: `t${t}`, shifts: shifts.technicians[0]!.shifts }));
    const rounds = many.flatMap((one) => ['2027-03-01', '2027-03-02'].map((day, d) => ({ ...view.rounds[0]!, technicianId: one.id, day, stops: Array.from({ length: 15 }, (_, s) => ({ ...stop, visitId: `${one.id} ${d} ${s}`, startMin: 480 + s * 30, endMin: 500 + s * 30 })) })));
    const loom = loomGeometry({ days: shifts.days, technicians: many, rounds }, size);
    expect(new Set(loom.rows.flatMap((row) => row.cells.flatMap((cell) => cell.knots.map((knot) => knot.visitId)))).size).toBe(1200);
  });
});
