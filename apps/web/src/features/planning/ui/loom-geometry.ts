import type { WeekView } from '@bellround/contracts';

type Round = WeekView['rounds'][number];

export interface LoomKnot { visitId: string; x: number; width: number; startMin: number; endMin: number; joins: boolean }
export interface LoomCell { technicianId: string; day: string; x: number; width: number; knots: LoomKnot[]; travel: { x: number; width: number }[]; shift: { x: number; width: number } | null; overtime: { x: number; width: number } | null; roundEndMin: number | null }
export interface LoomGeometry { dayWidth: number; left: number; width: number; rowHeight: number; rows: { technicianId: string; y: number; cells: LoomCell[] }[]; hours: { x: number; words: string }[]; days: { day: string; x: number }[]; fromMin: number; toMin: number }

/** Drawn hours of a day: from the earliest to the latest minute that anybody works, whole hours, at least 8 to 17. */
export function loomGeometry(view: Pick<WeekView, 'days' | 'technicians' | 'rounds'>, size: { dayWidth: number; left: number; rowHeight: number }): LoomGeometry {
  const starts = [8 * 60, ...view.technicians.flatMap((one) => one.shifts.map((shift) => shift.startMin)), ...view.rounds.map((round) => round.startMin)];
  const ends = [17 * 60, ...view.technicians.flatMap((one) => one.shifts.map((shift) => shift.endMin)), ...view.rounds.map((round) => round.endMin)];
  const fromMin = Math.floor(Math.min(...starts) / 60) * 60;
  const toMin = Math.ceil(Math.max(...ends) / 60) * 60;
  const workDays = view.days.filter((day) => view.technicians.some((one) => one.shifts.some((shift) => shift.day === day)) || view.rounds.some((round) => round.day === day));
  const shown = workDays.length > 0 ? workDays : view.days.slice(0, 5);
  const days = shown.map((day, index) => ({ day, x: size.left + index * size.dayWidth }));
  const inner = size.dayWidth - 10;
  const at = (dayX: number, minute: number) => dayX + ((minute - fromMin) / (toMin - fromMin)) * inner;
  const rows = view.technicians.map((technician, index) => ({
    technicianId: technician.id, y: index * size.rowHeight,
    cells: days.map(({ day, x }) => cellOf(view.rounds.find((round) => round.technicianId === technician.id && round.day === day), technician.shifts.find((shift) => shift.day === day), technician.id, day, (minute) => at(x, minute), x, inner)),
  }));
  return { ...size, width: size.left + shown.length * size.dayWidth, rows, days, fromMin, toMin, hours: days.flatMap(({ x }) => [9, 12, 15].filter((hour) => hour * 60 > fromMin && hour * 60 < toMin).map((hour) => ({ x: at(x, hour * 60), words: String(hour) }))) };
}

function cellOf(round: Round | undefined, shift: { startMin: number; endMin: number } | undefined, technicianId: string, day: string, at: (minute: number) => number, x: number, width: number): LoomCell {
  const span = (from: number, to: number) => ({ x: at(from), width: Math.max(0, at(to) - at(from)) });
  return {
    technicianId, day, x, width, shift: shift ? span(shift.startMin, shift.endMin) : null, roundEndMin: round?.endMin ?? null,
    knots: (round?.stops ?? []).map((stop) => ({ visitId: stop.visitId, ...span(stop.startMin, stop.endMin), startMin: stop.startMin, endMin: stop.endMin, joins: stop.joins !== undefined })),
    travel: (round?.stops ?? []).map((stop) => span(stop.arriveMin - stop.travelMin, stop.arriveMin)),
    overtime: round && shift && round.endMin > shift.endMin ? span(shift.endMin, round.endMin) : null,
  };
}
