import { Link } from 'react-router';
import { countWords, dayShort } from '../../../shared/format.js';
import { Empty, Loaded, Mark, Section, Table } from '../../../shared/ui/index.js';
import { useSiteDeficiencies } from '../api/standing.js';

/** What was found broken at the site: open ones first, soonest due first; closed ones stay visible. */
export function SiteDeficiencies({ siteId }: { siteId: string }) {
  const list = useSiteDeficiencies(siteId);
  return (
    <Section title="Deficiencies">
      <Loaded query={list} what="the deficiencies">{({ rows, total }) => (total === 0 ? <Empty title="Nothing was found broken here" /> : <>
        <Table caption="Deficiencies of this site" rows={rows.toSorted((a, b) => Number(a.state === 'closed') - Number(b.state === 'closed'))} rowKey={(row) => row.id} columns={[
          { key: 'what', title: 'Deficiency', cell: (row) => <Link to={`/deficiencies?state=all&search=${encodeURIComponent(row.siteName)}&deficiency=${row.id}`}>{row.title}</Link> }, { key: 'subject', title: 'Where', cell: (row) => row.subjectName }, { key: 'severity', title: 'Severity', cell: (row) => row.severity },
          { key: 'due', title: 'Due', cell: (row) => (row.overdue ? <Mark shape="bracketed" tone="bad">{dayShort(row.dueOn)}, overdue</Mark> : dayShort(row.dueOn)) },
          { key: 'state', title: 'Now', cell: (row) => (row.state === 'closed' ? <Mark shape="whole" tone="good">closed by a retest</Mark> : row.state === 'accepted' ? <Mark shape="line">accepted{row.acceptedUntil ? ` until ${dayShort(row.acceptedUntil)}` : ''}</Mark> : <Mark shape="fallen" tone="bad">open for {countWords(row.ageDays, 'day')}</Mark>) },
        ]} />
        {total > rows.length ? <p className="small quiet">The first {rows.length} of {total}.</p> : null}</>)}</Loaded>
    </Section>
  );
}
