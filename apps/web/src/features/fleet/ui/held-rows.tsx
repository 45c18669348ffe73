import { type ImportProblemRow, type ImportRunDetail, routes } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { download } from '../../../shared/client.js';
import { numberWords } from '../../../shared/format.js';
import { Button, type Column, Empty, Pager, SearchBox, Table, useToast } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';

const PER_PAGE = 50;
const COLUMNS: Column<ImportProblemRow>[] = [
  { key: 'row', title: phrase('fleet.row'), align: 'end', width: '5rem', cell: (one) => numberWords(one.row), sortBy: (one) => one.row },
  { key: 'column', title: phrase('fleet.column'), width: '9rem', cell: (one) => <code>{one.column}</code>, sortBy: (one) => one.column },
  { key: 'value', title: phrase('fleet.value'), width: '12rem', cell: (one) => (one.value === '' ? <span className="quiet">{phrase('fleet.empty')}</span> : <q>{one.value}</q>) },
  { key: 'problem', title: phrase('fleet.what-is-wrong'), cell: (one) => one.problem },
  { key: 'accepted', title: phrase('fleet.what-is-accepted'), cell: (one) => one.accepted },
];

/** Rows that stay out, each with its column, its value, what is wrong and what is accepted. Row 1 is the header. */
export function HeldRows({ run }: { run: ImportRunDetail }) {
  const say = useToast();
  const [search, setSearch] = useState('');
  const [offset, setOffset] = useState(0);
  const found = useMemo(() => {
    const sought = search.trim().toLowerCase();
    return sought === '' ? run.problems : run.problems.filter((one) => `${one.row} ${one.column} ${one.value} ${one.problem}`.toLowerCase().includes(sought));
  }, [run.problems, search]);
  if (run.problems.length === 0) return null;
  const rows = found.slice(offset, offset + PER_PAGE);
  return (
    <div className="stack">
      <div className="row between">
        <h3>{phrase('fleet.rowsheld-held-for-problemstotal', { rowsHeld: phrase('count.row', { n: run.rowsHeld }), problemsTotal: phrase('count.reason', { n: run.problemsTotal }) })}</h3>
        <span className="row"><SearchBox label={phrase('fleet.search-the-reasons')} value={search} onChange={(next) => { setSearch(next); setOffset(0); }} /><Button onClick={() => { download(routes.exportProblems, { runId: run.id }, 'held-rows.csv').catch((error: Error) => say(error.message)); }}>{phrase('fleet.download-the-reasons')}</Button></span>
      </div>
      {run.problemsTotal > run.problems.length ? <p className="note">{phrase('fleet.the-first-problems-reasons-are-kept-mend', { problems: numberWords(run.problems.length) })}</p> : null}
      {found.length === 0 ? <Empty title={phrase('fleet.no-reason-says-search', { search })} action={<Button onClick={() => setSearch('')}>{phrase('fleet.show-all-reasons')}</Button>} /> : <Table caption={phrase('fleet.held-rows')} columns={COLUMNS} rows={rows} rowKey={(one) => `${one.row} ${one.column} ${one.problem}`} />}
      <Pager offset={offset} limit={PER_PAGE} total={found.length} onMove={setOffset} what={phrase('fleet.reasons')} />
    </div>
  );
}
