import type { RoundTrip, TakenEvents } from '@bellround/contracts';
import { useState } from 'react';
import { countWords } from '../../../shared/format.js';
import { Button, Form, Select, TextArea, TextField } from '../../../shared/ui/index.js';
import { useTakeEvents } from '../api/signals.js';
import { columnsOf, FIELD_WORDS, guessMapping, MAPPED, mappingOf, type MappingDraft } from '../history-mapping.js';

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
      <p className="small">{stations.length > 0 ? `Ask ${stations.map((one) => one.name).join(' or ')} for the history of the account in the time of the visit.` : 'Ask the station for the history of the account.'} The first line names the columns. We only read what the station heard; nothing is dispatched from here.</p>
      <TextArea label="History, pasted" value={text} onChange={enter} rows={6} />
      <div className="row"><label className="button">Choose a file<input className="unseen" type="file" accept=".csv,.txt,text/csv,text/plain" onChange={(event) => void readFile(event.target.files?.[0])} /></label></div>
      {mapping ? <fieldset className="stack"><legend>Which column holds what{kept ? ' (as kept for this station)' : ''}</legend>
        {MAPPED.map((field) => <Select key={field} label={FIELD_WORDS[field]} required={field === 'account' || field === 'receivedAt'} value={mapping[field]} onChange={(column) => setMapping({ ...mapping, [field]: column })} empty="not in the file" options={columns.map((name) => ({ value: name, label: name }))} />)}
        <Select label="How dates are written" value={mapping.dateForm} onChange={(dateForm) => setMapping({ ...mapping, dateForm: dateForm as MappingDraft['dateForm'] })} options={FORMS.map(([value, label]) => ({ value, label }))} />
        <TextField label="Time zone of times without an offset" value={mapping.timeZone} onChange={(zone) => setMapping({ ...mapping, timeZone: zone })} />
      </fieldset> : null}
      <Button kind="do" fill type="submit" busy={take.isPending} disabled={!mapping?.account || !mapping.receivedAt}>Take this history</Button>
      <Button fill onClick={onDone}>Leave it</Button>
    </Form>
  );
}

function Taken({ taken, onMore, onDone }: { taken: TakenEvents; onMore: () => void; onDone: () => void }) {
  return (
    <div className="leaf stack" role="status">
      <p><strong>{countWords(taken.taken, 'event')} taken</strong>{taken.repeated > 0 ? `, ${taken.repeated} were here already` : ''}{taken.elsewhere > 0 ? `, ${taken.elsewhere} of other accounts` : ''}{taken.settledDelayed > 0 ? `; ${countWords(taken.settledDelayed, 'report that was waited for came', 'reports that were waited for came')}` : ''}.</p>
      {taken.problems.length > 0 ? <details open><summary>{countWords(taken.problems.length, 'row')} not taken</summary><ul>{taken.problems.map((one) => <li key={`${one.row} ${one.field}`}>Row {one.row}{one.field ? `, ${one.field}` : ''}{one.value ? ` '${one.value}'` : ''}: {one.words}</li>)}</ul></details> : null}
      <div className="row"><Button onClick={onMore}>Take more</Button><Button kind="do" onClick={onDone}>See what was heard</Button></div>
    </div>
  );
}
