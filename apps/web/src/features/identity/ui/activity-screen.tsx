import type { ActivityRow } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { Link } from 'react-router';
import { momentWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, type Column, Empty, Loading, Page, ProblemBox, SearchBox, Table } from '../../../shared/ui/index.js';
import { useActivity } from '../api/activity.js';

function columnsIn(timeZone: string): Column<ActivityRow>[] {
  return [
    { key: 'summary', title: 'What', cell: (row) => row.summary },
    { key: 'who', title: 'Who', width: '14rem', cell: (row) => row.actorName },
    { key: 'at', title: 'When', width: '14rem', cell: (row) => <time dateTime={row.at}>{momentWords(row.at, timeZone)}</time> },
    { key: 'site', title: 'Site', width: '7rem', cell: (row) => (row.siteId ? <Link to={`/sites/${row.siteId}`}>Open the site</Link> : '') },
  ];
}

export function ActivityScreen() {
  const { timeZone } = useMe().company;
  const [search, setSearch] = useState('');
  const query = useActivity();
  const columns = useMemo(() => columnsIn(timeZone), [timeZone]);
  const all = query.data?.pages.flatMap((page) => page.rows) ?? [];
  const sought = search.trim().toLowerCase();
  const rows = sought === '' ? all : all.filter((row) => `${row.summary} ${row.actorName} ${row.act}`.toLowerCase().includes(sought));
  return (
    <Page title="Activity" lead={`Who did what, newest first. Lines are added, never changed. Times are of ${timeZone}.`} actions={<SearchBox label="Search these lines" value={search} onChange={setSearch} />}>
      {query.isPending ? <Loading what="the activity" /> : null}
      {query.error ? <ProblemBox problem={query.error} onRetry={() => void query.refetch()} /> : null}
      {query.data && all.length === 0 ? <Empty title="Nothing has been done yet">Import a fleet or add a person, and it is written here.</Empty> : null}
      {all.length > 0 && rows.length === 0 ? <Empty title={`No line says '${search}'`} action={<Button onClick={() => setSearch('')}>Show all lines</Button>}>Only the {all.length} lines fetched so far were searched.</Empty> : null}
      {rows.length > 0 ? <Table caption="Activity" columns={columns} rows={rows} rowKey={(row) => row.id} /> : null}
      {query.hasNextPage ? <div className="row"><Button busy={query.isFetchingNextPage ? 'Fetching …' : false} onClick={() => void query.fetchNextPage()}>Fetch earlier lines</Button></div> : null}
    </Page>
  );
}
