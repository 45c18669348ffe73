import type { WeekView, WeekVisit } from '@bellround/contracts';
import { dayShort, minutesWords } from '../../../shared/format.js';
import type { LoomGeometry } from './loom-geometry.js';
import { LoomWord } from './loom-word.js';
import { phrase } from '../../../shared/language/index.js';

const LINE = 20;
const MOST = 6;
interface Hung { byDay: Map<string, { visitId: string; words: string }[]>; waiting: number }

function hungOf(view: WeekView, geometry: LoomGeometry, visits: ReadonlyMap<string, WeekVisit>): Hung {
  const byDay = new Map<string, { visitId: string; words: string }[]>(geometry.days.map(({ day }) => [day, []]));
  let waiting = 0;
  for (const one of view.unplaced) {
    const visit = visits.get(one.visitId);
    const lapse = visit?.overdue ? geometry.days[0]!.day : one.lapses ? (visit?.lapsesOn ?? geometry.days.at(-1)!.day) : null;
    const day = lapse === null ? null : (geometry.days.findLast((shown) => shown.day <= lapse)?.day ?? geometry.days[0]!.day);
    if (day === null) waiting += 1;
    else byDay.get(day)!.push({ visitId: one.visitId, words: one.words });
  }
  return { byDay, waiting };
}

/** Height below the threads in which visits that are on no round hang; never nothing, so that one can be taken off there. */
export function hangRoom(view: WeekView, geometry: LoomGeometry, visits: ReadonlyMap<string, WeekVisit>): number {
  const most = Math.max(0, ...[...hungOf(view, geometry, visits).byDay.values()].map((all) => all.length));
  return Math.max(2, Math.min(MOST, most)) * LINE + (most > MOST ? 34 : 20);
}

interface HangingProps { view: WeekView; geometry: LoomGeometry; top: number; visits: ReadonlyMap<string, WeekVisit>; chosen: string | null; tabStop: string | null; carried: string | null }

/** Visits on no round, below the day on which they lapse; what has lapsed hangs below the first day. The rest is counted: it can wait. */
export function Hanging({ view, geometry, top, visits, chosen, tabStop, carried }: HangingProps) {
  const { byDay, waiting } = hungOf(view, geometry, visits);
  return (
    <g>
      <line className="loom-floor" x1={0} x2={geometry.width} y1={top + 6} y2={top + 6} />
      <text className="loom-name" x={4} y={top + 24}>{phrase('planning.on-no-round')}</text>
      {geometry.days.map(({ day, x }) => {
        const all = byDay.get(day) ?? [];
        return (
          <g key={day}>
            {all.slice(0, MOST).map((one, index) => {
              const visit = visits.get(one.visitId);
              const y = top + 12 + index * LINE;
              const label = phrase('planning.value-on-no-round-value2-minutes-words', { value: visit?.siteName ?? phrase('planning.visit'), value2: visit?.overdue ? phrase('planning.lapsed-or-cant-be-told') : phrase('planning.lapses-value', { value: visit?.lapsesOn ? dayShort(visit.lapsesOn) : phrase('planning.this-week') }), minutes: minutesWords(visit?.serviceMin ?? 0), words: one.words });
              return (
                <g key={one.visitId} data-knot={one.visitId} data-hang="" tabIndex={one.visitId === tabStop ? 0 : -1} role="button" aria-label={label} aria-pressed={one.visitId === chosen} className={`loom-knot pressing hangs${one.visitId === chosen ? ' chosen' : ''}${one.visitId === carried ? ' carried' : ''}`}>
                  <title>{label}</title>
                  <path className="loom-string" d={`M${x + 10} ${top + 6}V${y}`} />
                  <rect x={x + 6} y={y} width={geometry.dayWidth - 24} height={LINE - 4} />
                  <LoomWord x={x + 12} y={y} width={geometry.dayWidth - 34} height={LINE - 4}>{visit?.siteName ?? phrase('planning.visit')}</LoomWord>
                </g>
              );
            })}
            {all.length > MOST ? <text className="loom-word" x={x + 10} y={top + 12 + MOST * LINE + 10}>{phrase('planning.and-value-more-below', { value: all.length - MOST })}</text> : null}
          </g>
        );
      })}
      {waiting > 0 ? <text className="loom-word" x={4} y={top + 42}>{phrase('planning.waiting-can-wait', { waiting })}</text> : null}
    </g>
  );
}
