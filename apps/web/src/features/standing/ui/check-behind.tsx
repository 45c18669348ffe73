import { dayWords, momentWords, numberWords } from '../../../shared/format.js';
import { readingWords } from '../../../shared/locale.js';
import { Facts, Loaded, Table, VerdictMark } from '../../../shared/ui/index.js';
import { useCheckBehind } from '../api/standing.js';
import { phrase } from '../../../shared/language/index.js';
import { VERDICT, wordOf } from '../../../shared/words.js';
import { said } from '../../../shared/language/said.js';

/** One check in full: what was read, how it was judged and by which limit, who, when, and what it proves. */
export function CheckBehind({ checkId, zone }: { checkId: string; zone: string }) {
  const check = useCheckBehind(checkId);
  return (
    <Loaded query={check} what={phrase('standing.the-check')}>{(shown) => (
      <div className="stack leaf">
        <h3>{said(shown.title)}: {shown.subject}</h3>
        <VerdictMark verdict={shown.verdict} />
        <p>{said(shown.reason ?? '')}</p>
        <Facts of={[
          [phrase('standing.done'), `${dayWords(shown.performedOn)}, ${momentWords(shown.performedAt, zone)}`], [phrase('standing.by'), shown.by ?? shown.recordedBy], [phrase('standing.entered'), momentWords(shown.recordedAt, zone)],
          [phrase('standing.margin-to-the-limit'), shown.margin ? `${numberWords(shown.margin.value)} ${shown.margin.unit}` : phrase('standing.none-computed')], [phrase('standing.limit-from'), said(shown.limitSource ?? '')], [phrase('standing.evidence'), phrase('standing.grade-evidence-source', { evidence: shown.evidence, source: shown.source })],
          ...(shown.computedVerdict && shown.computedVerdict !== shown.verdict ? [[phrase('standing.computed'), `${wordOf(VERDICT, shown.computedVerdict)}; ${shown.overruleReason ?? shown.excuseCode ?? ''}`] as const] : []),
          ...(shown.notes ? [[phrase('standing.notes'), shown.notes] as const] : []),
        ]} />
        {shown.readings.length > 0 ? <Table caption={phrase('standing.readings')} rows={shown.readings} rowKey={(reading) => reading.key} columns={[
          { key: 'what', title: phrase('standing.reading'), cell: (reading) => said(reading.label) }, { key: 'value', title: phrase('standing.value'), align: 'end', cell: (reading) => readingWords(reading.value, reading.unit) },
          { key: 'meter', title: phrase('standing.instrument'), cell: (reading) => <>{reading.instrument ?? ''}{reading.reliable === false ? phrase('standing.calibration-ended-not-to-be-relied-on') : ''}</> },
        ]} /> : null}
        {shown.corrections.length > 0 ? <p className="note">{phrase('standing.corrected-by-a-later-check-join-both', { join: shown.corrections.map((one) => `${wordOf(VERDICT, one.verdict)}, ${momentWords(one.recordedAt, zone)}`).join('; ') })}</p> : null}
        {shown.credits.length > 0 ? <p>{phrase('standing.counts-for-join', { join: shown.credits.map((credit) => `${said(credit.title)} (${credit.regime})`).join('; ') })}</p> : <p className="quiet">{phrase('standing.meets-no-duty')}</p>}
      </div>
    )}</Loaded>
  );
}
