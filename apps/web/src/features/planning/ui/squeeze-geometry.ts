import type { SqueezeView } from '@bellround/contracts';

type Cell = SqueezeView['groups'][number]['cells'][number];

export interface TriangleCell extends Cell { x: number; y: number; size: number; load: number; shade: number }
export interface Triangle { cells: TriangleCell[]; opens: { day: string; y: number }[]; closes: { day: string; x: number }[]; width: number; height: number; size: number; worst: TriangleCell | null }

/** Below this load a cell is drawn plain. */
const PALE = 0.4;

/**
 * Opening days down, closing days across: a cell per pair, shaded by hours needed over hours available. Where nobody is there at all
 * the load is without measure and the cell is darkest. The worst cell is the one that is short by most; if none is, the fullest.
 */
export function triangleOf(cells: readonly Cell[], room: { width: number; left: number; top: number }): Triangle {
  const opens = [...new Set(cells.map((cell) => cell.from))].sort();
  const closes = [...new Set(cells.map((cell) => cell.to))].sort();
  const size = Math.max(7, Math.min(30, Math.floor((room.width - room.left) / Math.max(1, closes.length))));
  const [xOf, yOf] = [new Map(closes.map((day, i) => [day, room.left + i * size])), new Map(opens.map((day, i) => [day, room.top + i * size]))];
  const drawn = cells.map((cell): TriangleCell => {
    const load = cell.availableMin === 0 ? Infinity : cell.neededMin / cell.availableMin;
    return { ...cell, x: xOf.get(cell.to)!, y: yOf.get(cell.from)!, size, load, shade: Math.max(0, Math.min(1, (load - PALE) / (1.2 - PALE))) };
  });
  const short = (cell: Cell) => cell.neededMin - cell.availableMin;
  const worst = drawn.reduce<TriangleCell | null>((best, cell) => (best === null || (Math.max(short(cell), short(best)) > 0 ? short(cell) > short(best) : cell.load > best.load) ? cell : best), null);
  return { cells: drawn, opens: opens.map((day) => ({ day, y: yOf.get(day)! })), closes: closes.map((day) => ({ day, x: xOf.get(day)! })), width: room.left + closes.length * size + 2, height: room.top + opens.length * size + 2, size, worst };
}
