import { daysFrom, dayShort, countWords } from '../format.js';
import { type FitColumn, type StripLane, type StripWindow, kindOf } from './proof-strip-geometry.js';

/** One window in a sentence. */
export function windowWords(window: StripWindow, today: string): string {
  const open = `window ${dayShort(window.opens)} to ${dayShort(window.lapses)}`;
  switch (kindOf(window, today)) {
    case 'on-time': return `Proven ${dayShort(window.metOn!)}, in time (${open})`;
    case 'late': return `Proven ${dayShort(window.metOn!)}, ${countWords(window.lateDays, 'day')} late (${open})`;
    case 'missed': return `Missed: no proof (${open})`;
    case 'overdue': return `Lapsed ${countWords(daysFrom(window.lapses, today), 'day')} ago, still without proof (${open})`;
    case 'open': return today <= window.due
      ? `Open now: due ${dayShort(window.due)}, lapses ${dayShort(window.lapses)}`
      : `Late now: was due ${dayShort(window.due)}, lapses ${dayShort(window.lapses)}`;
    case 'ahead': return `Opens ${dayShort(window.opens)}, due ${dayShort(window.due)}, lapses ${dayShort(window.lapses)}`;
    case 'unjudged': return `Not judged (${open})`;
  }
}

/** A lane in words, newest first, for those who do not see the picture. */
export function laneWords(lane: StripLane, today: string): string {
  if (lane.windows.length === 0) return `${lane.title}: no window here.`;
  const parts = lane.windows.toReversed().map((window) => windowWords(window, today));
  const unknown = lane.windows.some((window) => window.carried === 'cant-tell') ? ' Part of its past can’t be told.' : '';
  const pauses = (lane.pauses ?? []).map((pause) => ` Not owed ${dayShort(pause.from)} to ${pause.to ? dayShort(pause.to) : 'further notice'}, allowed by ${pause.by}.`).join('');
  return `${lane.title}. ${parts.join('. ')}.${unknown}${pauses}`;
}

export function columnWords(column: FitColumn): string {
  const days = `${dayShort(column.from)} to ${dayShort(column.to)}`;
  return column.lanes === column.of ? `One visit fits all ${column.of}: ${days}` : `One visit fits ${column.lanes} of ${column.of}: ${days}`;
}
