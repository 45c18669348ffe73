import type { ActivityRow } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { Link } from 'react-router';
import { momentWords, plainWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, type Column, Empty, Loading, Page, ProblemBox, SearchBox, Table } from '../../../shared/ui/index.js';
import { useActivity } from '../api/activity.js';
import { phrase } from '../../../shared/language/index.js';

function columnsIn(timeZone: string): Column<ActivityRow>[] {
  return [
    { key: 'summary', title: phrase('identity.what'), cell: (row) => plainWords(row.summary, timeZone) },
    { key: 'who', title: phrase('identity.who'), width: '14rem', cell: (row) => row.actorName },
    { key: 'at', title: phrase('identity.when'), width: '14rem', cell: (row) => <time dateTime={row.at}>{momentWords(row.at, timeZone)}</time> },
    { key: 'site', title: phrase('identity.site'), width: '7rem', cell: (row) => (row.siteId ? <Link to={`/sites/${row.siteId}`}>{phrase('identity.open-the-site')}</Link> : '') },
  ];
}

export function ActivityScreen() {
  const { timeZone } = useMe().company;
  const [search, setSearch] = useState('');
  const query = useActivity();
  const columns = useMemo(() => columnsIn(timeZone), [timeZone]);
  const all = query.data?.pages.flatMap((page) => page.rows) ?? [];
  const sought = search.trim().toLowerCase();
  const rows = sought === '' ? all : all.filter((row) => `${plainWords(row.summary, timeZone)} ${row.actorName} ${row.act}`.toLowerCase().includes(sought));
  return (
    <Page title={phrase('identity.activity')} lead={phrase('identity.who-did-what-newest-first-lines-are', { timeZone })} actions={<SearchBox label={phrase('identity.search-these-lines')} value={search} onChange={setSearch} />}>
      {query.isPending ? <Loading what={phrase('identity.the-activity')} /> : null}
      {query.error ? <ProblemBox problem={query.error} onRetry={() => void query.refetch()} /> : null}
      {query.data && all.length === 0 ? <Empty title={phrase('identity.nothing-has-been-done-yet')}>{phrase('identity.import-a-fleet-or-add-a-person')}</Empty> : null}
      {all.length > 0 && rows.length === 0 ? <Empty title={phrase('identity.no-line-says-search', { search })} action={<Button onClick={() => setSearch('')}>{phrase('identity.show-all-lines')}</Button>}>{phrase('identity.only-the-all-lines-fetched-so-far', { all: all.length })}</Empty> : null}
      {rows.length > 0 ? <Table caption={phrase('identity.activity')} columns={columns} rows={rows} rowKey={(row) => row.id} /> : null}
      {query.hasNextPage ? <div className="row"><Button busy={query.isFetchingNextPage ? phrase('identity.fetching-2') : false} onClick={() => void query.fetchNextPage()}>{phrase('identity.fetch-earlier-lines')}</Button></div> : null}
    </Page>
  );
}
