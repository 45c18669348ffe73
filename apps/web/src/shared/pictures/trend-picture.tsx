import { dayShort } from '../format.js';
import { phrase } from '../language/index.js';
import { readingWords } from '../locale.js';
import { drawTrend, type DrawnTrend, TREND_HEIGHT, TREND_WIDTH } from './trend-geometry.js';
import './pictures.css';

/**
 * One reading over visits: pegs are what was read, the line its slope with the interval as a wedge ahead, the broken line its limit,
 * the upright mark the day it meets it, with the days between which that may be. `words` say the same.
 */
export function TrendPicture({ trend, label, unit, words }: { trend: DrawnTrend; label: string; unit: string; words: string }) {
  const drawn = drawTrend(trend);
  const { line, cross } = drawn;
  const read = trend.values.map((one) => `${dayShort(one.on)} ${readingWords(String(one.value), unit)}`).join(', ');
  const limit = trend.edges.map((edge) => readingWords(String(edge), unit)).join(', ');
  return (
    <svg className="trend" viewBox={`0 0 ${TREND_WIDTH} ${TREND_HEIGHT}`} role="img" aria-label={phrase('pictures.trend-read-limit-words', { label, read, limit: limit || phrase('pictures.none'), words })}>
      <polygon className="trend-wedge" points={drawn.wedge} />
      {drawn.edges.map((y) => <path key={y} d={`M0 ${y}H${TREND_WIDTH}`} className="trend-limit" />)}
      <path d={`M${line.x1} ${line.y1}L${line.x2} ${line.y2}`} className="trend-line" />
      <path d={`M${line.x2} ${line.y2}L${line.x3} ${line.y3}`} className="trend-line ahead" />
      {cross === null ? null : <path d={`M${cross.x} ${cross.y - 9}V${cross.y + 9}M${cross.from} ${cross.y - 4}V${cross.y + 4}M${cross.from} ${cross.y}H${cross.to}M${cross.to} ${cross.y - 4}V${cross.y + 4}`} className="trend-cross" />}
      {drawn.pegs.map((peg, i) => <circle key={trend.values[i]!.on} cx={peg.x} cy={peg.y} r="4"><title>{dayShort(trend.values[i]!.on)}: {readingWords(String(trend.values[i]!.value), unit)}</title></circle>)}
    </svg>
  );
}
