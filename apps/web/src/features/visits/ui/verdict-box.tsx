import { limitSides, type CheckDefinition, type Judgement, type Readings, type ReadingTrend } from '@bellround/acceptance';
import type { VisitView } from '@bellround/contracts';
import { dayWords, numberWords } from '../../../shared/format.js';
import type { DrawnTrend } from '../../../shared/pictures/trend-geometry.js';
import { TrendPicture } from '../../../shared/pictures/trend-picture.js';
import { VerdictMark } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';
import { VERDICT } from '../../../shared/words.js';
import { said } from '../../../shared/language/said.js';

type LastValue = VisitView['lastValues'][number];

/** The verdict at once, with its reason, margin and the limit's source; the last visit's value of a reading only after its new one. */
export function VerdictBox({ judged, verdict, last, definition, readings, trends }: { judged: Judgement; verdict: string; last: LastValue | null; definition: CheckDefinition; readings: Readings; trends: readonly ReadingTrend[] }) {
  const entered = (key: string) => (readings[key] ?? null) !== null && readings[key] !== '';
  const shown = last ? definition.readings.filter((reading) => entered(reading.key) && (last.readings[reading.key] ?? null) !== null) : [];
  const isDoubtful = !judged.reliable && judged.verdict !== 'fail';
  return (
    <div className="note" role="status">
      <VerdictMark verdict={isDoubtful ? 'not-done' : verdict} {...(isDoubtful ? { word: phrase('visits.stored-not-proven') } : {})} /><p>{said(judged.reason)}</p>
      {judged.margin ? <p className="small">{phrase('visits.margin-value-unit-value2', { value: numberWords(judged.margin.value), unit: judged.margin.unit, value2: judged.limitSource ? phrase('visits.limit-limitsource', { limitSource: said(judged.limitSource) }) : '' })}</p> : null}
      {judged.notes.map((one) => <p key={one} className="small">{said(one)}</p>)}
      {judged.findings.map((one) => <p key={one.code} className="small">{said(one.words)}</p>)}
      {trends.filter((one) => entered(one.reading) && !judged.notes.includes(one.words) && !judged.findings.some((finding) => finding.words === one.words)).map((one) => <div key={one.reading} className="small"><p>{said(one.words)}</p><TrendPicture trend={drawnOf(one)} label={said(one.label)} unit={one.unit} words={said(one.words)} /></div>)}
      {last && shown.length > 0 ? <p className="small quiet">{phrase('visits.last-time-performedon-verdict-join', { performedOn: dayWords(last.performedOn), verdict: VERDICT[last.verdict], join: shown.map((reading) => `${said(reading.label)} ${valueWords(last.readings[reading.key])}${reading.unit ? ` ${reading.unit}` : ''}`).join(', ') })}</p> : null}
    </div>
  );
}

const drawnOf = ({ values, limit, trend, crosses }: ReadingTrend): DrawnTrend => ({
  values, edges: limit === null ? [] : limitSides(limit).map((side) => side.value), atLast: trend.atLast, slopePerYear: trend.slopePerYear, slopeLowPerYear: trend.slopeLowPerYear, slopeHighPerYear: trend.slopeHighPerYear,
  crosses: crosses ? { on: trend.crossesOn!, earliest: trend.crossesEarliest!, latest: trend.crossesLatest } : null,
});

const valueWords = (value: unknown): string => (value === true ? phrase('app.yes') : value === false ? phrase('app.no') : String(value));
