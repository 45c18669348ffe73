// Geometry of the proof strip, the same on screens and on paper.

/** One window of a duty as the strip draws it. Days are the site's local days, `YYYY-MM-DD`. */
export interface DrawnWindow {
  readonly opens: string;
  readonly due: string;
  /** last day in time */
  readonly lapses: string;
  readonly metOn: string | null;
  readonly outcome: 'on-time' | 'late' | 'missed' | null;
  /** days after `lapses` on which it was met */
  readonly lateDays: number;
  /** what counts before it opens, and while it is open unless 'proven' */
  readonly carried: 'proven' | 'lapsed' | 'cant-tell';
  readonly governsFrom: string;
  readonly governsTo: string | null;
  /** the reason for its dates, in words */
  readonly why?: string;
}

/** A stretch in which nothing was owed, with the name of who allowed it. */
export interface DrawnPause { readonly from: string; readonly to: string | null; readonly by: string }

export interface DrawnLane {
  readonly title: string;
  readonly windows: readonly DrawnWindow[];
  readonly pauses?: readonly DrawnPause[];
}

export interface DrawnStrip {
  readonly lanes: readonly DrawnLane[];
  /** first and last day shown */
  readonly from: string;
  readonly to: string;
  readonly today: string;
}

/** on-time, late: a peg; missed: bracketed, for good; overdue: past its last day and still empty; open, ahead: an empty basin */
export type BasinKind = 'on-time' | 'late' | 'missed' | 'overdue' | 'open' | 'ahead' | 'unjudged';

/** x is in days from the strip's first day; a day is one wide, so the end of a basin is the morning after its last day. */
export interface DrawnBasin { readonly window: DrawnWindow; readonly kind: BasinKind; readonly x1: number; readonly x2: number; readonly due: number }
export interface DrawnPeg { readonly x: number; readonly tailFrom: number | null; readonly isLate: boolean }
export interface DrawnStretch { readonly x1: number; readonly x2: number }
export interface LaneGeometry {
  readonly basins: readonly DrawnBasin[];
  readonly pegs: readonly DrawnPeg[];
  /** lateness that still grows: from the last day in time to today, with no peg yet */
  readonly growing: readonly DrawnStretch[];
  readonly hatched: readonly DrawnStretch[];
  /** nothing proven: the ground is broken */
  readonly broken: readonly DrawnStretch[];
  readonly lids: readonly (DrawnStretch & { readonly by: string })[];
}
export interface FitColumn { readonly x1: number; readonly x2: number; readonly from: string; readonly to: string; readonly lanes: number; readonly of: number }
export interface StripGeometry { readonly days: number; readonly today: number | null; readonly lanes: readonly LaneGeometry[]; readonly column: FitColumn | null; readonly ticks: readonly { readonly x: number; readonly label: string; readonly isYear: boolean }[] }

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
const dayNumber = (day: string): number => Math.round(Date.parse(`${day}T00:00:00Z`) / 86_400_000);
const dayOf = (number: number): string => new Date(number * 86_400_000).toISOString().slice(0, 10);

/** Where everything of a strip stands. Throws when `to` is before `from`. */
export function stripGeometry({ lanes, from, to, today }: DrawnStrip): StripGeometry {
  const first = dayNumber(from);
  const days = dayNumber(to) - first + 1;
  if (!(days > 0)) throw new Error(`a strip from ${from} to ${to} has no days`);
  const now = dayNumber(today) - first;
  const place = (day: string) => dayNumber(day) - first;
  return {
    days,
    today: now >= 0 && now < days ? now + 0.5 : null,
    lanes: lanes.map((lane) => laneGeometry(lane, place, days, today)),
    column: fitColumn(lanes, place, days, now, first),
    ticks: ticks(first, days),
  };
}

export function basinKindOf(window: DrawnWindow, today: string): BasinKind {
  if (window.metOn !== null && window.metOn <= today) return window.outcome === 'late' ? 'late' : window.outcome === null ? 'unjudged' : 'on-time';
  if (window.outcome === 'missed') return 'missed';
  if (window.governsTo !== null && window.governsTo < today) return 'unjudged';
  if (today > window.lapses) return 'overdue';
  return today >= window.opens ? 'open' : 'ahead';
}

function laneGeometry(lane: DrawnLane, place: (day: string) => number, days: number, today: string): LaneGeometry {
  const clip = (x1: number, x2: number): DrawnStretch | null => {
    const [a, b] = [Math.max(0, x1), Math.min(days, x2)];
    return b > a ? { x1: a, x2: b } : null;
  };
  const kept = <T>(all: (T | null)[]): T[] => all.filter((one): one is T => one !== null);
  const now = place(today);
  const basins = lane.windows.map((window): DrawnBasin => ({ window, kind: basinKindOf(window, today), x1: place(window.opens), x2: place(window.lapses) + 1, due: place(window.due) }))
    .filter((basin) => basin.x2 > 0 && basin.x1 < days);
  const met = lane.windows.filter((window) => window.metOn !== null && window.metOn <= today);
  // A stretch of a window's rule ends when the window is met, when the next one takes over, or today: the future is not told.
  const until = (window: DrawnWindow) => Math.min(window.metOn === null ? Infinity : place(window.metOn), window.governsTo === null ? Infinity : place(window.governsTo) + 1, now + 1);
  const notProven = (carried: 'lapsed' | 'cant-tell') => kept(lane.windows.filter((window) => window.carried === carried).map((window) => clip(place(window.governsFrom), until(window))));
  return {
    basins,
    pegs: met.map((window) => {
      const x = place(window.metOn!) + 0.5;
      const isLate = window.outcome === 'late';
      return { x, isLate, tailFrom: isLate ? Math.max(0, place(window.lapses) + 1) : null };
    }).filter((peg) => peg.x >= 0 && peg.x <= days),
    growing: kept(basins.filter((basin) => basin.kind === 'overdue').map((basin) => clip(basin.x2, now + 1))),
    hatched: notProven('cant-tell'),
    broken: [...notProven('lapsed'), ...kept(lane.windows.filter((window) => window.carried === 'proven').map((window) => clip(place(window.lapses) + 1, until(window))))],
    lids: kept((lane.pauses ?? []).map((pause) => {
      const stretch = clip(place(pause.from), pause.to === null ? days : place(pause.to) + 1);
      return stretch ? { ...stretch, by: pause.by } : null;
    })),
  };
}

/** The next window of each lane that still wants its proof, from today on. */
function owed(lanes: readonly DrawnLane[], place: (day: string) => number, now: number): DrawnStretch[] {
  return lanes.flatMap((lane) => {
    const next = lane.windows.find((window) => window.metOn === null && window.outcome === null && place(window.lapses) >= now);
    return next ? [{ x1: Math.max(now, place(next.opens)), x2: place(next.lapses) + 1 }] : [];
  });
}

/** The days on which one visit meets the most lanes' next windows, at least two; the earliest such stretch. */
function fitColumn(lanes: readonly DrawnLane[], place: (day: string) => number, days: number, now: number, first: number): FitColumn | null {
  const windows = owed(lanes, place, now);
  if (windows.length < 2) return null;
  let best: { x1: number; x2: number; lanes: number } | null = null;
  for (const x1 of [...new Set(windows.map((window) => window.x1))].sort((a, b) => a - b)) {
    const together = windows.filter((window) => window.x1 <= x1 && window.x2 > x1);
    if (together.length < 2 || (best && together.length <= best.lanes)) continue;
    const nextOpens = Math.min(...windows.filter((window) => window.x1 > x1).map((window) => window.x1), Infinity);
    best = { x1, x2: Math.min(nextOpens, ...together.map((window) => window.x2)), lanes: together.length };
  }
  if (!best || best.x2 <= 0 || best.x1 >= days) return null;
  return { x1: best.x1, x2: Math.min(days, best.x2), from: dayOf(first + best.x1), to: dayOf(first + best.x2 - 1), lanes: best.lanes, of: windows.length };
}

function ticks(first: number, days: number): { x: number; label: string; isYear: boolean }[] {
  const every = days > 800 ? 6 : days > 270 ? 3 : 1;
  const list: { x: number; label: string; isYear: boolean }[] = [];
  const begin = new Date(first * 86_400_000);
  for (let month = begin.getUTCMonth(), year = begin.getUTCFullYear(); ; month++) {
    if (month === 12) { month = 0; year += 1; }
    const x = Math.round(Date.UTC(year, month, 1) / 86_400_000) - first;
    if (x >= days) return list;
    if (x >= 0 && month % every === 0) list.push({ x, isYear: month === 0, label: month === 0 ? String(year) : MONTHS[month]! });
  }
}
