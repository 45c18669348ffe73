import type { SiteExposureView } from '@bellround/contracts';
import { daysFrom, dayShort, dayWords, numberWords } from '../../../shared/format.js';
import { Table } from '../../../shared/ui/index.js';
import { hoursWords } from './exposure-words.js';

const WIDE = 640;
const HIGH = 240;
const LEFT = 64;
const FOOT = 40;

/** Exposure by the day of the visit: hours until then, and all hours up to the horizon when the visit is then. */
export function VisitCurve({ shown }: { shown: SiteExposureView }) {
  const { curve } = shown;
  const [first, last] = [curve[0], curve.at(-1)];
  if (!first || !last || first.on === last.on) return null;
  const span = daysFrom(first.on, last.on);
  const most = Math.max(...curve.map((point) => Math.max(point.exposureH, point.totalToHorizonH))) || 1;
  const x = (on: string) => LEFT + ((WIDE - LEFT - 12) * daysFrom(first.on, on)) / span;
  const y = (hours: number) => 12 + (HIGH - FOOT - 12) * (1 - hours / most);
  const line = (of: 'exposureH' | 'totalToHorizonH') => curve.map((point, at) => `${at === 0 ? 'M' : 'L'}${x(point.on).toFixed(1)} ${y(point[of]).toFixed(1)}`).join('');
  const best = curve.reduce((least, point) => (point.totalToHorizonH < least.totalToHorizonH ? point : least));
  const pegs = shown.proofs.filter((proof) => daysFrom(first.on, proof.on) <= span);
  return (
    <div className="stack">
      <h3>By the day of the visit</h3>
      <p>A visit today leaves {hoursWords(first.totalToHorizonH)} to {dayWords(shown.horizonOn)}, one on {dayWords(last.on)} leaves {hoursWords(last.totalToHorizonH)}. Least is left by a visit on {dayWords(best.on)}: {hoursWords(best.totalToHorizonH)}.</p>
      <svg className="plot" viewBox={`0 0 ${WIDE} ${HIGH}`} role="img" aria-label={`Hours without protection by the day of the visit, from ${dayWords(first.on)} to ${dayWords(last.on)}; the table below holds the same numbers`} fill="none">
        {[0, 0.5, 1].map((share) => <g key={share}><path className="faint" d={`M${LEFT} ${y(most * share)}H${WIDE - 12}`} /><text x={LEFT - 6} y={y(most * share) + 4} textAnchor="end">{numberWords(most * share, most < 10 ? 1 : 0)} h</text></g>)}
        <path className="axis" d={`M${LEFT} 12V${HIGH - FOOT}H${WIDE - 12}`} />
        {[first.on, last.on].map((on, at) => <text key={on} x={x(on)} y={HIGH - FOOT + 16} textAnchor={at === 0 ? 'start' : 'end'}>{dayShort(on)}</text>)}
        {pegs.map((proof) => <path key={proof.on} d={`M${x(proof.on)} ${HIGH - FOOT}v-12`} stroke="var(--bronze)" strokeWidth="4"><title>{`${dayShort(proof.on)}: ${proof.why}`}</title></path>)}
        <path d={line('totalToHorizonH')} stroke="currentColor" strokeWidth="2" strokeDasharray="6 4" />
        <path d={line('exposureH')} stroke="currentColor" strokeWidth="3" />
        <text x={LEFT + 4} y={HIGH - 6}>solid: hours until the visit; dashed: all hours to {dayShort(shown.horizonOn)}; pegs: planned proofs</text>
      </svg>
      {shown.proofs.length > 0 ? <Table caption="Hours without protection until each planned proof" rows={shown.proofs} rowKey={(row) => row.on} columns={[
        { key: 'on', title: 'Planned proof', cell: (row) => dayWords(row.on) },
        { key: 'why', title: 'What it is', cell: (row) => row.why },
        { key: 'hours', title: 'Hours until then, if nothing else is proven before', align: 'end', cell: (row) => hoursWords(row.exposureH) },
      ]} /> : <p className="note">No proof is planned or due ahead.</p>}
      <details>
        <summary>The curve in numbers</summary>
        <Table caption="Exposure by the day of the visit" rows={curve} rowKey={(row) => row.on} columns={[
          { key: 'on', title: 'Visit on', cell: (row) => dayWords(row.on) },
          { key: 'until', title: 'Hours until then', align: 'end', cell: (row) => hoursWords(row.exposureH) },
          { key: 'all', title: `All hours to ${dayShort(shown.horizonOn)}`, align: 'end', cell: (row) => hoursWords(row.totalToHorizonH) },
        ]} />
      </details>
    </div>
  );
}
