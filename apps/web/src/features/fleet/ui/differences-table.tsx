import { DIFFERENCE_WORDS, type DifferenceKind, type DifferenceRow } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { Link } from 'react-router';
import { dayShort, localDayAt } from '../../../shared/format.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, Choices, type Column, Empty, Loaded, Mark, Pager, SearchBox, Table, Tag } from '../../../shared/ui/index.js';
import { DIFFERENCES_PER_PAGE, type Shown, useDifferences } from '../api/lists.js';
import { SettleDialog } from './settle-dialog.js';

const SHOWN: { value: Shown; label: string }[] = [{ value: 'unsettled', label: 'to settle' }, { value: 'settled', label: 'settled, lists still differ' }, { value: 'gone', label: 'gone' }, { value: 'all', label: 'all' }];

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
        <Choices label="Show" value={show} options={SHOWN} onChange={(next) => { setShow(next); setOffset(0); }} />
        <SearchBox label="Search accounts" placeholder="Account number or name" value={search} onChange={(next) => { setSearch(next); setOffset(0); }} />
      </div>
      <Loaded query={query} what="the differences">{({ rows, total }) => (total === 0
        ? <Empty title={search ? `No account matches '${search}'` : show === 'unsettled' ? 'Nothing to settle' : 'None'} action={search ? <Button onClick={() => setSearch('')}>Show all accounts</Button> : undefined}>{!search && show === 'unsettled' ? 'The lists that were imported agree, or every difference was settled.' : null}</Empty>
        : <><Table caption="Differences between the lists" columns={columns} rows={rows} rowKey={(one) => one.id} /><Pager offset={offset} limit={DIFFERENCES_PER_PAGE} total={total} onMove={setOffset} what="differences" /></>
      )}</Loaded>
      {open ? <SettleDialog difference={open} onClose={() => setOpen(null)} /> : null}
    </div>
  );
}

function columnsFor(mayPlan: boolean, timeZone: string, onSettle: (one: DifferenceRow) => void): Column<DifferenceRow>[] {
  return [
    { key: 'name', title: 'Name', cell: (one) => (one.siteId ? <Link to={`/sites/${one.siteId}`}>{one.siteName ?? one.name}</Link> : one.name) },
    { key: 'account', title: 'Account', cell: (one) => <span>{one.accountNumber}{one.station ? <span className="quiet"> at {one.station}</span> : null}</span> },
    { key: 'kind', title: 'Disagreement', cell: (one) => DIFFERENCE_WORDS[one.kind].title },
    { key: 'first', title: 'First seen', cell: (one) => dayShort(one.firstSeenOn), sortBy: (one) => one.firstSeenOn },
    { key: 'person', title: 'Who settles it', cell: (one) => (one.assignee ? <Tag>{one.assignee.name}</Tag> : <span className="quiet">nobody yet</span>) },
    { key: 'state', title: 'State', cell: (one) => <State one={one} timeZone={timeZone} /> },
    { key: 'act', title: '', cell: (one) => (mayPlan && !one.goneOn && !one.settledAt ? <Button size="small" onClick={() => onSettle(one)}>Settle or assign</Button> : '') },
  ];
}

function State({ one, timeZone }: { one: DifferenceRow; timeZone: string }) {
  if (one.goneOn) return <Mark shape="line">lists agree since {dayShort(one.goneOn)}</Mark>;
  if (one.settledAt) return <span><Mark shape="half" tone="warn">settled, still differs</Mark><br /><span className="why">{one.settlement} ({one.settledBy ?? 'the house'}, {dayShort(localDayAt(new Date(one.settledAt), timeZone))})</span></span>;
  return <Mark shape="empty" tone="warn">to settle</Mark>;
}
