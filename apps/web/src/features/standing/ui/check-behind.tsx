import { dayWords, momentWords, numberWords } from '../../../shared/format.js';
import { readingWords } from '../../../shared/locale.js';
import { Facts, Loaded, Table, VerdictMark } from '../../../shared/ui/index.js';
import { useCheckBehind } from '../api/standing.js';

/** One check in full: what was read, how it was judged and by which limit, who, when, and what it proves. */
export function CheckBehind({ checkId, zone }: { checkId: string; zone: string }) {
  const check = useCheckBehind(checkId);
  return (
    <Loaded query={check} what="the check">{(shown) => (
      <div className="stack leaf">
        <h3>{shown.title}: {shown.subject}</h3>
        <VerdictMark verdict={shown.verdict} />
        <p>{shown.reason}</p>
        <Facts of={[
          ['Done', `${dayWords(shown.performedOn)}, ${momentWords(shown.performedAt, zone)}`], ['By', shown.by ?? shown.recordedBy], ['Entered', momentWords(shown.recordedAt, zone)],
          ['Margin to the limit', shown.margin ? `${numberWords(shown.margin.value)} ${shown.margin.unit}` : 'none computed'], ['Limit from', shown.limitSource], ['Evidence', `grade ${shown.evidence}, ${shown.source}`],
          ...(shown.computedVerdict && shown.computedVerdict !== shown.verdict ? [['Computed', `${shown.computedVerdict}; ${shown.overruleReason ?? shown.excuseCode ?? ''}`] as const] : []),
          ...(shown.notes ? [['Notes', shown.notes] as const] : []),
        ]} />
        {shown.readings.length > 0 ? <Table caption="Readings" rows={shown.readings} rowKey={(reading) => reading.key} columns={[
          { key: 'what', title: 'Reading', cell: (reading) => reading.label }, { key: 'value', title: 'Value', align: 'end', cell: (reading) => readingWords(reading.value, reading.unit) },
          { key: 'meter', title: 'Instrument', cell: (reading) => <>{reading.instrument ?? ''}{reading.reliable === false ? ' (calibration ended: not to be relied on)' : ''}</> },
        ]} /> : null}
        {shown.corrections.length > 0 ? <p className="note">Corrected by a later check: {shown.corrections.map((one) => `${one.verdict}, ${momentWords(one.recordedAt, zone)}`).join('; ')}. Both stay visible.</p> : null}
        {shown.credits.length > 0 ? <p>Counts for: {shown.credits.map((credit) => `${credit.title} (${credit.regime})`).join('; ')}</p> : <p className="quiet">Meets no duty.</p>}
      </div>
    )}</Loaded>
  );
}
