import { STANDING_WORDS, type StandingList, type StandingRow } from '@bellround/contracts';
import { useState } from 'react';
import { countWords, dayShort, dayWords } from '../../../shared/format.js';
import { DenseStrip } from '../../../shared/pictures/dense-strip.js';
import { Empty, LinkButton, Loaded, Mark, Page, Pager, StandingMark, Table } from '../../../shared/ui/index.js';
import { ROWS_AT_ONCE, SITES_PER_PAGE, useStanding } from '../api/standing.js';
import { OnTimeSection } from './on-time-section.js';
import { type StandingAddress, StandingCounts, StandingFilterRow, StandingFind, useStandingAddress } from './standing-filters.js';
import { StandingRows } from './standing-list.js';
import { LANES_SHOWN, missingWords } from './standing-row.js';

/** Which sites were proven, and which not: missing first, on any day. Everything asked is in the address, so it can be shared. */
export function StandingScreen() {
  const address = useStandingAddress();
  const { filters, go, isPaged, offset } = address;
  const list = useStanding(isPaged ? { ...filters, limit: SITES_PER_PAGE, offset } : { ...filters, strips: 'no', limit: ROWS_AT_ONCE, offset: 0 });
  return (
    <Page title="Standing" lead={filters.asOf ? `As of ${dayWords(filters.asOf)}` : 'Today, missing proof first'} actions={<StandingFind address={address} />}>
      <Loaded query={list} what="the standing">{(shown) => (<>
        <StandingCounts counts={shown.counts} chosen={filters.standing ?? null} onChoose={(one) => go({ standing: one === filters.standing ? null : one })} />
        <StandingFilterRow address={address} clientName={filters.clientId ? shown.rows[0]?.clientName ?? null : null} />
        <OnTimeFold asOf={filters.asOf ?? null} />
        <Sites list={shown} address={address} />
      </>)}</Loaded>
    </Page>
  );
}

/** The share on time stands folded above the sites: a list without end has nothing below it. */
function OnTimeFold({ asOf }: { asOf: string | null }) {
  const [isOpen, setOpen] = useState(false);
  return (
    <details className="leaf no-print" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary><strong>On time in twelve months</strong>, of all live accounts and of those on the schedule, month by month</summary>
      {isOpen ? <OnTimeSection asOf={asOf} /> : null}
    </details>
  );
}

function Sites({ list, address }: { list: StandingList; address: StandingAddress }) {
  const { filters, isFiltered, isPaged, offset, go } = address;
  if (list.total === 0) {
    return isFiltered ? <Empty title="No site matches">{filters.standing ? STANDING_WORDS[filters.standing].means : 'Take a filter away, or search for less.'}</Empty>
      : <Empty title="There are no sites yet" action={<LinkButton kind="do" to="/import">Import a fleet</LinkButton>}>Every site you import stands here, with what is owed and what is proven.</Empty>;
  }
  if (!isPaged) return <StandingRows first={list} address={address} />;
  return <div className="standing-pages stack"><PagedTable list={list} /><Pager offset={offset} limit={SITES_PER_PAGE} total={list.total} onMove={(next) => go({ offset: String(next) })} what="sites" /></div>;
}

function PagedTable({ list }: { list: StandingList }) {
  return (
    <Table<StandingRow> caption={`Sites as of ${dayWords(list.asOf)}`} rows={list.rows} rowKey={(row) => row.siteId} columns={[
      { key: 'site', title: 'Site', width: '22%', cell: (row) => <><LinkButton kind="bare" size="small" to={`/sites/${row.siteId}${list.asOf === list.today ? '' : `?asOf=${list.asOf}`}`}>{row.name}</LinkButton><br /><span className="small quiet">{row.clientName}</span></> },
      { key: 'standing', title: 'Standing', width: '18%', cell: (row) => <span className="stack"><StandingMark standing={row.standing} />{row.standing === 'proven' ? null : <span className="small">{missingWords(row)}</span>}{row.openDeficiencies > 0 ? <Mark shape="fallen" tone="bad">{countWords(row.openDeficiencies, 'open deficiency', 'open deficiencies')}</Mark> : null}</span> },
      { key: 'strip', title: `Proof strip, ${dayShort(list.stripFrom)} to ${dayShort(list.stripTo)}`, cell: (row) => (row.lanes.length > 0 ? <DenseStrip lanes={row.lanes} from={list.stripFrom} to={list.stripTo} today={list.asOf} most={LANES_SHOWN} /> : <span className="quiet">no duties: no programme is laid on its systems</span>) },
      { key: 'next', title: 'Next lapse', width: '11%', cell: (row) => (row.nextLapses ? dayShort(row.nextLapses) : '') },
    ]} />
  );
}
