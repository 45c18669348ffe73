import type { RoundTrip, TakenEvents } from '@bellround/contracts';
import { useState } from 'react';
import { Button, Form, Select, TextArea, TextField } from '../../../shared/ui/index.js';
import { useTakeEvents } from '../api/signals.js';
import { columnsOf, FIELD_WORDS, guessMapping, MAPPED, mappingOf, type MappingDraft } from '../history-mapping.js';
import { phrase } from '../../../shared/language/index.js';
import { listWords } from '../../../shared/format.js';

const FORMS = [['iso', '2027-03-01 09:31:10'], ['dd.mm.yyyy', '01.03.2027 09:31'], ['dd/mm/yyyy', '01/03/2027 09:31'], ['mm/dd/yyyy', '03/01/2027 09:31']] as const;

/** Takes the station's history: pasted or from a file, with the columns named once and kept for that station. */
export function HistoryForm({ visitId, timeZone, stations, onDone }: { visitId: string; timeZone: string; stations: RoundTrip['stations']; onDone: () => void }) {
  const [text, setText] = useState('');
  const [mapping, setMapping] = useState<MappingDraft | null>(null);
  const [taken, setTaken] = useState<TakenEvents | null>(null);
  const take = useTakeEvents();
  const kept = stations.length === 1 ? stations[0]!.mapping : null;
  const enter = (next: string) => { setText(next); setTaken(null); setMapping(next.trim() ? guessMapping(next, timeZone, kept) : null); };
  const readFile = async (file: File | undefined) => { if (file) enter(await file.text()); };
  const columns = columnsOf(text);
  if (taken) return <Taken taken={taken} onMore={() => enter('')} onDone={onDone} />;
  return (
    <Form problem={take.error} onSubmit={() => { if (mapping) take.mutate({ visitId, csv: { text, mapping: mappingOf(mapping), keepMapping: true }, events: [] }, { onSuccess: setTaken }); }}>
      <p className="small">{phrase('visits.value-the-first-line-names-the-columns', { value: stations.length > 0 ? phrase('visits.ask-join-for-the-history-of-the', { join: listWords(stations.map((one) => one.name), 'or') }) : phrase('visits.ask-the-station-for-the-history-of') })}</p>
      <TextArea label={phrase('visits.history-pasted')} value={text} onChange={enter} rows={6} />
      <div className="row"><label className="button">{phrase('visits.choose-a-file')}<input className="unseen" type="file" accept=".csv,.txt,text/csv,text/plain" onChange={(event) => void readFile(event.target.files?.[0])} /></label></div>
      {mapping ? <fieldset className="stack"><legend>{phrase('visits.which-column-holds-what-value', { value: kept ? phrase('visits.as-kept-for-this-station') : '' })}</legend>
        {MAPPED.map((field) => <Select key={field} label={FIELD_WORDS[field]} required={field === 'account' || field === 'receivedAt'} value={mapping[field]} onChange={(column) => setMapping({ ...mapping, [field]: column })} empty={phrase('visits.not-in-the-file')} options={columns.map((name) => ({ value: name, label: name }))} />)}
        <Select label={phrase('visits.how-dates-are-written')} value={mapping.dateForm} onChange={(dateForm) => setMapping({ ...mapping, dateForm: dateForm as MappingDraft['dateForm'] })} options={FORMS.map(([value, label]) => ({ value, label }))} />
        <TextField label={phrase('visits.time-zone-of-times-without-an-offset')} value={mapping.timeZone} onChange={(zone) => setMapping({ ...mapping, timeZone: zone })} />
      </fieldset> : null}
      <Button kind="do" fill type="submit" busy={take.isPending} disabled={!mapping?.account || !mapping.receivedAt}>{phrase('visits.take-this-history')}</Button>
      <Button fill onClick={onDone}>{phrase('visits.leave-it')}</Button>
    </Form>
  );
}

function Taken({ taken, onMore, onDone }: { taken: TakenEvents; onMore: () => void; onDone: () => void }) {
  return (
    <div className="leaf stack" role="status">
      <p><strong>{phrase('visits.taken-taken', { taken: phrase('count.event', { n: taken.taken }) })}</strong>{taken.repeated > 0 ? phrase('visits.repeated-were-here-already', { repeated: taken.repeated }) : ''}{taken.elsewhere > 0 ? phrase('visits.elsewhere-of-other-accounts', { elsewhere: taken.elsewhere }) : ''}{taken.settledDelayed > 0 ? `; ${phrase('count.report-that-was-waited-for-came', { n: taken.settledDelayed })}` : ''}.</p>
      {taken.problems.length > 0 ? <details open><summary>{phrase('visits.problems-not-taken', { problems: phrase('count.row', { n: taken.problems.length }) })}</summary><ul>{taken.problems.map((one) => <li key={`${one.row} ${one.field}`}>{phrase('visits.row-row-value-value2-words', { row: one.row, value: one.field ? `, ${one.field}` : '', value2: one.value ? ` '${one.value}'` : '', words: one.words })}</li>)}</ul></details> : null}
      <div className="row"><Button onClick={onMore}>{phrase('visits.take-more')}</Button><Button kind="do" onClick={onDone}>{phrase('visits.see-what-was-heard')}</Button></div>
    </div>
  );
}
