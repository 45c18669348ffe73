import { Link } from 'react-router';
import { dayShort } from '../../../shared/format.js';
import { Empty, Loaded, Mark, Section, Table } from '../../../shared/ui/index.js';
import { useSiteDeficiencies } from '../api/standing.js';
import { phrase } from '../../../shared/language/index.js';
import { SEVERITY } from '../../../shared/words.js';
import { said } from '../../../shared/language/said.js';

/** What was found broken at the site: open ones first, soonest due first; closed ones stay visible. */
export function SiteDeficiencies({ siteId }: { siteId: string }) {
  const list = useSiteDeficiencies(siteId);
  return (
    <Section title={phrase('standing.deficiencies')}>
      <Loaded query={list} what={phrase('standing.the-deficiencies')}>{({ rows, total }) => (total === 0 ? <Empty title={phrase('standing.nothing-was-found-broken-here')} /> : <>
        <Table caption={phrase('standing.deficiencies-of-this-site')} rows={rows.toSorted((a, b) => Number(a.state === 'closed') - Number(b.state === 'closed'))} rowKey={(row) => row.id} columns={[
          { key: 'what', title: phrase('standing.deficiency'), cell: (row) => <Link to={`/deficiencies?state=all&search=${encodeURIComponent(row.siteName)}&deficiency=${row.id}`}>{said(row.title)}</Link> }, { key: 'subject', title: phrase('standing.where'), cell: (row) => row.subjectName }, { key: 'severity', title: phrase('standing.severity'), cell: (row) => SEVERITY[row.severity] },
          { key: 'due', title: phrase('standing.due'), cell: (row) => (row.overdue ? <Mark shape="bracketed" tone="bad">{phrase('standing.dueon-overdue', { dueOn: dayShort(row.dueOn) })}</Mark> : dayShort(row.dueOn)) },
          { key: 'state', title: phrase('standing.now'), cell: (row) => (row.state === 'closed' ? <Mark shape="whole" tone="good">{phrase('standing.closed-by-a-retest')}</Mark> : row.state === 'accepted' ? <Mark shape="line">{phrase('standing.accepted-value', { value: row.acceptedUntil ? phrase('standing.until-accepteduntil', { acceptedUntil: dayShort(row.acceptedUntil) }) : '' })}</Mark> : <Mark shape="fallen" tone="bad">{phrase('standing.open-for-agedays', { ageDays: phrase('count.day', { n: row.ageDays }) })}</Mark>) },
        ]} />
        {total > rows.length ? <p className="small quiet">{phrase('standing.the-first-rows-of-total', { rows: rows.length, total })}</p> : null}</>)}</Loaded>
    </Section>
  );
}
