import { IMPORT_KIND_NAMES, type ImportKind, type ImportRunDetail, LIST_KINDS, importKind, routes } from '@bellround/contracts';
import { useRef, useState } from 'react';
import { useSearchParams } from 'react-router';
import { download, isProblem } from '../../../shared/client.js';
import { numberWords, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, DateField, Field, FaultsOf, Page, ProblemBox, Progress, Section, Select, TextField, useToast } from '../../../shared/ui/index.js';
import { useUpload } from '../api/imports.js';
import { useLists } from '../api/lists.js';
import { ColumnsOf } from './columns-of.js';
import { ImportHistory } from './import-history.js';
import { ImportPreview } from './import-preview.js';
import { SampleButton } from './begin-screen.js';
import { NextFile } from './next-file.js';
import { phrase } from '../../../shared/language/index.js';

interface Draft { kind: ImportKind; file: File | null; station: string; listedOn: string }
interface Previewed { input: { kind: ImportKind; runId: string; fileName: string; station?: string; listedOn?: string }; file: File; run: ImportRunDetail }

/** Choose, preview, then keep or drop. Nothing reaches the fleet before the person has said so. */
export function ImportScreen() {
  const mayPlan = useMay('plan');
  return (
    <Page title={phrase('fleet.import')} lead={phrase('fleet.bring-your-clients-sites-systems-people-and')}>
      {mayPlan ? <NewImport /> : <p className="note">{phrase('fleet.owners-and-dispatchers-import-files-you-see')}</p>}
      <ImportHistory />
    </Page>
  );
}

function NewImport() {
  const today = todayIn(useMe().company.timeZone);
  const say = useToast();
  const [params] = useSearchParams();
  const asked = IMPORT_KIND_NAMES.find((kind) => kind === params.get('kind'));
  const [draft, setDraft] = useState<Draft>({ kind: asked ?? 'clients', file: null, station: '', listedOn: today });
  const [keptKind, setKeptKind] = useState<ImportKind | null>(null);
  const [previewed, setPreviewed] = useState<Previewed | null>(null);
  const [share, setShare] = useState(0);
  const picker = useRef<HTMLInputElement>(null);
  const send = useUpload(setShare);
  const set = (changes: Partial<Draft>) => { setDraft({ ...draft, ...changes }); setPreviewed(null); setKeptKind(null); send.reset(); };

  const preview = (file: File) => {
    const parts = LIST_KINDS.includes(draft.kind) ? { listedOn: draft.listedOn, ...(draft.kind === 'station-list' ? { station: draft.station.trim() } : {}) } : {};
    const input = { kind: draft.kind, runId: newId(), fileName: file.name, ...parts };
    setShare(0);
    send.mutate({ input: { ...input, mode: 'preview' }, file }, { onSuccess: (run) => setPreviewed({ input, file, run }) });
  };
  const keep = ({ input, file }: Previewed) => {
    setShare(0);
    send.mutate({ input: { ...input, mode: 'keep' }, file }, { onSuccess: (run) => {
      say(phrase('fleet.title-rowsnew-new-rowschanged-changed-rowssame-as', { title: importKind(run.kind).title, rowsNew: numberWords(run.rowsNew), rowsChanged: numberWords(run.rowsChanged), rowsSame: numberWords(run.rowsSame) }));
      setKeptKind(draft.kind);
      clear();
    }, onError: (error) => { if (isProblem(error, 'Stale', 'WrongState', 'IdReused')) setPreviewed(null); } });
  };
  const clear = () => {
    setPreviewed(null);
    setDraft({ ...draft, file: null });
    if (picker.current) picker.current.value = '';
  };

  return (
    <Section title={phrase('fleet.a-new-file')} actions={<><SampleButton kind={draft.kind} /><Button size="small" kind="bare" onClick={() => { download(routes.importSample, { kind: draft.kind }, `sample-${draft.kind}.csv`).catch((error: Error) => say(error.message)); }}>{phrase('fleet.download-a-sample-of-tolowercase', { toLowerCase: importKind(draft.kind).title.toLowerCase() })}</Button></>}>
      {keptKind ? <NextFile after={keptKind} onGo={(kind) => set({ kind })} /> : null}
      <FaultsOf problem={send.error}>
        <div className="grid">
          <Select label={phrase('fleet.what-the-file-holds')} name="kind" required value={draft.kind} onChange={(kind) => set({ kind: kind as ImportKind })} options={IMPORT_KIND_NAMES.map((kind, at) => ({ value: kind, label: `${at + 1}. ${importKind(kind).title}` }))}
            help={phrase('fleet.means-import-in-the-order-of-this', { means: importKind(draft.kind).means })} />
          {draft.kind === 'station-list' ? <StationField value={draft.station} onChange={(station) => set({ station })} /> : null}
          {LIST_KINDS.includes(draft.kind) ? <DateField label={phrase('fleet.day-for-which-the-list-speaks')} name="listedOn" required value={draft.listedOn} max={today} onChange={(listedOn) => set({ listedOn })} /> : null}
          <Field label={phrase('fleet.csv-file')} required help={phrase('fleet.utf-8-one-header-line-columns-may')}>{(wiring) => (
            <input {...wiring} ref={picker} type="file" accept=".csv,text/csv" onChange={(event) => set({ file: event.target.files?.[0] ?? null })} />
          )}</Field>
        </div>
      </FaultsOf>
      <ColumnsOf kind={draft.kind} />
      {send.error ? <ProblemBox problem={send.error} /> : null}
      {send.isPending ? <Progress share={share}>{share < 1 ? phrase('fleet.sending-value', { value: draft.file?.name ?? phrase('fleet.the-file') }) : phrase('fleet.sent-comparing-with-your-fleet')}</Progress> : null}
      {previewed
        ? <ImportPreview run={previewed.run} isBusy={send.isPending} onKeep={() => keep(previewed)} onDropped={clear} />
        : <div className="row"><Button kind="do" disabled={!draft.file} busy={send.isPending ? phrase('fleet.reading') : false} onClick={() => draft.file && preview(draft.file)}>{phrase('fleet.preview-the-file')}</Button><span className="quiet">{phrase('fleet.nothing-is-written-by-a-preview')}</span></div>}
    </Section>
  );
}

function StationField({ value, onChange }: { value: string; onChange: (value: string) => void }) {
  const stations = useLists().data?.stations ?? [];
  return <TextField label={phrase('fleet.whose-list-it-is')} name="station" required value={value} onChange={onChange} suggestions={stations.map((one) => one.key)}
    help={stations.length > 0 ? phrase('fleet.the-stations-key-join-a-new-key', { join: stations.map((one) => `${one.key} (${one.name})`).join(', ') }) : phrase('fleet.the-stations-key-in-your-records-a')} />;
}
