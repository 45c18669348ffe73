import type { WeekVisit } from '@bellround/contracts';
import { memo } from 'react';
import { clockWords, dayShort } from '../../../shared/format.js';
import type { LoomCell, LoomKnot, LoomRow } from './loom-geometry.js';
import { LoomWord } from './loom-word.js';
import { phrase } from '../../../shared/language/index.js';

/** A visit that something lapses without, in the days shown. */
export const isPressing = (visit: WeekVisit | undefined, lastDay: string): boolean => visit !== undefined && (visit.overdue || (visit.lapsesOn ?? '9') <= lastDay);

interface ThreadProps {
  row: LoomRow; name: string; top: number; rowHeight: number; visits: ReadonlyMap<string, WeekVisit>; lastDay: string;
  /** only when it stands in this thread, so that the others are not drawn again */
  chosen: string | null; tabStop: string | null; carried: string | null;
}

/** One technician's thread through the days. */
export const Thread = memo(function Thread({ row, name, top, rowHeight, visits, lastDay, chosen, tabStop, carried }: ThreadProps) {
  const y = top + row.y + rowHeight / 2;
  return (
    <g>
      <text className="loom-name" x={4} y={y + 4}>{name}</text>
      {row.cells.map((cell) => (
        <g key={cell.day}>
          <Plain cell={cell} y={y} />
          {cell.knots.map((knot) => (
            <Knot key={`${knot.visitId} ${knot.joins ? 'second' : ''}`} knot={knot} y={y} half={rowHeight / 2 - 5} visit={visits.get(knot.visitId)} where={`${name}, ${dayShort(cell.day)}`} lastDay={lastDay}
              isChosen={knot.visitId === chosen} isTabStop={knot.visitId === tabStop && !knot.joins} isCarried={knot.visitId === carried} />))}
        </g>))}
    </g>
  );
});

/** Slack, travel, overtime and the tail of a bad day. */
function Plain({ cell, y }: { cell: LoomCell; y: number }) {
  return (
    <>
      {cell.shift ? <><line className="loom-slack" x1={cell.shift.x} x2={cell.shift.x + cell.shift.width} y1={y} y2={y} /><line className="loom-selvage" x1={cell.shift.x + cell.shift.width} x2={cell.shift.x + cell.shift.width} y1={y - 10} y2={y + 10} /></> : cell.knots.length === 0 ? <text className="loom-off" x={cell.x + 8} y={y + 4}>{phrase('planning.off')}</text> : null}
      {cell.overtime ? <line className="loom-overtime" x1={cell.overtime.x} x2={cell.overtime.x + cell.overtime.width} y1={y} y2={y} /> : null}
      {cell.badDay && cell.badDay.width > 1 ? <line className="loom-bad-day" x1={cell.badDay.x} x2={cell.badDay.x + cell.badDay.width} y1={y + 6} y2={y + 6}><title>{phrase('planning.on-a-bad-day-until-clock', { clock: clockWords(cell.badDayMin ?? 0) })}</title></line> : null}
      {cell.travel.map((leg, index) => <line key={index} className="loom-travel" x1={leg.x} x2={leg.x + leg.width} y1={y} y2={y} />)}
    </>
  );
}

interface KnotProps { knot: LoomKnot; y: number; half: number; visit: WeekVisit | undefined; where: string; lastDay: string; isChosen: boolean; isTabStop: boolean; isCarried: boolean }

const Knot = memo(function Knot({ knot, y, half, visit, where, lastDay, isChosen, isTabStop, isCarried }: KnotProps) {
  const pressing = isPressing(visit, lastDay);
  const width = Math.max(6, knot.width);
  const label = phrase('planning.value-where-startmin-to-endmin-value2-value3', { value: visit?.siteName ?? phrase('planning.visit'), where, startMin: clockWords(knot.startMin), endMin: clockWords(knot.endMin), value2: knot.done ? phrase('planning.begun-or-done') : '', value3: knot.joins ? phrase('planning.as-second-person') : '', value4: pressing ? phrase('planning.must-be-done-this-week') : '', value5: visit?.pinned ? phrase('planning.pinned') : '' });
  return (
    <g data-knot={knot.visitId} {...(knot.done ? { 'data-done': '' } : {})} {...(knot.joins ? { 'data-joins': '' } : {})} tabIndex={isTabStop ? 0 : -1} role="button" aria-label={label} aria-pressed={isChosen}
      className={`loom-knot${isChosen ? ' chosen' : ''}${pressing ? ' pressing' : ''}${knot.done ? ' done' : ''}${knot.joins ? ' joins' : ''}${isCarried ? ' carried' : ''}`}>
      <title>{label}</title>
      <rect x={knot.x} y={y - half} width={width} height={half * 2} rx={pressing ? 0 : Math.min(8, half)} />
      {visit?.pinned ? <path className="loom-pin" d={`M${knot.x + width / 2} ${y - half - 4}v7`} /> : null}
      {width >= 32 && half > 8 ? <LoomWord x={knot.x + 4} y={y - half} width={width - 6} height={half * 2}>{visit?.siteName ?? ''}</LoomWord> : null}
    </g>
  );
});
