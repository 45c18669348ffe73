import type { WeekView } from '@bellround/contracts';
import { type KeyboardEvent, useMemo, useRef } from 'react';
import { clockWords, dayShort, minutesWords } from '../../../shared/format.js';
import { loomGeometry } from './loom-geometry.js';
import './loom.css';

const SIZE = { dayWidth: 260, left: 128, rowHeight: 46 };
const HEAD = 34;

/**
 * The week as threads: one per technician, a knot per visit as wide as its minutes, plain thread for travel, dashes for
 * slack, a tail past the selvage for overtime. Arrow keys go from knot to knot, Enter opens one. Below it stands the same as words.
 */
export function Loom({ view, chosen, onChoose }: { view: WeekView; chosen: string | null; onChoose: (visitId: string) => void }) {
  const geometry = useMemo(() => loomGeometry(view, SIZE), [view]);
  const visits = useMemo(() => new Map(view.visits.map((visit) => [visit.id, visit])), [view]);
  const picture = useRef<SVGSVGElement>(null);
  const move = (event: KeyboardEvent) => {
    const knots = [...(picture.current?.querySelectorAll<SVGGElement>('[data-knot]') ?? [])];
    const at = knots.indexOf(document.activeElement as unknown as SVGGElement);
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (step && at >= 0) { event.preventDefault(); knots[(at + step + knots.length) % knots.length]?.focus(); }
    if ((event.key === 'Enter' || event.key === ' ') && at >= 0) { event.preventDefault(); onChoose(knots[at]!.dataset['knot']!); }
  };
  const height = HEAD + geometry.rows.length * SIZE.rowHeight + 6;
  const names = new Map(view.technicians.map((one) => [one.id, one.name]));
  return (
    <div className="loom-frame">
      <svg ref={picture} className="loom" width={geometry.width} height={height} viewBox={`0 0 ${geometry.width} ${height}`} role="group" aria-label="Rounds of the week, one thread per technician" onKeyDown={move}>
        {geometry.days.map(({ day, x }) => <g key={day}><text className="loom-day" x={x + 4} y={14}>{dayShort(day)}</text><line className="loom-rule" x1={x} x2={x} y1={0} y2={height} /></g>)}
        {geometry.hours.map((hour, index) => <text key={index} className="loom-hour" x={hour.x} y={28}>{hour.words}</text>)}
        {geometry.rows.map((row) => {
          const y = HEAD + row.y + SIZE.rowHeight / 2;
          return (
            <g key={row.technicianId}>
              <text className="loom-name" x={4} y={y + 4}>{names.get(row.technicianId)}</text>
              {row.cells.map((cell) => (
                <g key={cell.day}>
                  {cell.shift ? <line className="loom-slack" x1={cell.shift.x} x2={cell.shift.x + cell.shift.width} y1={y} y2={y} /> : <text className="loom-off" x={cell.x + 8} y={y + 4}>off</text>}
                  {cell.overtime ? <line className="loom-overtime" x1={cell.overtime.x} x2={cell.overtime.x + cell.overtime.width} y1={y} y2={y} /> : null}
                  {cell.travel.map((leg, index) => <line key={index} className="loom-travel" x1={leg.x} x2={leg.x + leg.width} y1={y} y2={y} />)}
                  {cell.knots.map((knot) => {
                    const visit = visits.get(knot.visitId);
                    const pressing = visit?.overdue || (visit?.lapsesOn ?? '9') <= view.days[6]!;
                    return (
                      <g key={`${knot.visitId} ${knot.joins ? 'second' : ''}`} data-knot={knot.visitId} tabIndex={0} role="button" className={`loom-knot${knot.visitId === chosen ? ' chosen' : ''}${pressing ? ' pressing' : ''}`}
                        aria-label={`${visit?.siteName ?? 'visit'}, ${names.get(row.technicianId)}, ${dayShort(cell.day)} ${clockWords(knot.startMin)} to ${clockWords(knot.endMin)}${pressing ? ', must be done this week' : ''}${visit?.pinned ? ', pinned' : ''}`} onClick={() => onChoose(knot.visitId)}>
                        <rect x={knot.x} y={y - 12} width={Math.max(5, knot.width)} height={24} rx={pressing ? 0 : 9} />
                        {visit?.pinned ? <path className="loom-pin" d={`M${knot.x + 5} ${y - 17}v10`} /> : null}
                        <title>{visit ? `${visit.siteName}: ${minutesWords(visit.serviceMin)}` : ''}</title>
                      </g>
                    );
                  })}
                </g>
              ))}
            </g>
          );
        })}
      </svg>
      <p className="small quiet">Thread: shift. Thick thread: travel. Knot: a visit, as wide as its minutes; square knots must be done this week. A stroke on top: pinned. Past the shift in double line: overtime.</p>
    </div>
  );
}
