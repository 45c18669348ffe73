import { type ImportRunRow, importKind } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { Link, useSearchParams } from 'react-router';
import { momentWords, numberWords } from '../../../shared/format.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, type Column, Drawer, Empty, Facts, Loaded, Mark, Pager, SearchBox, Section, Table, useToast } from '../../../shared/ui/index.js';
import { IMPORTS_PER_PAGE, useDropImport, useImportRun, useImports } from '../api/imports.js';
import { HeldRows } from './held-rows.js';
import { RunFigures } from './import-preview.js';
import { phrase } from '../../../shared/language/index.js';

const STATES = {
  kept: <Mark shape="whole" tone="good">{phrase('fleet.kept')}</Mark>, previewed: <Mark shape="empty" tone="warn">{phrase('fleet.only-previewed')}</Mark>, dropped: <Mark shape="absent">{phrase('fleet.dropped')}</Mark>,
};

export function ImportHistory() {
  const { timeZone } = useMe().company;
  const [search, setSearch] = useState('');
  const [offset, setOffset] = useState(0);
  const [params, setParams] = useSearchParams();
  const open = params.get('run');
  const setOpen = (id: string | null) => setParams(id ? { run: id } : {}, { replace: true, preventScrollReset: true });
  const imports = useImports(search, offset);
  const columns = useMemo(() => columnsIn(timeZone), [timeZone]);
  return (
    <Section title={phrase('fleet.files-so-far')} actions={<SearchBox label={phrase('fleet.search-files')} value={search} onChange={(next) => { setSearch(next); setOffset(0); }} />}>
      <Loaded query={imports} what={phrase('fleet.the-files')}>{({ rows, total }) => (total === 0
        ? <Empty title={search ? phrase('fleet.no-file-is-called-search', { search }) : phrase('fleet.no-file-was-imported-yet')} action={search ? <Button onClick={() => setSearch('')}>{phrase('fleet.show-all-files')}</Button> : undefined}>{search ? null : phrase('fleet.begin-with-clients-then-sites-and-systems')}</Empty>
        : <><Table caption={phrase('fleet.imported-files')} columns={columns} rows={rows} rowKey={(run) => run.id} onOpen={(run) => setOpen(run.id)} chosen={open} /><Pager offset={offset} limit={IMPORTS_PER_PAGE} total={total} onMove={setOffset} what={phrase('fleet.files')} /></>
      )}</Loaded>
      {open ? <RunDrawer runId={open} onClose={() => setOpen(null)} /> : null}
    </Section>
  );
}

function columnsIn(timeZone: string): Column<ImportRunRow>[] {
  return [
    { key: 'file', title: phrase('fleet.file'), cell: (run) => <Link to={`?run=${run.id}`} replace preventScrollReset>{run.fileName}</Link> },
    { key: 'kind', title: phrase('fleet.holds'), cell: (run) => importKind(run.kind).title },
    { key: 'state', title: phrase('fleet.state'), cell: (run) => STATES[run.state] },
    { key: 'new', title: phrase('fleet.new'), align: 'end', cell: (run) => numberWords(run.rowsNew) },
    { key: 'changed', title: phrase('fleet.changed'), align: 'end', cell: (run) => numberWords(run.rowsChanged) },
    { key: 'held', title: phrase('fleet.held'), align: 'end', cell: (run) => numberWords(run.rowsHeld) },
    { key: 'at', title: phrase('fleet.when'), cell: (run) => <time dateTime={run.startedAt}>{momentWords(run.startedAt, timeZone)}</time> },
  ];
}

function RunDrawer({ runId, onClose }: { runId: string; onClose: () => void }) {
  const { timeZone } = useMe().company;
  const mayPlan = useMay('plan');
  const say = useToast();
  const query = useImportRun(runId);
  const drop = useDropImport(() => say(phrase('fleet.dropped-nothing-was-written')));
  return (
    <Drawer title={phrase('fleet.one-file')} onClose={onClose}>
      <Loaded query={query} what={phrase('fleet.the-file')}>{(run) => (
        <div className="stack">
          <Facts of={[[phrase('fleet.file'), run.fileName], [phrase('fleet.holds'), importKind(run.kind).title], [phrase('fleet.state'), STATES[run.state]], [phrase('fleet.read'), momentWords(run.startedAt, timeZone)], [phrase('fleet.rows-read'), numberWords(run.rowsRead)]]} />
          <RunFigures run={run} />
          {run.state === 'previewed' && mayPlan ? <div className="row"><Button busy={drop.isPending} onClick={() => drop.mutate({ runId })}>{phrase('fleet.drop-the-file')}</Button><span className="quiet">{phrase('fleet.to-keep-it-choose-the-file-again')}</span></div> : null}
          <HeldRows run={run} />
        </div>
      )}</Loaded>
    </Drawer>
  );
}
