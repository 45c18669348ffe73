import { DIFFERENCE_WORDS, type DifferenceKind, type DifferenceRow } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { Link } from 'react-router';
import { dayShort, localDayAt } from '../../../shared/format.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, Choices, type Column, Empty, Loaded, Mark, Pager, SearchBox, Table, Tag } from '../../../shared/ui/index.js';
import { DIFFERENCES_PER_PAGE, type Shown, useDifferences } from '../api/lists.js';
import { SettleDialog } from './settle-dialog.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

const SHOWN: { value: Shown; label: string }[] = [{ value: 'unsettled', label: phrase('fleet.to-settle') }, { value: 'settled', label: phrase('fleet.settled-lists-still-differ') }, { value: 'gone', label: phrase('fleet.gone') }, { value: 'all', label: phrase('app.all') }];

export function DifferencesTable({ kind }: { kind: DifferenceKind | null }) {
  const mayPlan = useMay('plan');
  const { timeZone } = useMe().company;
  const [show, setShow] = useState<Shown>('unsettled');
  const [search, setSearch] = useState('');
  const [offset, setOffset] = useState(0);
  const [open, setOpen] = useState<DifferenceRow | null>(null);
  const query = useDifferences(kind, show, search, offset);
  const columns = useMemo(() => columnsFor(mayPlan, timeZone, setOpen), [mayPlan, timeZone]);
  return (
    <div className="stack">
      <div className="row between end">
        <Choices label={phrase('fleet.show')} value={show} options={SHOWN} onChange={(next) => { setShow(next); setOffset(0); }} />
        <SearchBox label={phrase('fleet.search-accounts')} placeholder={phrase('fleet.account-number-or-name')} value={search} onChange={(next) => { setSearch(next); setOffset(0); }} />
      </div>
      <Loaded query={query} what={phrase('fleet.the-differences')}>{({ rows, total }) => (total === 0
        ? <Empty title={search ? phrase('fleet.no-account-matches-search', { search }) : show === 'unsettled' ? phrase('fleet.nothing-to-settle') : phrase('fleet.none')} action={search ? <Button onClick={() => setSearch('')}>{phrase('fleet.show-all-accounts')}</Button> : undefined}>{!search && show === 'unsettled' ? phrase('fleet.the-lists-that-were-imported-agree-or') : null}</Empty>
        : <><Table caption={phrase('fleet.differences-between-the-lists')} columns={columns} rows={rows} rowKey={(one) => one.id} /><Pager offset={offset} limit={DIFFERENCES_PER_PAGE} total={total} onMove={setOffset} what={phrase('fleet.differences')} /></>
      )}</Loaded>
      {open ? <SettleDialog difference={open} onClose={() => setOpen(null)} /> : null}
    </div>
  );
}

function columnsFor(mayPlan: boolean, timeZone: string, onSettle: (one: DifferenceRow) => void): Column<DifferenceRow>[] {
  return [
    { key: 'name', title: phrase('fleet.name'), cell: (one) => (one.siteId ? <Link to={`/sites/${one.siteId}`}>{one.siteName ?? one.name}</Link> : one.name) },
    { key: 'account', title: phrase('fleet.account-2'), cell: (one) => <span>{one.accountNumber}{one.station ? <span className="quiet"> {phrase('fleet.at-station', { station: one.station })}</span> : null}</span> },
    { key: 'kind', title: phrase('fleet.disagreement'), cell: (one) => said(DIFFERENCE_WORDS[one.kind].title) },
    { key: 'first', title: phrase('fleet.first-seen'), cell: (one) => dayShort(one.firstSeenOn), sortBy: (one) => one.firstSeenOn },
    { key: 'person', title: phrase('fleet.who-settles-it'), cell: (one) => (one.assignee ? <Tag>{one.assignee.name}</Tag> : <span className="quiet">{phrase('fleet.nobody-yet')}</span>) },
    { key: 'state', title: phrase('fleet.state'), cell: (one) => <State one={one} timeZone={timeZone} /> },
    { key: 'act', title: '', cell: (one) => (mayPlan && !one.goneOn && !one.settledAt ? <Button size="small" onClick={() => onSettle(one)}>{phrase('fleet.settle-or-assign')}</Button> : '') },
  ];
}

function State({ one, timeZone }: { one: DifferenceRow; timeZone: string }) {
  if (one.goneOn) return <Mark shape="line">{phrase('fleet.lists-agree-since-goneon', { goneOn: dayShort(one.goneOn) })}</Mark>;
  if (one.settledAt) return <span><Mark shape="half" tone="warn">{phrase('fleet.settled-still-differs')}</Mark><br /><span className="why">{one.settlement} ({one.settledBy ?? phrase('fleet.the-house')}, {dayShort(localDayAt(new Date(one.settledAt), timeZone))})</span></span>;
  return <Mark shape="empty" tone="warn">{phrase('fleet.to-settle')}</Mark>;
}
