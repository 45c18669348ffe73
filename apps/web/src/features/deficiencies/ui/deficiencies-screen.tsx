import type { DeficiencyRow } from '@bellround/contracts';
import { useSearchParams } from 'react-router';
import { countWords, dayShort } from '../../../shared/format.js';
import { Button, Empty, Loaded, Mark, Page, Pager, SearchBox, Select, Table, Tag } from '../../../shared/ui/index.js';
import { PER_PAGE, useDeficiencies } from '../api/deficiencies.js';
import { DeficiencyDrawer } from './deficiency-drawer.js';

/** Everything found broken, soonest due first; closed only by a later passing retest or by a named acceptance. */
export function DeficienciesScreen() {
  const [params, setParams] = useSearchParams();
  const state = params.get('state') ?? 'open';
  const severity = params.get('severity') ?? '';
  const search = params.get('search') ?? '';
  const offset = Number(params.get('offset') ?? 0) || 0;
  const open = params.get('deficiency');
  const go = (change: Record<string, string | null>) => setParams((before) => {
    const next = new URLSearchParams(before);
    for (const [key, value] of Object.entries(change)) { if (!value) next.delete(key); else next.set(key, value); }
    return next;
  }, { replace: true });
  const list = useDeficiencies({ state: state as 'open', ...(severity ? { severity: severity as DeficiencyRow['severity'] } : {}), ...(search ? { search } : {}), limit: PER_PAGE, offset });
  return (
    <Page title="Deficiencies" actions={<>
      <SearchBox label="Search deficiencies" value={search} onChange={(next) => go({ search: next, offset: null })} placeholder="Site or what is broken" />
      <Select label="State" value={state} onChange={(next) => go({ state: next, offset: null })} options={['open', 'closed', 'accepted', 'all'].map((value) => ({ value, label: value }))} />
      <Select label="Severity" value={severity} onChange={(next) => go({ severity: next, offset: null })} empty="all" options={['impairment', 'critical', 'non-critical', 'observation'].map((value) => ({ value, label: value }))} /></>}>
      <Loaded query={list} what="the deficiencies">{({ rows, total, summary }) => (<>
        <div className="row">{summary.filter((one) => one.open > 0).map((one) => <Tag key={one.severity}>{one.severity}: {one.open} open, {one.overdue} overdue{one.oldestDays === null ? '' : `, oldest ${countWords(one.oldestDays, 'day')}`}</Tag>)}</div>
        {total === 0 ? <Empty title={search || severity || state !== 'open' ? 'No deficiency matches' : 'Nothing is broken'} action={search || severity || state !== 'open' ? <Button onClick={() => setParams({}, { replace: true })}>Show all that are open</Button> : undefined} /> : <>
          <Table caption="Deficiencies" rows={rows} rowKey={(row) => row.id} chosen={open} onOpen={(row) => go({ deficiency: row.id })} columns={[
            { key: 'title', title: 'Deficiency', cell: (row) => <><Button kind="bare" size="small" onClick={() => go({ deficiency: row.id })}>{row.subjectName}: {row.checkKind.replaceAll('-', ' ')}</Button><br /><span className="small">{row.siteName}</span></> },
            { key: 'what', title: 'What', cell: (row) => row.title },
            { key: 'severity', title: 'Severity', sortBy: (row) => ['impairment', 'critical', 'non-critical', 'observation'].indexOf(row.severity), cell: (row) => <Mark shape={row.severity === 'impairment' || row.severity === 'critical' ? 'fallen' : 'half'} tone={row.severity === 'impairment' ? 'bad' : row.severity === 'critical' ? 'warn' : 'plain'}>{row.severity}</Mark> },
            { key: 'due', title: 'Due', sortBy: (row) => row.dueOn, cell: (row) => (row.overdue ? <Mark shape="bracketed" tone="bad">{dayShort(row.dueOn)}, overdue</Mark> : dayShort(row.dueOn)) },
            { key: 'age', title: 'Age', align: 'end', sortBy: (row) => row.ageDays, cell: (row) => countWords(row.ageDays, 'day') },
            { key: 'state', title: 'State', cell: (row) => (row.state === 'closed' ? <Mark shape="whole" tone="good">closed by a retest</Mark> : row.state === 'accepted' ? <Mark shape="line">accepted{row.acceptedUntil ? ` until ${dayShort(row.acceptedUntil)}` : ''}</Mark> : row.visitId ? 'retest on its way' : 'no retest planned') },
          ]} /><Pager offset={offset} limit={PER_PAGE} total={total} onMove={(next) => go({ offset: String(next) })} what="deficiencies" /></>}
        {open ? <DeficiencyDrawer deficiencyId={open} onClose={() => go({ deficiency: null })} /> : null}
      </>)}</Loaded>
    </Page>
  );
}
