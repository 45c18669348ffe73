import type { ReadingTrend } from '@bellround/acceptance';
import { dayShort, daysFrom, numberWords } from '../../../shared/format.js';
import { phrase } from '../../../shared/language/index.js';

const [WIDTH, HEIGHT, PAD] = [300, 64, 8];

/** Values of one reading over visits as pegs on a shore; the limit, where it is a number, as the water's edge. */
export function TrendLine({ trend }: { trend: ReadingTrend }) {
  const { values, limit } = trend;
  const [first, last] = [values[0]!, values.at(-1)!];
  const span = Math.max(1, daysFrom(first.on, last.on));
  const edge = typeof limit?.value === 'number' ? limit.value : null;
  const numbers = [...values.map((one) => one.value), ...(edge === null ? [] : [edge])];
  const [low, high] = [Math.min(...numbers), Math.max(...numbers)];
  const x = (on: string) => PAD + (daysFrom(first.on, on) / span) * (WIDTH - 2 * PAD);
  const y = (value: number) => HEIGHT - PAD - (high === low ? 0.5 : (value - low) / (high - low)) * (HEIGHT - 2 * PAD);
  const unit = trend.unit ? ` ${trend.unit}` : '';
  return (
    <svg className="trend" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={`${trend.label}: ${values.map((one) => `${dayShort(one.on)} ${numberWords(one.value)}${unit}`).join(', ')}${edge === null ? '' : phrase('visits.limit-edge-unit', { edge: numberWords(edge), unit })}`}>
      {edge === null ? null : <path d={`M0 ${y(edge)}H${WIDTH}`} className="trend-limit" />}
      <polyline points={values.map((one) => `${x(one.on)},${y(one.value)}`).join(' ')} />
      {values.map((one) => <circle key={one.on} cx={x(one.on)} cy={y(one.value)} r="4"><title>{dayShort(one.on)}: {numberWords(one.value)}{unit}</title></circle>)}
    </svg>
  );
}
