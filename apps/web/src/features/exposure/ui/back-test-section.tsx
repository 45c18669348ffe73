import type { VersionReportView } from '@bellround/contracts';
import { dayWords, numberWords } from '../../../shared/format.js';
import { Facts, Section, Table } from '../../../shared/ui/index.js';
import { classWords } from './exposure-words.js';
import './site-chain.css';
import { phrase } from '../../../shared/language/index.js';
import { fixedWords } from '../../../shared/numbers.js';
import { said } from '../../../shared/language/said.js';

type Judged = NonNullable<VersionReportView['ours']>;
type Interval = { difference: number; low: number; high: number };
const RULES = { 'age-only': phrase('exposure.age-alone'), 'last-result-only': phrase('exposure.the-last-result-alone') } as const;
const signed = (value: number, digits: number) => `${value > 0 ? '+' : value < 0 ? '−' : ''}${fixedWords(Math.abs(value), digits)}`;
const between = (of: Interval, digits: number) => phrase('exposure.signed-signed2-to-signed3', { signed: signed(of.difference, digits), signed2: signed(of.low, digits), signed3: signed(of.high, digits) });

/** How well this version foretold an interval it had not seen, in words, as a picture and in numbers. */
export function BackTestSection({ report }: { report: VersionReportView | null }) {
  if (report === null) return null;
  if (report.ours === null) return <Section title={phrase('exposure.did-it-foretell-what-happened')}><p>{phrase('exposure.cant-tell-why', { why: said(report.why) })}</p></Section>;
  const { ours } = report;
  const expected = report.byClass.reduce((sum, one) => sum + one.predicted, 0);
  return (
    <Section title={phrase('exposure.did-it-foretell-what-happened')}>
      <p>{phrase('exposure.the-checks-value-were-held-back-and', { value: report.heldBack ? phrase('exposure.from-from-to-to', { from: dayWords(report.heldBack.from), to: dayWords(report.heldBack.to) }) : '', expected: numberWords(expected, 0), happened: numberWords(report.happened), cases: phrase('count.part', { n: report.cases }) })}</p>
      <Calibration ours={ours} />
      <Facts of={[
        [phrase('exposure.ranking-area-under-the-curve'), phrase('exposure.tofixed-of-a-part-that-failed-and', { toFixed: fixedWords(ours.areaUnderCurve, 3) })],
        [phrase('exposure.nearness-brier'), phrase('exposure.tofixed-mean-squared-miss-0-is-perfect', { toFixed: fixedWords(ours.brier, 5) })],
        [phrase('exposure.calibration'), phrase('exposure.slope-tofixed-intercept-tofixed2-1-and-0', { toFixed: fixedWords(ours.slope, 3), toFixed2: fixedWords(ours.intercept, 3) })],
        [phrase('exposure.against-the-version-before'), report.present === null ? null : phrase('exposure.version-brier-between-ranking-between2', { version: said(report.present.version), between: between(report.present.against.brier, 5), between2: between(report.present.against.areaUnderCurve, 3) })],
        [phrase('exposure.verdict'), `${report.promote ? phrase('exposure.accepted') : phrase('exposure.refused')}: ${said(report.why)}`],
      ]} />
      <Table caption={phrase('exposure.beside-simple-rules')} rows={report.rules} rowKey={(row) => row.rule} columns={[
        { key: 'rule', title: phrase('exposure.judging-by'), cell: (row) => RULES[row.rule] },
        { key: 'auc', title: phrase('exposure.ranking'), align: 'end', cell: (row) => fixedWords(row.areaUnderCurve, 3) },
        { key: 'aucd', title: phrase('exposure.ours-ranks-better-by-95'), align: 'end', cell: (row) => between(row.ours.areaUnderCurve, 3) },
        { key: 'brier', title: phrase('exposure.brier'), align: 'end', cell: (row) => fixedWords(row.brier, 5) },
        { key: 'brierd', title: phrase('exposure.ours-misses-less-by-95'), align: 'end', cell: (row) => between({ difference: -row.ours.brier.difference, low: -row.ours.brier.high, high: -row.ours.brier.low }, 5) },
        { key: 'says', title: phrase('exposure.so'), cell: (row) => (row.ours.brier.high < 0 && row.ours.areaUnderCurve.low > 0 ? phrase('exposure.ours-is-better') : row.ours.brier.low > 0 ? phrase('exposure.the-simple-rule-is-nearer') : phrase('exposure.cant-tell-apart-on-so-few')) },
      ]} />
      <details>
        <summary>{phrase('exposure.by-kind-of-part-and-by-tenths')}</summary>
        <Table caption={phrase('exposure.expected-and-found-by-kind-of-part')} rows={report.byClass} rowKey={(row) => row.class} columns={[
          { key: 'class', title: phrase('exposure.kind-of-part'), cell: (row) => classWords(row.class) },
          { key: 'cases', title: phrase('exposure.parts'), align: 'end', cell: (row) => numberWords(row.cases) },
          { key: 'expected', title: phrase('exposure.failures-expected'), align: 'end', cell: (row) => numberWords(row.predicted, 1) },
          { key: 'found', title: phrase('exposure.found'), align: 'end', cell: (row) => numberWords(row.observed) },
        ]} />
        <Table caption={phrase('exposure.calibration-by-tenths')} rows={ours.calibration.map((row, at) => ({ ...row, at }))} rowKey={(row) => String(row.at)} columns={[
          { key: 'tenth', title: phrase('exposure.tenth'), cell: (row) => `${row.at + 1}` },
          { key: 'count', title: phrase('exposure.parts'), align: 'end', cell: (row) => numberWords(row.count) },
          { key: 'said', title: phrase('exposure.foretold'), align: 'end', cell: (row) => `${fixedWords(row.predicted * 100, 1)} %` },
          { key: 'was', title: phrase('exposure.found'), align: 'end', cell: (row) => `${fixedWords(row.observed * 100, 1)} %` },
          { key: 'range', title: phrase('exposure.95-interval-of-what-was-found'), align: 'end', cell: (row) => phrase('exposure.tofixed-to-tofixed2', { toFixed: fixedWords(row.low * 100, 1), toFixed2: fixedWords(row.high * 100, 1) }) },
        ]} />
      </details>
    </Section>
  );
}

const SIDE = 260;
const PAD = 44;

/** Foretold against found, by tenths: on the line is right, above it too little was foretold. */
function Calibration({ ours }: { ours: Judged }) {
  const most = Math.min(1, Math.max(0.02, ...ours.calibration.map((row) => Math.max(row.predicted, row.high))) * 1.05);
  const at = (value: number) => (value / most) * SIDE;
  const x = (value: number) => PAD + at(value);
  const y = (value: number) => 10 + SIDE - at(value);
  return (
    <figure>
      <svg className="plot" style={{ maxWidth: '24rem' }} viewBox={`0 0 ${SIDE + PAD + 16} ${SIDE + 34}`} role="img" aria-label={phrase('exposure.share-of-failures-foretold-against-share-found')} fill="none">
        {[0, 0.5, 1].map((share) => <g key={share}><path className="faint" d={`M${PAD} ${y(most * share)}H${PAD + SIDE}`} /><text x={PAD - 6} y={y(most * share) + 4} textAnchor="end">{(most * share * 100).toFixed(0)} %</text><text x={x(most * share)} y={SIDE + 26} textAnchor="middle">{(most * share * 100).toFixed(0)} %</text></g>)}
        <path className="axis" d={`M${PAD} 10V${10 + SIDE}H${PAD + SIDE}`} />
        <path d={`M${x(0)} ${y(0)}L${x(most)} ${y(most)}`} stroke="currentColor" strokeDasharray="5 5" />
        {ours.calibration.map((row, index) => <g key={index} stroke="currentColor" strokeWidth="2"><path d={`M${x(row.predicted)} ${y(row.low)}V${y(row.high)}`} /><circle cx={x(row.predicted)} cy={y(row.observed)} r="4" fill="var(--paper)" /></g>)}
      </svg>
      <figcaption className="small quiet">{phrase('exposure.across-foretold-up-found-with-its-95')}</figcaption>
    </figure>
  );
}
