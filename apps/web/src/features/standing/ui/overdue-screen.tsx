import { routes } from '@bellround/contracts';
import { useState } from 'react';
import { Link } from 'react-router';
import { addressOf } from '../../../shared/client.js';
import { countWords, dayShort } from '../../../shared/format.js';
import { Button, Empty, LinkButton, Loaded, Page, Pager, SearchBox, Select, StandingMark, Table } from '../../../shared/ui/index.js';
import { useOverdue } from '../api/standing.js';
import { LateSection } from './late-section.js';

const PER_PAGE = 100;

/** Duties that are lapsed, late or can't be told, oldest first. */
export function OverdueScreen() {
  const [search, setSearch] = useState('');
  const [standing, setStanding] = useState('');
  const [offset, setOffset] = useState(0);
  const filters = { ...(search ? { search } : {}), ...(standing ? { standing: standing as 'lapsed' } : {}) };
  const list = useOverdue({ ...filters, limit: PER_PAGE, offset });
  return (
    <Page title="Overdue" lead="Duties whose window is over, late ones, and those of which nothing is known." actions={<>
      <SearchBox label="Search overdue duties" value={search} onChange={(next) => { setSearch(next); setOffset(0); }} placeholder="Site, client or duty" />
      <Select label="Standing" value={standing} onChange={(next) => { setStanding(next); setOffset(0); }} empty="all" options={[{ value: 'lapsed', label: 'lapsed' }, { value: 'cant-tell', label: 'can’t tell' }, { value: 'late', label: 'late' }]} />
      <a className="button small" href={addressOf(routes.overdueCsv, filters)} download>Export as CSV</a></>}>
      <Loaded query={list} what="the overdue duties">{({ rows, total }) => (total === 0
        ? <Empty title={search || standing ? 'Nothing overdue matches' : 'Nothing is overdue'} action={search || standing ? <Button onClick={() => { setSearch(''); setStanding(''); }}>Show all</Button> : undefined} />
        : <><Table caption="Overdue duties" rows={rows} rowKey={(row) => row.dutyId} columns={[
          { key: 'site', title: 'Site', cell: (row) => <><LinkButton kind="bare" size="small" to={`/sites/${row.siteId}`}>{row.siteName}</LinkButton><br /><span className="small quiet">{row.clientName}</span></> },
          { key: 'duty', title: 'Duty', cell: (row) => <><Link to={`/duties/${row.dutyId}`}>{row.title}</Link>: {row.subject}<br /><span className="small quiet">{row.regime}{row.mandated ? '' : '; not mandated'}</span></> },
          { key: 'standing', title: 'Standing', cell: (row) => <StandingMark standing={row.standing} /> },
          { key: 'lapses', title: 'Window', cell: (row) => `${dayShort(row.opens)} to ${dayShort(row.lapses)}` },
          { key: 'over', title: 'Over by', align: 'end', cell: (row) => (row.daysOver > 0 ? countWords(row.daysOver, 'day') : '') },
        ]} /><Pager offset={offset} limit={PER_PAGE} total={total} onMove={setOffset} what="duties" /></>)}</Loaded>
      <LateSection />
    </Page>
  );
}
