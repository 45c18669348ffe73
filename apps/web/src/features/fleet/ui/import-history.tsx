import { type ImportRunRow, importKind } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { Link, useSearchParams } from 'react-router';
import { momentWords, numberWords } from '../../../shared/format.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, type Column, Drawer, Empty, Facts, Loaded, Mark, Pager, SearchBox, Section, Table, useToast } from '../../../shared/ui/index.js';
import { IMPORTS_PER_PAGE, useDropImport, useImportRun, useImports } from '../api/imports.js';
import { HeldRows } from './held-rows.js';
import { RunFigures } from './import-preview.js';

const STATES = {
  kept: <Mark shape="whole" tone="good">kept</Mark>, previewed: <Mark shape="empty" tone="warn">only previewed</Mark>, dropped: <Mark shape="absent">dropped</Mark>,
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
    <Section title="Files so far" actions={<SearchBox label="Search files" value={search} onChange={(next) => { setSearch(next); setOffset(0); }} />}>
      <Loaded query={imports} what="the files">{({ rows, total }) => (total === 0
        ? <Empty title={search ? `No file is called '${search}'` : 'No file was imported yet'} action={search ? <Button onClick={() => setSearch('')}>Show all files</Button> : undefined}>{search ? null : 'Begin with clients, then sites and systems.'}</Empty>
        : <><Table caption="Imported files" columns={columns} rows={rows} rowKey={(run) => run.id} onOpen={(run) => setOpen(run.id)} chosen={open} /><Pager offset={offset} limit={IMPORTS_PER_PAGE} total={total} onMove={setOffset} what="files" /></>
      )}</Loaded>
      {open ? <RunDrawer runId={open} onClose={() => setOpen(null)} /> : null}
    </Section>
  );
}

function columnsIn(timeZone: string): Column<ImportRunRow>[] {
  return [
    { key: 'file', title: 'File', cell: (run) => <Link to={`?run=${run.id}`} replace preventScrollReset>{run.fileName}</Link> },
    { key: 'kind', title: 'Holds', cell: (run) => importKind(run.kind).title },
    { key: 'state', title: 'State', cell: (run) => STATES[run.state] },
    { key: 'new', title: 'New', align: 'end', cell: (run) => numberWords(run.rowsNew) },
    { key: 'changed', title: 'Changed', align: 'end', cell: (run) => numberWords(run.rowsChanged) },
    { key: 'held', title: 'Held', align: 'end', cell: (run) => numberWords(run.rowsHeld) },
    { key: 'at', title: 'When', cell: (run) => <time dateTime={run.startedAt}>{momentWords(run.startedAt, timeZone)}</time> },
  ];
}

function RunDrawer({ runId, onClose }: { runId: string; onClose: () => void }) {
  const { timeZone } = useMe().company;
  const mayPlan = useMay('plan');
  const say = useToast();
  const query = useImportRun(runId);
  const drop = useDropImport(() => say('Dropped; nothing was written'));
  return (
    <Drawer title="One file" onClose={onClose}>
      <Loaded query={query} what="the file">{(run) => (
        <div className="stack">
          <Facts of={[['File', run.fileName], ['Holds', importKind(run.kind).title], ['State', STATES[run.state]], ['Read', momentWords(run.startedAt, timeZone)], ['Rows read', numberWords(run.rowsRead)]]} />
          <RunFigures run={run} />
          {run.state === 'previewed' && mayPlan ? <div className="row"><Button busy={drop.isPending} onClick={() => drop.mutate({ runId })}>Drop the file</Button><span className="quiet">To keep it, choose the file again above and preview it.</span></div> : null}
          <HeldRows run={run} />
        </div>
      )}</Loaded>
    </Drawer>
  );
}
