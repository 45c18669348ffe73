import type { DoneVisit, WeekView } from '@bellround/contracts';

type Round = WeekView['rounds'][number];

export interface LoomKnot { visitId: string; x: number; width: number; startMin: number; endMin: number; joins: boolean; done: boolean }
export interface Span { x: number; width: number }
export interface LoomCell { technicianId: string; day: string; x: number; width: number; knots: LoomKnot[]; travel: Span[]; shift: Span | null; overtime: Span | null; badDay: Span | null; roundEndMin: number | null; badDayMin: number | null; /** stops of the round that have begun: nothing goes before them */ begun: number }
export interface LoomRow { technicianId: string; y: number; cells: LoomCell[] }
export interface LoomGeometry { dayWidth: number; left: number; width: number; rowHeight: number; rows: LoomRow[]; hours: { x: number; words: string }[]; days: { day: string; x: number }[]; fromMin: number; toMin: number; inner: number }
export type LoomSize = { dayWidth: number; left: number; rowHeight: number };
type Seen = Pick<WeekView, 'days' | 'technicians' | 'rounds'> & Partial<Pick<WeekView, 'done' | 'finishes'>>;

/** Drawn hours of a day: from the earliest to the latest minute that anybody works, whole hours, at least 8 to 17. */
export function loomGeometry(view: Seen, size: LoomSize): LoomGeometry {
  const done = view.done ?? [];
  const starts = [8 * 60, ...view.technicians.flatMap((one) => one.shifts.map((shift) => shift.startMin)), ...view.rounds.map((round) => round.startMin), ...done.map((one) => one.startMin)];
  const ends = [17 * 60, ...view.technicians.flatMap((one) => one.shifts.map((shift) => shift.endMin)), ...view.rounds.map((round) => round.endMin), ...done.map((one) => one.endMin)];
  const fromMin = Math.floor(Math.min(...starts) / 60) * 60;
  const toMin = Math.ceil(Math.max(...ends) / 60) * 60;
  const shown = daysShown(view);
  const days = shown.map((day, index) => ({ day, x: size.left + index * size.dayWidth }));
  const inner = size.dayWidth - 10;
  const at = (dayX: number, minute: number) => dayX + ((minute - fromMin) / (toMin - fromMin)) * inner;
  const rounds = new Map(view.rounds.map((round) => [`${round.technicianId} ${round.day}`, round]));
  const bad = new Map((view.finishes ?? []).map((one) => [`${one.technicianId} ${one.day}`, one.badDayMin]));
  const doneOf = new Map<string, DoneVisit[]>();
  for (const one of done) { const key = `${one.technicianId} ${one.day}`; doneOf.set(key, [...(doneOf.get(key) ?? []), one]); }
  const rows = view.technicians.map((technician, index) => ({
    technicianId: technician.id, y: index * size.rowHeight,
    cells: days.map(({ day, x }) => {
      const key = `${technician.id} ${day}`;
      return cellOf({ round: rounds.get(key), shift: technician.shifts.find((shift) => shift.day === day), done: doneOf.get(key) ?? [], badDayMin: bad.get(key) ?? null, technicianId: technician.id, day, at: (minute) => at(x, minute), x, width: inner });
    }),
  }));
  return { ...size, inner, width: size.left + shown.length * size.dayWidth, rows, days, fromMin, toMin, hours: days.flatMap(({ x }) => [9, 12, 15].filter((hour) => hour * 60 > fromMin && hour * 60 < toMin).map((hour) => ({ x: at(x, hour * 60), words: String(hour) }))) };
}

/** Days on which somebody works or has worked; without any the first five. */
function daysShown(view: Seen): readonly string[] {
  const workDays = view.days.filter((day) => view.technicians.some((one) => one.shifts.some((shift) => shift.day === day)) || view.rounds.some((round) => round.day === day) || (view.done ?? []).some((one) => one.day === day));
  return workDays.length > 0 ? workDays : view.days.slice(0, 5);
}

export const shownDays = (view: Seen): number => daysShown(view).length;

interface CellParts { round: Round | undefined; shift: { startMin: number; endMin: number } | undefined; done: DoneVisit[]; badDayMin: number | null; technicianId: string; day: string; at: (minute: number) => number; x: number; width: number }

function cellOf({ round, shift, done, badDayMin, technicianId, day, at, x, width }: CellParts): LoomCell {
  const span = (from: number, to: number): Span => ({ x: at(from), width: Math.max(0, at(to) - at(from)) });
  const begun = new Set(done.map((one) => one.visitId));
  const planned = (round?.stops ?? []).filter((stop) => !begun.has(stop.visitId)).map((stop) => ({ visitId: stop.visitId, ...span(stop.startMin, stop.endMin), startMin: stop.startMin, endMin: stop.endMin, joins: stop.joins !== undefined, done: false }));
  const really = done.map((one) => ({ visitId: one.visitId, ...span(one.startMin, one.endMin), startMin: one.startMin, endMin: one.endMin, joins: false, done: true }));
  const end = round?.endMin ?? null;
  const tailFrom = end === null ? 0 : Math.max(end, shift?.endMin ?? end);
  return {
    technicianId, day, x, width, shift: shift ? span(shift.startMin, shift.endMin) : null, roundEndMin: end, badDayMin, begun: (round?.stops ?? []).filter((stop) => begun.has(stop.visitId)).length,
    knots: [...really, ...planned],
    travel: (round?.stops ?? []).filter((stop) => !begun.has(stop.visitId)).map((stop) => span(stop.arriveMin - stop.travelMin, stop.arriveMin)),
    overtime: end !== null && shift && end > shift.endMin ? span(shift.endMin, end) : null,
    badDay: end !== null && shift && badDayMin !== null && badDayMin > tailFrom ? span(tailFrom, badDayMin) : null,
  };
}

/** A visit in the hand, and what holds it. */
export interface Carry { visitId: string; target: Target; by: 'pointer' | 'keys' }

/** Where a dragged visit would fall: a place in a round, or off the rounds (below the threads). */
export interface Target { technicianId: string | null; day: string; position: number }

/**
 * The place under a point of the picture (y from the first thread's top edge). The position is among the other planned stops of
 * that round: before the first whose middle lies to the right.
 */
export function targetAt(geometry: LoomGeometry, x: number, y: number, visitId: string): Target {
  const dayIndex = Math.max(0, Math.min(geometry.days.length - 1, Math.floor((x - geometry.left) / geometry.dayWidth)));
  const day = geometry.days[dayIndex]!.day;
  const row = geometry.rows[Math.floor(y / geometry.rowHeight)];
  if (row === undefined || y < 0) return { technicianId: null, day, position: 0 };
  const cell = row.cells[dayIndex]!;
  return { technicianId: row.technicianId, day, position: cell.begun + loose(cell, visitId).filter((knot) => knot.x + knot.width / 2 < x).length };
}

/** Stops of a cell that may change places with the moved one. */
const loose = (cell: LoomCell, visitId: string): LoomKnot[] => cell.knots.filter((knot) => knot.visitId !== visitId && !knot.done);

/** Keys move a target as the pointer does: left and right through the places of a day and on to the next, up and down through the threads and off them. */
export function stepTarget(geometry: LoomGeometry, target: Target, key: string, visitId: string): Target {
  const dayAt = geometry.days.findIndex((one) => one.day === target.day);
  const rowAt = target.technicianId === null ? geometry.rows.length : geometry.rows.findIndex((row) => row.technicianId === target.technicianId);
  const cellAt = (row: number, day: number) => geometry.rows[row]?.cells[day];
  const least = (row: number, day: number) => cellAt(row, day)?.begun ?? 0;
  const most = (row: number, day: number) => { const cell = cellAt(row, day); return cell ? cell.begun + loose(cell, visitId).length : 0; };
  const go = (row: number, day: number, position: number): Target => ({ technicianId: geometry.rows[row]?.technicianId ?? null, day: geometry.days[day]!.day, position: Math.max(least(row, day), Math.min(position, most(row, day))) });
  switch (key) {
    case 'ArrowUp': return go(Math.max(0, rowAt - 1), dayAt, target.position);
    case 'ArrowDown': return go(Math.min(geometry.rows.length, rowAt + 1), dayAt, target.position);
    case 'ArrowRight': return target.position < most(rowAt, dayAt) ? go(rowAt, dayAt, target.position + 1) : dayAt + 1 < geometry.days.length ? go(rowAt, dayAt + 1, 0) : target;
    case 'ArrowLeft': return target.position > least(rowAt, dayAt) && target.technicianId !== null ? go(rowAt, dayAt, target.position - 1) : dayAt > 0 ? go(rowAt, dayAt - 1, most(rowAt, dayAt - 1)) : target;
    default: return target;
  }
}

/** Where the ghost of a moved visit is drawn for a target: after the stop before it. */
export function ghostAt(geometry: LoomGeometry, target: Target, visitId: string): { x: number; y: number } {
  const row = geometry.rows.find((one) => one.technicianId === target.technicianId);
  const cell = (row ?? geometry.rows[0])?.cells.find((one) => one.day === target.day);
  if (!row || !cell) return { x: (geometry.days.find((one) => one.day === target.day)?.x ?? geometry.left) + 6, y: geometry.rows.length * geometry.rowHeight + geometry.rowHeight / 2 };
  const stops = loose(cell, visitId);
  const before = stops[target.position - cell.begun - 1];
  const after = stops[target.position - cell.begun];
  const x = before ? before.x + before.width + 2 : after ? Math.max(cell.x, after.x - 14) : (cell.shift?.x ?? cell.x) + 4;
  return { x, y: row.y + geometry.rowHeight / 2 };
}
