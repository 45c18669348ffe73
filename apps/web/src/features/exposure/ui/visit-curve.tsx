import type { SiteExposureView } from '@bellround/contracts';
import { daysFrom, dayShort, dayWords, numberWords } from '../../../shared/format.js';
import { Table } from '../../../shared/ui/index.js';
import { hoursWords } from './exposure-words.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

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
      <h3>{phrase('exposure.by-the-day-of-the-visit')}</h3>
      <p>{phrase('exposure.a-visit-today-leaves-totaltohorizonh-to-horizonon', { totalToHorizonH: hoursWords(first.totalToHorizonH), horizonOn: dayWords(shown.horizonOn), on: dayWords(last.on), totalToHorizonH2: hoursWords(last.totalToHorizonH), on2: dayWords(best.on), totalToHorizonH3: hoursWords(best.totalToHorizonH) })}</p>
      <svg className="plot" viewBox={`0 0 ${WIDE} ${HIGH}`} role="img" aria-label={phrase('exposure.hours-without-protection-by-the-day-of', { on: dayWords(first.on), on2: dayWords(last.on) })} fill="none">
        {[0, 0.5, 1].map((share) => <g key={share}><path className="faint" d={`M${LEFT} ${y(most * share)}H${WIDE - 12}`} /><text x={LEFT - 6} y={y(most * share) + 4} textAnchor="end">{numberWords(most * share, most < 10 ? 1 : 0)} h</text></g>)}
        <path className="axis" d={`M${LEFT} 12V${HIGH - FOOT}H${WIDE - 12}`} />
        {[first.on, last.on].map((on, at) => <text key={on} x={x(on)} y={HIGH - FOOT + 16} textAnchor={at === 0 ? 'start' : 'end'}>{dayShort(on)}</text>)}
        {pegs.map((proof) => <path key={proof.on} d={`M${x(proof.on)} ${HIGH - FOOT}v-12`} stroke="var(--bronze)" strokeWidth="4"><title>{`${dayShort(proof.on)}: ${said(proof.why)}`}</title></path>)}
        <path d={line('totalToHorizonH')} stroke="currentColor" strokeWidth="2" strokeDasharray="6 4" />
        <path d={line('exposureH')} stroke="currentColor" strokeWidth="3" />
        <text x={LEFT + 4} y={HIGH - 6}>{phrase('exposure.solid-hours-until-the-visit-dashed-all', { horizonOn: dayShort(shown.horizonOn) })}</text>
      </svg>
      {shown.proofs.length > 0 ? <Table caption={phrase('exposure.hours-without-protection-until-each-planned-proof')} rows={shown.proofs} rowKey={(row) => row.on} columns={[
        { key: 'on', title: phrase('exposure.planned-proof'), cell: (row) => dayWords(row.on) },
        { key: 'why', title: phrase('exposure.what-it-is'), cell: (row) => said(row.why) },
        { key: 'hours', title: phrase('exposure.hours-until-then-if-nothing-else-is'), align: 'end', cell: (row) => hoursWords(row.exposureH) },
      ]} /> : <p className="note">{phrase('exposure.no-proof-is-planned-or-due-ahead')}</p>}
      <details>
        <summary>{phrase('exposure.the-curve-in-numbers')}</summary>
        <Table caption={phrase('exposure.exposure-by-the-day-of-the-visit')} rows={curve} rowKey={(row) => row.on} columns={[
          { key: 'on', title: phrase('exposure.visit-on'), cell: (row) => dayWords(row.on) },
          { key: 'until', title: phrase('exposure.hours-until-then'), align: 'end', cell: (row) => hoursWords(row.exposureH) },
          { key: 'all', title: phrase('exposure.all-hours-to-horizonon', { horizonOn: dayShort(shown.horizonOn) }), align: 'end', cell: (row) => hoursWords(row.totalToHorizonH) },
        ]} />
      </details>
    </div>
  );
}
