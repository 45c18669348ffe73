import { STANDING_WORDS, type StandingList, type StandingRow } from '@bellround/contracts';
import { useState } from 'react';
import { dayShort, dayWords } from '../../../shared/format.js';
import { DenseStrip } from '../../../shared/pictures/dense-strip.js';
import { Empty, LinkButton, Loaded, Mark, Page, Pager, StandingMark, Table } from '../../../shared/ui/index.js';
import { ROWS_AT_ONCE, SITES_PER_PAGE, useStanding } from '../api/standing.js';
import { OnTimeSection } from './on-time-section.js';
import { type StandingAddress, StandingCounts, StandingFilterRow, StandingFind, useStandingAddress } from './standing-filters.js';
import { StandingRows } from './standing-list.js';
import { LANES_SHOWN, missingWords } from './standing-row.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

/** Which sites were proven, and which not: missing first, on any day. Everything asked is in the address, so it can be shared. */
export function StandingScreen() {
  const address = useStandingAddress();
  const { filters, go, isPaged, offset } = address;
  const list = useStanding(isPaged ? { ...filters, limit: SITES_PER_PAGE, offset } : { ...filters, strips: 'no', limit: ROWS_AT_ONCE, offset: 0 });
  return (
    <Page title={phrase('standing.standing')} lead={filters.asOf ? phrase('standing.as-of-asof', { asOf: dayWords(filters.asOf) }) : phrase('standing.today-missing-proof-first')} actions={<StandingFind address={address} />}>
      <Loaded query={list} what={phrase('standing.the-standing')}>{(shown) => (<>
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
      <summary><strong>{phrase('standing.on-time-in-twelve-months')}</strong>{phrase('standing.of-all-live-accounts-and-of-those')}</summary>
      {isOpen ? <OnTimeSection asOf={asOf} /> : null}
    </details>
  );
}

function Sites({ list, address }: { list: StandingList; address: StandingAddress }) {
  const { filters, isFiltered, isPaged, offset, go } = address;
  if (list.total === 0) {
    return isFiltered ? <Empty title={phrase('standing.no-site-matches')}>{filters.standing ? said(STANDING_WORDS[filters.standing].means) : phrase('standing.take-a-filter-away-or-search-for')}</Empty>
      : <Empty title={phrase('standing.there-are-no-sites-yet')} action={<LinkButton kind="do" to="/import">{phrase('standing.import-a-fleet')}</LinkButton>}>{phrase('standing.every-site-you-import-stands-here-with')}</Empty>;
  }
  if (!isPaged) return <StandingRows first={list} address={address} />;
  return <div className="standing-pages stack"><PagedTable list={list} /><Pager offset={offset} limit={SITES_PER_PAGE} total={list.total} onMove={(next) => go({ offset: String(next) })} what={phrase('standing.sites')} /></div>;
}

function PagedTable({ list }: { list: StandingList }) {
  return (
    <Table<StandingRow> caption={phrase('standing.sites-as-of-asof', { asOf: dayWords(list.asOf) })} rows={list.rows} rowKey={(row) => row.siteId} columns={[
      { key: 'site', title: phrase('standing.site'), width: '22%', cell: (row) => <><LinkButton kind="bare" size="small" to={`/sites/${row.siteId}${list.asOf === list.today ? '' : `?asOf=${list.asOf}`}`}>{row.name}</LinkButton><br /><span className="small quiet">{row.clientName}</span></> },
      { key: 'standing', title: phrase('standing.standing'), width: '18%', cell: (row) => <span className="stack"><StandingMark standing={row.standing} />{row.standing === 'proven' ? null : <span className="small">{missingWords(row)}</span>}{row.openDeficiencies > 0 ? <Mark shape="fallen" tone="bad">{phrase('count.open-deficiency', { n: row.openDeficiencies })}</Mark> : null}</span> },
      { key: 'strip', title: phrase('standing.proof-strip-stripfrom-to-stripto', { stripFrom: dayShort(list.stripFrom), stripTo: dayShort(list.stripTo) }), cell: (row) => (row.lanes.length > 0 ? <DenseStrip lanes={row.lanes} from={list.stripFrom} to={list.stripTo} today={list.asOf} most={LANES_SHOWN} /> : <span className="quiet">{phrase('standing.no-duties-no-programme-is-laid-on')}</span>) },
      { key: 'next', title: phrase('standing.next-lapse'), width: '11%', cell: (row) => (row.nextLapses ? dayShort(row.nextLapses) : '') },
    ]} />
  );
}
