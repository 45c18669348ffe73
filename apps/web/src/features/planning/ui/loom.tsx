import type { WeekView } from '@bellround/contracts';
import { type KeyboardEvent, type RefObject, useEffect, useMemo, useRef, useState } from 'react';
import { dayWords } from '../../../shared/format.js';
import { Button, ProblemBox } from '../../../shared/ui/index.js';
import { CarryPanel } from './carry-panel.js';
import { Hanging, hangRoom } from './loom-hanging.js';
import { Thread } from './loom-thread.js';
import { type Carry, ghostAt, loomGeometry, shownDays, type LoomGeometry, stepTarget, type Target } from './loom-geometry.js';
import { usePointerCarry } from './loom-pointer.js';
import { type Move, moveTo, sameSpot, spotOf, useMoves, usePreview } from './week-moves.js';
import './loom.css';
import { phrase } from '../../../shared/language/index.js';

const LEFT = 128;
const HEAD = 34;
const ROOMY_PX = 46;
const DENSE_PX = 28;
/** A day is as wide as the frame allows, within these. */
const DAY_PX = { least: 170, most: 340, usual: 220 };
/** Up to so many threads each is drawn with room for words. */
const ROOMY_UP_TO = 14;

interface LoomProps { view: WeekView; chosen: string | null; mayMove: boolean; onChoose: (visitId: string) => void; onDraft: (planId: string) => void }

/**
 * The week as threads: one per technician, a knot per visit as wide as its minutes. A knot is moved by pointer or by keys; what
 * the move costs and which rules it breaks is said before it is dropped. Below the picture the same stands as words.
 */
export function Loom({ view, chosen, mayMove, onChoose, onDraft }: LoomProps) {
  const rowHeight = view.technicians.length <= ROOMY_UP_TO ? ROOMY_PX : DENSE_PX;
  const frame = useRef<HTMLDivElement>(null);
  const dayWidth = useDayWidth(frame, shownDays(view));
  const geometry = useMemo(() => loomGeometry(view, { dayWidth, rowHeight, left: LEFT }), [view, dayWidth, rowHeight]);
  const visits = useMemo(() => new Map(view.visits.map((visit) => [visit.id, visit])), [view]);
  const names = useMemo(() => new Map(view.technicians.map((one) => [one.id, one.name])), [view]);
  const picture = useRef<SVGSVGElement>(null);
  const ghost = useRef<SVGGElement>(null);
  const [carry, setCarry] = useState<Carry | null>(null);
  const [tabStop, setTabStop] = useState<string | null>(null);
  const moves = useMoves(view, onDraft);
  const { preview, look } = usePreview(view);
  const focusNext = useRef<string | null>(null);
  const movable = mayMove && view.plan !== null && ['draft', 'published'].includes(view.plan.state) && !moves.busy;

  useEffect(() => {
    if (focusNext.current === null) return;
    const knot = picture.current?.querySelector<SVGGElement>(`[data-knot="${focusNext.current}"]`);
    if (knot) { focusNext.current = null; knot.focus(); }
  }, [view]);

  const aim = (next: Carry | null) => {
    setCarry(next);
    if (next === null) { look(null); return; }
    const move = moveTo(view, next.visitId, next.target);
    look(sameSpot(move, spotOf(view, next.visitId)) ? null : move);
  };
  const drop = (held: Carry) => {
    const move = moveTo(view, held.visitId, held.target);
    const isBroken = preview.state === 'told' && sameTarget(preview.move, move) && preview.answer.broken.length > 0;
    if (sameSpot(move, spotOf(view, held.visitId))) { aim(null); return; }
    if (isBroken) return; // it stays in the hand, with the rules it would break beside it
    focusNext.current = held.visitId;
    void moves.move(move, visits.get(held.visitId)?.siteName ?? 'visit').then(() => aim(null));
  };
  const pointer = usePointerCarry({ geometry, head: HEAD, picture, ghost, movable, carry, aim, drop, choose: onChoose });

  const keys = (event: KeyboardEvent) => {
    if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === 'z' && moves.undo) { event.preventDefault(); moves.undo(); return; }
    if (carry?.by === 'keys') { carryKeys(event, carry, geometry, aim, drop); return; }
    const at = (event.target as Element).closest<SVGGElement>('[data-knot]');
    if (!at || !picture.current) return;
    const visitId = at.dataset['knot']!;
    if (event.key === 'Enter') { event.preventDefault(); onChoose(visitId); return; }
    if ((event.key === ' ' || event.key === 'Delete') && movable && !('done' in at.dataset)) {
      event.preventDefault();
      const spot = spotOf(view, visitId);
      const here: Target = spot.technicianId === null ? { technicianId: null, day: geometry.days[0]!.day, position: 0 } : { technicianId: spot.technicianId, day: spot.day!, position: spot.position! };
      aim({ visitId, by: 'keys', target: event.key === 'Delete' ? { ...here, technicianId: null } : here });
      return;
    }
    const next = neighbour(picture.current, at, event.key);
    if (next) { event.preventDefault(); setTabStop(next.dataset['knot']!); next.focus(); }
  };

  const hangs = hangRoom(view, geometry, visits);
  const height = HEAD + geometry.rows.length * geometry.rowHeight + hangs;
  const first = tabStop !== null && visits.has(tabStop) ? tabStop : (chosen ?? view.rounds[0]?.stops[0]?.visitId ?? view.unplaced.find((one) => one.lapses)?.visitId ?? null);
  const inRow = (row: LoomGeometry['rows'][number], visitId: string | null) => (visitId !== null && row.cells.some((cell) => cell.knots.some((knot) => knot.visitId === visitId)) ? visitId : null);
  const allowed = (carry ? visits.get(carry.visitId) : chosen ? visits.get(chosen) : undefined)?.windows ?? [];
  const spot = carry ? ghostAt(geometry, carry.target, carry.visitId) : null;
  const carriedMin = carry ? visits.get(carry.visitId)?.serviceMin ?? 30 : 0;
  return (
    <div className="stack">
      <div ref={frame} className="loom-frame" tabIndex={-1}>
        <svg ref={picture} className="loom" width={geometry.width} height={height} viewBox={`0 0 ${geometry.width} ${height}`} role="group" aria-label={phrase('planning.rounds-of-the-week-one-thread-per')} onKeyDown={keys} {...pointer}
          onFocus={(event) => { const knot = (event.target as Element).closest<SVGGElement>('[data-knot]'); if (knot) setTabStop(knot.dataset['knot']!); }}>
          <defs><pattern id="loom-hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line x1="0" x2="0" y1="0" y2="6" className="loom-hatch" /></pattern></defs>
          {allowed.map((window) => <Allowed key={`${window.day} ${window.startMin}`} geometry={geometry} window={window} height={height - hangs} />)}
          {geometry.days.map(({ day, x }) => <g key={day}><text className="loom-day" x={x + 4} y={14}>{dayWords(day).replace(/ \d{4}$/, '')}{view.dayTravel.some((one) => one.day === day) ? phrase('planning.travel-percent', { percent: view.dayTravel.find((one) => one.day === day)!.percent }) : ''}</text><line className="loom-rule" x1={x} x2={x} y1={0} y2={height} /></g>)}
          {geometry.hours.map((hour, index) => <text key={index} className="loom-hour" x={hour.x} y={28}>{hour.words}</text>)}
          {geometry.rows.map((row) => <Thread key={row.technicianId} row={row} name={names.get(row.technicianId) ?? ''} top={HEAD} rowHeight={geometry.rowHeight} visits={visits} lastDay={view.days[6]!} chosen={inRow(row, chosen)} tabStop={inRow(row, first)} carried={inRow(row, carry?.visitId ?? null)} />)}
          <Hanging view={view} geometry={geometry} top={HEAD + geometry.rows.length * geometry.rowHeight} visits={visits} chosen={chosen} tabStop={first} carried={carry?.visitId ?? null} />
          {carry && spot ? <g ref={ghost} className="loom-ghost" pointerEvents="none" style={carry.by === 'keys' ? { transform: `translate(${spot.x}px, ${HEAD + spot.y}px)` } : undefined}><rect x={0} y={-geometry.rowHeight / 2 + 3} width={Math.max(10, (carriedMin / (geometry.toMin - geometry.fromMin)) * geometry.inner)} height={geometry.rowHeight - 6} /><text x={4} y={4}>{visits.get(carry.visitId)?.siteName ?? phrase('planning.visit')}</text></g> : null}
        </svg>
      </div>
      {carry ? <CarryPanel view={view} carry={carry} preview={preview} name={names} onDrop={() => drop(carry)} onLeave={() => { focusNext.current = carry.visitId; aim(null); }} /> : null}
      {moves.error ? <ProblemBox problem={moves.error}><Button size="small" onClick={moves.reset}>{phrase('planning.understood')}</Button></ProblemBox> : null}
      {moves.undo ? <div className="row"><Button size="small" busy={moves.busy} onClick={moves.undo}>{phrase('planning.undo-the-move-of')} {moves.lastWords}</Button></div> : null}
      <p className="small quiet">{phrase('planning.dashes-slack-of-a-shift-thick-thread', { value: mayMove ? phrase('planning.drag-a-knot-or-press-space-on') : '' })}</p>
    </div>
  );
}

/** Width of a day so that the whole week is seen where the frame is wide enough. */
function useDayWidth(frame: RefObject<HTMLDivElement | null>, days: number): number {
  const [width, setWidth] = useState<number | null>(null);
  useEffect(() => {
    if (!frame.current) return undefined;
    const watcher = new ResizeObserver(([entry]) => setWidth(entry ? Math.floor(entry.contentRect.width) : null));
    watcher.observe(frame.current);
    return () => watcher.disconnect();
  }, [frame]);
  return width === null ? DAY_PX.usual : Math.max(DAY_PX.least, Math.min(DAY_PX.most, Math.floor((width - LEFT) / Math.max(1, days))));
}

const sameTarget = (a: Move, b: Move): boolean => a.visitId === b.visitId && sameSpot(a, b);

function carryKeys(event: KeyboardEvent, carry: Carry, geometry: LoomGeometry, aim: (next: Carry | null) => void, drop: (held: Carry) => void): void {
  if (event.key === 'Escape') { event.preventDefault(); aim(null); return; }
  if (event.key === 'Enter' || event.key === ' ') { event.preventDefault(); drop(carry); return; }
  if (event.key.startsWith('Arrow')) { event.preventDefault(); aim({ ...carry, target: stepTarget(geometry, carry.target, event.key, carry.visitId) }); }
}

/** The knot that an arrow key leads to: along the thread, or the nearest in time on the thread above or below. */
function neighbour(picture: SVGSVGElement, at: SVGGElement, key: string): SVGGElement | undefined {
  const knots = [...picture.querySelectorAll<SVGGElement>('[data-knot]')];
  const placeOf = (knot: SVGGElement) => { const box = knot.getBBox(); return { x: box.x + box.width / 2, y: Math.round(box.y + box.height / 2) }; };
  if (key === 'ArrowRight' || key === 'ArrowLeft') return knots[knots.indexOf(at) + (key === 'ArrowRight' ? 1 : -1)];
  if (key !== 'ArrowUp' && key !== 'ArrowDown') return undefined;
  const here = placeOf(at);
  const placed = knots.map((knot) => ({ knot, ...placeOf(knot) })).filter((one) => (key === 'ArrowDown' ? one.y > here.y + 3 : one.y < here.y - 3));
  const nearestRow = placed.reduce((best, one) => Math.min(best, Math.abs(one.y - here.y)), Infinity);
  return placed.filter((one) => Math.abs(one.y - here.y) <= nearestRow + 3).toSorted((a, b) => Math.abs(a.x - here.x) - Math.abs(b.x - here.x))[0]?.knot;
}

function Allowed({ geometry, window, height }: { geometry: LoomGeometry; window: { day: string; startMin: number; endMin: number }; height: number }) {
  const day = geometry.days.find((one) => one.day === window.day);
  if (!day) return null;
  const at = (minute: number) => day.x + (Math.max(0, Math.min(geometry.toMin, minute) - geometry.fromMin) / (geometry.toMin - geometry.fromMin)) * geometry.inner;
  const [from, to] = [at(window.startMin), at(window.endMin)];
  return to > from ? <g><rect className="loom-allowed" x={from} y={HEAD - 4} width={to - from} height={height - HEAD + 4} /><rect className="loom-band" x={from} y={HEAD - 6} width={to - from} height={4} /></g> : null;
}
