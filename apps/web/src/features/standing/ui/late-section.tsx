import { useState } from 'react';
import { Link } from 'react-router';
import { dayShort } from '../../../shared/format.js';
import { Empty, Loaded, Mark, Pager, SearchBox, Section, Table } from '../../../shared/ui/index.js';
import { useLateWindows } from '../api/standing.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

const PER_PAGE = 50;

/** Windows that ended late or missed in twelve months, each with who could have prevented it and what shows that. */
export function LateSection() {
  const [search, setSearch] = useState('');
  const [offset, setOffset] = useState(0);
  const late = useLateWindows({ months: 12, limit: PER_PAGE, offset, ...(search ? { search } : {}) });
  return (
    <Section title={phrase('standing.ended-late-or-missed-twelve-months')} actions={<SearchBox label={phrase('standing.search-late-windows')} value={search} onChange={(next) => { setSearch(next); setOffset(0); }} placeholder={phrase('standing.site-or-duty')} />}>
      <Loaded query={late} what={phrase('standing.the-late-windows')}>{({ rows, total }) => (total === 0 ? <Empty title={search ? phrase('standing.no-late-window-matches') : phrase('standing.no-window-of-these-twelve-months-ended')} />
        : <><p className="note">{phrase('standing.late-is-late-whoever-could-have-prevented')}</p>
          <Table caption={phrase('standing.windows-that-ended-late-or-missed')} rows={rows} rowKey={(row) => `${row.dutyId} ${row.n}`} columns={[
            { key: 'site', title: phrase('standing.site'), cell: (row) => <Link to={`/sites/${row.siteId}`}>{row.siteName}</Link> },
            { key: 'duty', title: phrase('standing.duty'), cell: (row) => <Link to={`/duties/${row.dutyId}`}>{said(row.title)}</Link> },
            { key: 'window', title: phrase('standing.window'), cell: (row) => phrase('standing.opens-to-lapses', { opens: dayShort(row.opens), lapses: dayShort(row.lapses) }) },
            { key: 'ended', title: phrase('standing.ended'), cell: (row) => (row.outcome === 'late' ? <Mark shape="beyond" tone="warn">{phrase('standing.latedays-late', { lateDays: phrase('count.day', { n: row.lateDays }) })}</Mark> : <Mark shape="bracketed" tone="bad">{row.metOn ? phrase('standing.met-meton', { metOn: dayShort(row.metOn) }) : phrase('standing.missed-latedays-ago', { lateDays: phrase('count.day', { n: row.lateDays }) })}</Mark>) },
            { key: 'by', title: phrase('standing.who-could-have-prevented-it'), cell: (row) => said(row.attribution.words) },
          ]} /><Pager offset={offset} limit={PER_PAGE} total={total} onMove={setOffset} what={phrase('standing.windows')} /></>)}</Loaded>
    </Section>
  );
}
