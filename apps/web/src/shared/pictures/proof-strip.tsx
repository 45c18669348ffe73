import { type KeyboardEvent, memo, useId, useMemo, useState } from 'react';
import { dayShort } from '../format.js';
import { type Basin, type LaneGeometry, type StripGeometry, type StripProps, type StripWindow, stripGeometry } from './proof-strip-geometry.js';
import { columnWords, laneWords, windowWords } from './proof-strip-words.js';
import './proof-strip.css';
import { phrase } from '../language/index.js';
import { said } from '../language/said.js';

export type { StripLane, StripPause, StripProps, StripWindow } from './proof-strip-geometry.js';

interface Settings {
  /** lanes without titles, axis and words: one of many on a page */
  dense?: boolean;
  /** opens what is behind a window: the check, the duty */
  onPick?: (lane: number, window: StripWindow) => void;
}

const HEIGHT = 26;
const GROUND = 21;
const RIM = 10;

/**
 * A site's duties through time. A window is a basin open at the top, a proof a peg: in its basin when in time, beyond it
 * with a tail as long as the lateness. A missed basin stays empty and is bracketed; what can't be told is hatched; a pause
 * has a lid. The light column says where one visit fits several. Told in words for those who do not see it.
 */
export const ProofStrip = memo(function ProofStrip({ lanes, from, to, today, dense = false, onPick }: StripProps & Settings) {
  const hatch = useId();
  const geometry = useMemo(() => stripGeometry({ lanes, from, to, today }), [lanes, from, to, today]);
  const [read, setRead] = useState<{ lane: number; n: number } | null>(null);
  const chosen = read ? lanes[read.lane]?.windows[read.n] : undefined;
  return (
    <figure className={dense ? 'strip dense' : 'strip'}>
      {dense ? null : <Axis geometry={geometry} />}
      <div className="strip-lanes">
        <Overlays geometry={geometry} dense={dense} />
        {lanes.map((lane, i) => (
          <div className="strip-lane" key={`${i} ${lane.title}`}>
            {dense ? null : <Lids lane={geometry.lanes[i]!} days={geometry.days} />}
            {dense ? null : <div className="strip-title" aria-hidden="true">{lane.title}</div>}
            <LanePicture geometry={geometry} lane={geometry.lanes[i]!} words={laneWords(lane, today)} hatch={hatch}
              windows={lane.windows} chosen={read?.lane === i ? read.n : null} onRead={dense ? null : (n) => setRead(n === null ? null : { lane: i, n })}
              onPick={onPick ? (n) => onPick(i, lane.windows[n]!) : null} />
          </div>
        ))}
      </div>
      {dense ? null : (
        <figcaption className="strip-words" aria-live="polite">
          {chosen && read ? <><strong>{lanes[read.lane]!.title}</strong>: {windowWords(chosen, today)}{chosen.why ? <span className="why"> · {said(chosen.why)}</span> : null}</>
            : geometry.column ? columnWords(geometry.column) : phrase('pictures.from-to-to', { from: dayShort(from), to: dayShort(to) })}
        </figcaption>
      )}
    </figure>
  );
});

/** The names of who allowed each pause, above its lid. */
function Lids({ lane, days }: { lane: LaneGeometry; days: number }) {
  if (lane.lids.length === 0) return null;
  return <div className="strip-lids" aria-hidden="true">{lane.lids.map((lid) => <span key={lid.x1} style={lid.x1 > days * 0.7 ? { right: `${100 - (100 * lid.x2) / days}%` } : { left: `${(100 * lid.x1) / days}%` }}>{lid.by}</span>)}</div>;
}

function Axis({ geometry }: { geometry: StripGeometry }) {
  return (
    <div className="strip-axis" aria-hidden="true"><div>
      {geometry.ticks.map((tick) => <span key={tick.x} className={tick.isYear ? 'year' : ''} style={{ left: `${(100 * tick.x) / geometry.days}%` }}>{tick.label}</span>)}
    </div></div>
  );
}

function Overlays({ geometry, dense }: { geometry: StripGeometry; dense: boolean }) {
  const { column, today, days } = geometry;
  const at = (x: number) => `${(100 * x) / days}%`;
  return (
    <div className="strip-over" aria-hidden="true">
      {column ? <div className="strip-column" title={columnWords(column)} style={{ left: at(column.x1), width: at(column.x2 - column.x1) }} /> : null}
      {today === null ? null : <div className="strip-today" style={{ left: at(today) }}>{dense ? null : <span>{phrase('pictures.today')}</span>}</div>}
    </div>
  );
}

interface LanePictureProps {
  geometry: StripGeometry; lane: LaneGeometry; words: string; hatch: string; windows: readonly StripWindow[];
  chosen: number | null; onRead: ((n: number | null) => void) | null; onPick: ((n: number) => void) | null;
}

/** Units: days across, pixels down; strokes keep their width however long the strip is. */
function LanePicture({ geometry, lane, words, hatch, windows, chosen, onRead, onPick }: LanePictureProps) {
  const { days } = geometry;
  const patternId = `${hatch}-h`;
  const keys = (event: KeyboardEvent) => {
    if (!onRead) return;
    const step = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
    if (step !== 0) {
      event.preventDefault();
      const start = chosen ?? (step > 0 ? -1 : windows.length);
      onRead(Math.min(windows.length - 1, Math.max(0, start + step)));
    } else if (event.key === 'Enter' && chosen !== null) onPick?.(chosen);
    else if (event.key === 'Escape') onRead(null);
  };
  return (
    <svg className={onPick ? 'strip-picture opens' : 'strip-picture'} viewBox={`0 0 ${days} ${HEIGHT}`} preserveAspectRatio="none" role="img" aria-label={words}
      {...(onRead ? { tabIndex: 0, onKeyDown: keys, onBlur: () => onRead(null), onMouseLeave: () => onRead(null) } : {})}>
      <defs><pattern id={patternId} width={days / 110} height="6" patternUnits="userSpaceOnUse"><path d={`M0 6L${days / 110} 0`} className="hatch-line" /></pattern></defs>
      <path className="ground" d={groundPath(lane, days)} />
      {lane.broken.map((one) => <path key={`b${one.x1}`} className="ground broken" d={`M${one.x1} ${GROUND}H${one.x2}`} />)}
      {lane.hatched.map((one) => <rect key={`h${one.x1}`} className="hatched" x={one.x1} y={RIM - 4} width={one.x2 - one.x1} height={GROUND - RIM + 4} fill={`url(#${patternId})`} />)}
      {lane.basins.map((basin) => <BasinShape key={basin.window.opens} basin={basin} days={days} isChosen={chosen !== null && windows[chosen] === basin.window} />)}
      {lane.growing.map((one) => <path key={`g${one.x1}`} className="tail growing" d={`M${one.x1} ${GROUND - 4}H${one.x2}`} />)}
      {lane.pegs.map((peg) => (
        <g key={`p${peg.x}`}>
          {peg.tailFrom === null ? null : <path className="tail" d={`M${peg.tailFrom} ${GROUND - 4}H${peg.x}`} />}
          <path className={peg.isLate ? 'peg late' : 'peg'} d={`M${peg.x} ${RIM - 7}V${GROUND}`} />
        </g>
      ))}
      {lane.lids.map((lid) => <g key={`l${lid.x1}`}><path className="lid" d={`M${lid.x1} ${RIM - 3}H${lid.x2}`} /><title>{phrase('pictures.not-owed-allowed-by-by', { by: lid.by })}</title></g>)}
      {onRead ? lane.basins.map((basin) => {
        const n = windows.indexOf(basin.window);
        return <rect key={`t${basin.window.opens}`} className="touch" x={basin.x1} y="0" width={basin.x2 - basin.x1} height={HEIGHT} onMouseEnter={() => onRead(n)} onClick={() => { onRead(n); onPick?.(n); }} />;
      }) : null}
    </svg>
  );
}

/** The lane's ground, left out where it is broken, hatched, or a basin's floor. */
function groundPath(lane: LaneGeometry, days: number): string {
  const holes = [...lane.broken, ...lane.hatched, ...lane.basins].map(({ x1, x2 }) => ({ x1: Math.max(0, x1), x2: Math.min(days, x2) })).toSorted((a, b) => a.x1 - b.x1);
  let path = '';
  let x = 0;
  for (const hole of holes) {
    if (hole.x1 > x) path += `M${x} ${GROUND}H${hole.x1}`;
    x = Math.max(x, hole.x2);
  }
  return x < days ? `${path}M${x} ${GROUND}H${days}` : path || 'M0 0';
}

function BasinShape({ basin, days, isChosen }: { basin: Basin; days: number; isChosen: boolean }) {
  const { x1, x2, kind, due } = basin;
  const serif = days / 160;
  const isBracketed = kind === 'missed' || kind === 'overdue';
  const bracket = (x: number, inward: number) => `M${x + inward} ${RIM - 8}H${x}V${GROUND + 4}H${x + inward}`;
  return (
    <g className={`basin ${kind}${isChosen ? ' chosen' : ''}`}>
      <path className="wall" d={`M${x1} ${RIM}V${GROUND}H${x2}V${RIM}`} />
      {kind === 'open' || kind === 'ahead' || kind === 'overdue' ? <path className="due" d={`M${due + 0.5} ${GROUND}V${GROUND - 5}`} /> : null}
      {isBracketed ? <path className="bracket" d={`${bracket(x1, serif)}${kind === 'missed' ? bracket(x2, -serif) : ''}`} /> : null}
    </g>
  );
}
