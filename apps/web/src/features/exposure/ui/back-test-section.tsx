import type { VersionReportView } from '@bellround/contracts';
import { countWords, dayWords, numberWords } from '../../../shared/format.js';
import { Facts, Section, Table } from '../../../shared/ui/index.js';
import { classWords } from './exposure-words.js';
import './site-chain.css';

type Judged = NonNullable<VersionReportView['ours']>;
type Interval = { difference: number; low: number; high: number };
const RULES = { 'age-only': 'age alone', 'last-result-only': 'the last result alone' } as const;
const signed = (value: number, digits: number) => `${value > 0 ? '+' : value < 0 ? '−' : ''}${Math.abs(value).toFixed(digits)}`;
const between = (of: Interval, digits: number) => `${signed(of.difference, digits)} (${signed(of.low, digits)} to ${signed(of.high, digits)})`;

/** How well this version foretold an interval it had not seen, in words, as a picture and in numbers. */
export function BackTestSection({ report }: { report: VersionReportView | null }) {
  if (report === null) return null;
  if (report.ours === null) return <Section title="Did it foretell what happened?"><p>Can’t tell: {report.why}.</p></Section>;
  const { ours } = report;
  const expected = report.byClass.reduce((sum, one) => sum + one.predicted, 0);
  return (
    <Section title="Did it foretell what happened?">
      <p>The checks {report.heldBack ? `from ${dayWords(report.heldBack.from)} to ${dayWords(report.heldBack.to)}` : ''} were held back, and the same fit to what was known before foretold them: {numberWords(expected, 0)} failures expected, {numberWords(report.happened)} found in {countWords(report.cases, 'part')}.</p>
      <Calibration ours={ours} />
      <Facts of={[
        ['Ranking (area under the curve)', `${ours.areaUnderCurve.toFixed(3)}: of a part that failed and one that did not, this often the failed one had been put higher`],
        ['Nearness (Brier)', `${ours.brier.toFixed(5)}: mean squared miss, 0 is perfect`],
        ['Calibration', `slope ${ours.slope.toFixed(3)}, intercept ${ours.intercept.toFixed(3)}: 1 and 0 are perfect; a slope under 1 promises too much difference`],
        ['Against the version before', report.present === null ? null : `${report.present.version}: Brier ${between(report.present.against.brier, 5)}, ranking ${between(report.present.against.areaUnderCurve, 3)}`],
        ['Verdict', `${report.promote ? 'accepted' : 'refused'}: ${report.why}`],
      ]} />
      <Table caption="Beside simple rules" rows={report.rules} rowKey={(row) => row.rule} columns={[
        { key: 'rule', title: 'Judging by', cell: (row) => RULES[row.rule] },
        { key: 'auc', title: 'Ranking', align: 'end', cell: (row) => row.areaUnderCurve.toFixed(3) },
        { key: 'aucd', title: 'Ours ranks better by (95 %)', align: 'end', cell: (row) => between(row.ours.areaUnderCurve, 3) },
        { key: 'brier', title: 'Brier', align: 'end', cell: (row) => row.brier.toFixed(5) },
        { key: 'brierd', title: 'Ours misses less by (95 %)', align: 'end', cell: (row) => between({ difference: -row.ours.brier.difference, low: -row.ours.brier.high, high: -row.ours.brier.low }, 5) },
        { key: 'says', title: 'So', cell: (row) => (row.ours.brier.high < 0 && row.ours.areaUnderCurve.low > 0 ? 'ours is better' : row.ours.brier.low > 0 ? 'the simple rule is nearer' : 'can’t tell apart on so few') },
      ]} />
      <details>
        <summary>By kind of part and by tenths</summary>
        <Table caption="Expected and found by kind of part" rows={report.byClass} rowKey={(row) => row.class} columns={[
          { key: 'class', title: 'Kind of part', cell: (row) => classWords(row.class) },
          { key: 'cases', title: 'Parts', align: 'end', cell: (row) => numberWords(row.cases) },
          { key: 'expected', title: 'Failures expected', align: 'end', cell: (row) => numberWords(row.predicted, 1) },
          { key: 'found', title: 'Found', align: 'end', cell: (row) => numberWords(row.observed) },
        ]} />
        <Table caption="Calibration by tenths" rows={ours.calibration.map((row, at) => ({ ...row, at }))} rowKey={(row) => String(row.at)} columns={[
          { key: 'tenth', title: 'Tenth', cell: (row) => `${row.at + 1}` },
          { key: 'count', title: 'Parts', align: 'end', cell: (row) => numberWords(row.count) },
          { key: 'said', title: 'Foretold', align: 'end', cell: (row) => `${(row.predicted * 100).toFixed(1)} %` },
          { key: 'was', title: 'Found', align: 'end', cell: (row) => `${(row.observed * 100).toFixed(1)} %` },
          { key: 'range', title: '95 % interval of what was found', align: 'end', cell: (row) => `${(row.low * 100).toFixed(1)} to ${(row.high * 100).toFixed(1)} %` },
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
    <svg className="plot" style={{ maxWidth: '24rem' }} viewBox={`0 0 ${SIDE + PAD + 16} ${SIDE + 52}`} role="img" aria-label="Share of failures foretold against share found, by tenths of the parts; the table below holds the same numbers" fill="none">
      {[0, 0.5, 1].map((share) => <g key={share}><path className="faint" d={`M${PAD} ${y(most * share)}H${PAD + SIDE}`} /><text x={PAD - 6} y={y(most * share) + 4} textAnchor="end">{(most * share * 100).toFixed(0)} %</text><text x={x(most * share)} y={SIDE + 26} textAnchor="middle">{(most * share * 100).toFixed(0)} %</text></g>)}
      <path className="axis" d={`M${PAD} 10V${10 + SIDE}H${PAD + SIDE}`} />
      <path d={`M${x(0)} ${y(0)}L${x(most)} ${y(most)}`} stroke="currentColor" strokeDasharray="5 5" />
      {ours.calibration.map((row, index) => <g key={index} stroke="currentColor" strokeWidth="2"><path d={`M${x(row.predicted)} ${y(row.low)}V${y(row.high)}`} /><circle cx={x(row.predicted)} cy={y(row.observed)} r="4" fill="var(--paper)" /></g>)}
      <text x={PAD} y={SIDE + 46}>across: foretold; up: found, with its 95 % interval</text>
    </svg>
  );
}
