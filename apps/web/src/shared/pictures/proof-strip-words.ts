import { daysFrom, dayShort } from '../format.js';
import { type FitColumn, type StripLane, type StripWindow, kindOf } from './proof-strip-geometry.js';
import { phrase } from '../language/index.js';

/** One window in a sentence. */
export function windowWords(window: StripWindow, today: string): string {
  const open = phrase('pictures.window-opens-to-lapses', { opens: dayShort(window.opens), lapses: dayShort(window.lapses) });
  switch (kindOf(window, today)) {
    case 'on-time': return phrase('pictures.proven-meton-in-time-open', { metOn: dayShort(window.metOn!), open });
    case 'late': return phrase('pictures.proven-meton-latedays-late-open', { metOn: dayShort(window.metOn!), lateDays: phrase('count.day', { n: window.lateDays }), open });
    case 'missed': return phrase('pictures.missed-no-proof-open', { open });
    case 'overdue': return phrase('pictures.lapsed-count-ago-still-without-proof-open', { count: phrase('count.day', { n: daysFrom(window.lapses, today) }), open });
    case 'open': return today <= window.due
      ? phrase('pictures.open-now-due-due-lapses-lapses', { due: dayShort(window.due), lapses: dayShort(window.lapses) })
      : phrase('pictures.late-now-was-due-due-lapses-lapses', { due: dayShort(window.due), lapses: dayShort(window.lapses) });
    case 'ahead': return phrase('pictures.opens-opens-due-due-lapses-lapses', { opens: dayShort(window.opens), due: dayShort(window.due), lapses: dayShort(window.lapses) });
    case 'unjudged': return phrase('pictures.not-judged-open', { open });
  }
}

/** A lane in words, newest first, for those who do not see the picture. */
export function laneWords(lane: StripLane, today: string): string {
  if (lane.windows.length === 0) return phrase('pictures.title-no-window-here', { title: lane.title });
  const parts = lane.windows.toReversed().map((window) => windowWords(window, today));
  const unknown = lane.windows.some((window) => window.carried === 'cant-tell') ? phrase('pictures.part-of-its-past-cant-be-told') : '';
  const pauses = (lane.pauses ?? []).map((pause) => phrase('pictures.not-owed-from-to-value-allowed-by', { from: dayShort(pause.from), value: pause.to ? dayShort(pause.to) : phrase('pictures.further-notice'), by: pause.by })).join('');
  return `${lane.title}. ${parts.join('. ')}.${unknown}${pauses}`;
}

export function columnWords(column: FitColumn): string {
  const days = phrase('pictures.from-to-to', { from: dayShort(column.from), to: dayShort(column.to) });
  return column.lanes === column.of ? phrase('pictures.one-visit-fits-all-of-days', { of: column.of, days }) : phrase('pictures.one-visit-fits-lanes-of-of-days', { lanes: column.lanes, of: column.of, days });
}
