import { routes } from '@bellround/contracts';
import { useState } from 'react';
import { Link } from 'react-router';
import { addressOf } from '../../../shared/client.js';
import { dayShort } from '../../../shared/format.js';
import { Button, Empty, LinkButton, Loaded, Page, Pager, SearchBox, Select, StandingMark, Table } from '../../../shared/ui/index.js';
import { useOverdue } from '../api/standing.js';
import { LateSection } from './late-section.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

const PER_PAGE = 100;

/** Duties that are lapsed, late or can't be told, oldest first. */
export function OverdueScreen() {
  const [search, setSearch] = useState('');
  const [standing, setStanding] = useState('');
  const [offset, setOffset] = useState(0);
  const filters = { ...(search ? { search } : {}), ...(standing ? { standing: standing as 'lapsed' } : {}) };
  const list = useOverdue({ ...filters, limit: PER_PAGE, offset });
  return (
    <Page title={phrase('standing.overdue')} lead={phrase('standing.duties-whose-window-is-over-late-ones')} actions={<>
      <SearchBox label={phrase('standing.search-overdue-duties')} value={search} onChange={(next) => { setSearch(next); setOffset(0); }} placeholder={phrase('standing.site-client-or-duty')} />
      <Select label={phrase('standing.standing')} value={standing} onChange={(next) => { setStanding(next); setOffset(0); }} empty={phrase('app.all')} options={[{ value: 'lapsed', label: phrase('standing.lapsed') }, { value: 'cant-tell', label: phrase('standing.cant-tell') }, { value: 'late', label: phrase('standing.late-2') }]} />
      <a className="button small" href={addressOf(routes.overdueCsv, filters)} download>{phrase('standing.export-as-csv')}</a></>}>
      <Loaded query={list} what={phrase('standing.the-overdue-duties')}>{({ rows, total }) => (total === 0
        ? <Empty title={search || standing ? phrase('standing.nothing-overdue-matches') : phrase('standing.nothing-is-overdue')} action={search || standing ? <Button onClick={() => { setSearch(''); setStanding(''); }}>{phrase('standing.show-all')}</Button> : undefined} />
        : <><Table caption={phrase('standing.overdue-duties')} rows={rows} rowKey={(row) => row.dutyId} columns={[
          { key: 'site', title: phrase('standing.site'), cell: (row) => <><LinkButton kind="bare" size="small" to={`/sites/${row.siteId}`}>{row.siteName}</LinkButton><br /><span className="small quiet">{row.clientName}</span></> },
          { key: 'duty', title: phrase('standing.duty'), cell: (row) => <><Link to={`/duties/${row.dutyId}`}>{said(row.title)}</Link>: {row.subject}<br /><span className="small quiet">{row.regime}{row.mandated ? '' : phrase('standing.not-mandated')}</span></> },
          { key: 'standing', title: phrase('standing.standing'), cell: (row) => <StandingMark standing={row.standing} /> },
          { key: 'lapses', title: phrase('standing.window'), cell: (row) => phrase('standing.opens-to-lapses', { opens: dayShort(row.opens), lapses: dayShort(row.lapses) }) },
          { key: 'over', title: phrase('standing.over-by'), align: 'end', cell: (row) => (row.daysOver > 0 ? phrase('count.day', { n: row.daysOver }) : '') },
        ]} /><Pager offset={offset} limit={PER_PAGE} total={total} onMove={setOffset} what={phrase('standing.duties')} /></>)}</Loaded>
      <LateSection />
    </Page>
  );
}
