import type { RoundTrip } from '@bellround/contracts';
import { type Tooth, zipperOf } from '../zipper-geometry.js';
import './zipper.css';
import { phrase } from '../../../shared/language/index.js';

const [LEFT, RIGHT, WIDTH] = [128, 232, 360];
const MID = (LEFT + RIGHT) / 2;

/** Two rails: left what was tripped, right what the station heard. A tooth's slope is its delay; the same is told in the table below it. */
export function Zipper({ trip }: { trip: RoundTrip }) {
  const { teeth, height } = zipperOf(trip);
  const joined = teeth.filter((tooth) => tooth.shape === 'joined').length;
  const label = phrase('visits.zipper-of-teeth-teeth-joined-joined-value', { teeth: teeth.length, joined, value: teeth.length - joined });
  return (
    <svg className="zipper" viewBox={`0 0 ${WIDTH} ${height}`} role="img" aria-label={label}>
      <text x={LEFT} y="12" textAnchor="end" className="zipper-head">{phrase('visits.tripped-here-2')}</text>
      <text x={RIGHT} y="12" className="zipper-head">{phrase('visits.heard-there-2')}</text>
      <line className="zipper-rail" x1={LEFT} x2={LEFT} y1="18" y2={height - 4} />
      <line className="zipper-rail" x1={RIGHT} x2={RIGHT} y1="18" y2={height - 4} />
      {teeth.map((tooth) => <g key={tooth.key} className={`tooth ${tooth.shape}`}><title>{tooth.words}</title><Line tooth={tooth} />
        {tooth.left === null ? null : <text x={LEFT - 8} y={tooth.left + 4} textAnchor="end">{short(tooth.here)}</text>}
        {tooth.right === null ? null : <text x={RIGHT + 8} y={tooth.right + 4}>{short(tooth.there)}{tooth.isTwice ? phrase('visits.twice') : ''}</text>}
      </g>)}
    </svg>
  );
}

/** The shape alone tells the verdict: whole, broken in the middle, crossed, dashed beyond its limit, or dangling from one rail. */
function Line({ tooth: { shape, left, right, isTwice } }: { tooth: Tooth }) {
  const y = left ?? right!;
  if (shape === 'dangling-left') return <path d={`M${LEFT} ${y}h34m0 -6v12m-5 -12l-6 12`} />;
  if (shape === 'waiting') return <path d={`M${LEFT} ${y}h40`} strokeDasharray="2 5" />;
  if (shape === 'dangling-right') return <path d={`M${RIGHT} ${y}h-34m0 -6v12m5 -12l6 12`} />;
  const end = right ?? y;
  const at = (x: number) => y + ((x - LEFT) / (RIGHT - LEFT)) * (end - y);
  const whole = shape === 'broken' ? `M${LEFT} ${y}L${MID - 9} ${at(MID - 9)}M${MID - 9} ${at(MID - 9) - 6}v12M${MID + 9} ${at(MID + 9) - 6}v12M${MID + 9} ${at(MID + 9)}L${RIGHT} ${end}` : `M${LEFT} ${y}L${RIGHT} ${end}`;
  const cross = shape === 'crossed' ? `M${MID - 6} ${at(MID) - 6}l12 12m0 -12l-12 12` : '';
  return <><path d={`${whole}${cross}`} {...(shape === 'late' ? { strokeDasharray: '9 4' } : {})} /><circle cx={LEFT} cy={y} r="3.500" /><circle cx={RIGHT} cy={end} r="3.500" />{isTwice ? <circle cx={RIGHT} cy={end} r="6.500" fill="none" /> : null}</>;
}

const short = (words: string): string => (words.length > 20 ? `${words.slice(0, 19)}…` : words);
