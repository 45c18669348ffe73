import { useState } from 'react';
import { Link } from 'react-router';
import { countWords, dayShort } from '../../../shared/format.js';
import { Empty, Loaded, Mark, Pager, SearchBox, Section, Table } from '../../../shared/ui/index.js';
import { useLateWindows } from '../api/standing.js';

const PER_PAGE = 50;

/** Windows that ended late or missed in twelve months, each with who could have prevented it and what shows that. */
export function LateSection() {
  const [search, setSearch] = useState('');
  const [offset, setOffset] = useState(0);
  const late = useLateWindows({ months: 12, limit: PER_PAGE, offset, ...(search ? { search } : {}) });
  return (
    <Section title="Ended late or missed, twelve months" actions={<SearchBox label="Search late windows" value={search} onChange={(next) => { setSearch(next); setOffset(0); }} placeholder="Site or duty" />}>
      <Loaded query={late} what="the late windows">{({ rows, total }) => (total === 0 ? <Empty title={search ? 'No late window matches' : 'No window of these twelve months ended late or missed'} />
        : <><p className="note">Late is late, whoever could have prevented it. Without proven attempts at the door a lateness counts as ours.</p>
          <Table caption="Windows that ended late or missed" rows={rows} rowKey={(row) => `${row.dutyId} ${row.n}`} columns={[
            { key: 'site', title: 'Site', cell: (row) => <Link to={`/sites/${row.siteId}`}>{row.siteName}</Link> },
            { key: 'duty', title: 'Duty', cell: (row) => <Link to={`/duties/${row.dutyId}`}>{row.title}</Link> },
            { key: 'window', title: 'Window', cell: (row) => `${dayShort(row.opens)} to ${dayShort(row.lapses)}` },
            { key: 'ended', title: 'Ended', cell: (row) => (row.outcome === 'late' ? <Mark shape="beyond" tone="warn">{`${countWords(row.lateDays, 'day')} late`}</Mark> : <Mark shape="bracketed" tone="bad">{row.metOn ? `met ${dayShort(row.metOn)}` : `missed, ${countWords(row.lateDays, 'day')} ago`}</Mark>) },
            { key: 'by', title: 'Who could have prevented it', cell: (row) => row.attribution.words },
          ]} /><Pager offset={offset} limit={PER_PAGE} total={total} onMove={setOffset} what="windows" /></>)}</Loaded>
    </Section>
  );
}
