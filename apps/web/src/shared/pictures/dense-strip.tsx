import { memo, useId, useMemo } from 'react';
import { type LaneGeometry, type StripLane, stripGeometry } from './proof-strip-geometry.js';
import { columnWords, laneWords } from './proof-strip-words.js';
import './proof-strip.css';

const LANE = 14;
const GROUND = 11;
const RIM = 5;

interface DenseStripProps { lanes: readonly StripLane[]; from: string; to: string; today: string; /** lanes drawn; the rest is counted in words by the list */ most?: number }

/**
 * One site's strip among thousands: a single picture of a fixed height, few paths however many windows, so that a long list
 * scrolls. The same shapes as the large strip; in words for those who do not see it.
 */
export const DenseStrip = memo(function DenseStrip({ lanes, from, to, today, most = 4 }: DenseStripProps) {
  const hatch = useId();
  const drawn = useMemo(() => {
    const shown = lanes.slice(0, most);
    const geometry = stripGeometry({ lanes: shown, from, to, today });
    return { geometry, paths: geometry.lanes.map((lane, i) => lanePaths(lane, geometry.days, i * LANE)), words: shown.map((lane) => laneWords({ ...lane, windows: lane.windows.slice(-3) }, today)).join(' ') };
  }, [lanes, from, to, today, most]);
  const { geometry, paths } = drawn;
  const height = LANE * Math.max(1, paths.length);
  const joined = (pick: (one: LanePaths) => string) => paths.map(pick).join('');
  const column = geometry.column;
  return (
    <svg className="strip-picture dense-strip" viewBox={`0 0 ${geometry.days} ${height}`} preserveAspectRatio="none" role="img" style={{ height }}
      aria-label={`${drawn.words}${column ? ` ${columnWords(column)}.` : ''}`}>
      <defs><pattern id={hatch} width={geometry.days / 90} height="5" patternUnits="userSpaceOnUse"><path d={`M0 5L${geometry.days / 90} 0`} className="hatch-line" /></pattern></defs>
      {column ? <rect className="fit" x={column.x1} y="0" width={column.x2 - column.x1} height={height} /> : null}
      <path className="hatched" d={joined((one) => one.hatched)} fill={`url(#${hatch})`} style={{ fill: `url(#${hatch})` }} />
      <path className="ground" d={joined((one) => one.ground)} />
      <path className="ground broken" d={joined((one) => one.broken)} />
      <path className="wall" d={joined((one) => one.walls)} />
      <g className="ahead"><path className="wall" d={joined((one) => one.ahead)} /></g>
      <g className="open"><path className="wall" d={joined((one) => one.open)} /></g>
      <path className="bracket" d={joined((one) => one.brackets)} />
      <path className="tail" d={joined((one) => one.tails)} />
      <path className="tail growing" d={joined((one) => one.growing)} />
      <path className="peg" d={joined((one) => one.pegs)} />
      <path className="peg late" d={joined((one) => one.latePegs)} />
      <path className="lid" d={joined((one) => one.lids)} />
      {geometry.today === null ? null : <path className="now" d={`M${geometry.today} 0V${height}`} />}
    </svg>
  );
});

interface LanePaths { ground: string; broken: string; hatched: string; walls: string; ahead: string; open: string; brackets: string; tails: string; growing: string; pegs: string; latePegs: string; lids: string }

function lanePaths(lane: LaneGeometry, days: number, top: number): LanePaths {
  const [ground, rim] = [top + GROUND, top + RIM];
  const paths: LanePaths = { ground: '', broken: '', hatched: '', walls: '', ahead: '', open: '', brackets: '', tails: '', growing: '', pegs: '', latePegs: '', lids: '' };
  const serif = days / 200;
  const holes = [...lane.broken, ...lane.hatched].toSorted((a, b) => a.x1 - b.x1);
  let x = 0;
  for (const hole of holes) { if (hole.x1 > x) paths.ground += `M${x} ${ground}H${hole.x1}`; x = Math.max(x, hole.x2); }
  if (x < days) paths.ground += `M${x} ${ground}H${days}`;
  for (const one of lane.broken) paths.broken += `M${one.x1} ${ground}H${one.x2}`;
  for (const one of lane.hatched) paths.hatched += `M${one.x1} ${top + 1}H${one.x2}V${ground}H${one.x1}Z`;
  for (const { x1, x2, kind } of lane.basins) {
    const wall = `M${x1} ${rim}V${ground}H${x2}V${rim}`;
    if (kind === 'open') paths.open += wall; else if (kind === 'ahead' || kind === 'unjudged') paths.ahead += wall; else paths.walls += wall;
    if (kind === 'missed' || kind === 'overdue') paths.brackets += `M${x1 + serif} ${top + 1}H${x1}V${ground + 2}H${x1 + serif}`;
    if (kind === 'missed') paths.brackets += `M${x2 - serif} ${top + 1}H${x2}V${ground + 2}H${x2 - serif}`;
  }
  for (const one of lane.growing) paths.growing += `M${one.x1} ${ground - 3}H${one.x2}`;
  for (const peg of lane.pegs) {
    if (peg.tailFrom !== null) paths.tails += `M${peg.tailFrom} ${ground - 3}H${peg.x}`;
    const stem = `M${peg.x} ${top + 1}V${ground}`;
    if (peg.isLate) paths.latePegs += stem; else paths.pegs += stem;
  }
  for (const one of lane.lids) paths.lids += `M${one.x1} ${top + 2}H${one.x2}`;
  return paths;
}
