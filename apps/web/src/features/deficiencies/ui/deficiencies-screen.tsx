import type { DeficiencyRow } from '@bellround/contracts';
import { useSearchParams } from 'react-router';
import { dayShort } from '../../../shared/format.js';
import { Button, Empty, Loaded, Mark, Page, Pager, SearchBox, Select, Table, Tag } from '../../../shared/ui/index.js';
import { PER_PAGE, useDeficiencies } from '../api/deficiencies.js';
import { useMe } from '../../../shared/session.js';
import { DeficiencyDrawer } from './deficiency-drawer.js';
import { Clock, Meanwhile } from './meanwhile.js';
import { phrase } from '../../../shared/language/index.js';
import { SEVERITY } from '../../../shared/words.js';
import { checkWord } from '../../../shared/check-words.js';
import { said } from '../../../shared/language/said.js';

/** Everything found broken, soonest due first; closed only by a later passing retest or by a named acceptance. */
export function DeficienciesScreen() {
  const zone = useMe().company.timeZone;
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
    <Page title={phrase('deficiencies.deficiencies')} actions={<>
      <SearchBox label={phrase('deficiencies.search-deficiencies')} value={search} onChange={(next) => go({ search: next, offset: null })} placeholder={phrase('deficiencies.site-or-what-is-broken')} />
      <Select label={phrase('deficiencies.state')} value={state} onChange={(next) => go({ state: next, offset: null })} options={[{ value: 'open', label: phrase('deficiencies.state-open') }, { value: 'closed', label: phrase('deficiencies.state-closed') }, { value: 'accepted', label: phrase('deficiencies.state-accepted') }, { value: 'all', label: phrase('app.all') }]} />
      <Select label={phrase('deficiencies.severity')} value={severity} onChange={(next) => go({ severity: next, offset: null })} empty={phrase('app.all')} options={(['impairment', 'critical', 'non-critical', 'observation'] as const).map((value) => ({ value, label: SEVERITY[value] }))} /></>}>
      <Loaded query={list} what={phrase('deficiencies.the-deficiencies')}>{({ rows, total, summary }) => (<>
        <div className="row">{summary.filter((one) => one.open > 0).map((one) => <Tag key={one.severity}>{phrase('deficiencies.severity-open-open-overdue-overdue-value', { severity: SEVERITY[one.severity], open: one.open, overdue: one.overdue, value: one.oldestDays === null ? '' : phrase('deficiencies.oldest-oldestdays', { oldestDays: phrase('count.day', { n: one.oldestDays }) }) })}</Tag>)}</div>
        {total === 0 ? <Empty title={search || severity || state !== 'open' ? phrase('deficiencies.no-deficiency-matches') : phrase('deficiencies.no-deficiency-is-open')} action={search || severity || state !== 'open' ? <Button onClick={() => setParams({}, { replace: true })}>{phrase('deficiencies.show-all-that-are-open')}</Button> : undefined}>{search || severity || state !== 'open' ? null : phrase('deficiencies.a-check-that-fails-raises-one')}</Empty> : <>
          <Table caption={phrase('deficiencies.deficiencies')} rows={rows} rowKey={(row) => row.id} chosen={open} onOpen={(row) => go({ deficiency: row.id })} columns={[
            { key: 'title', title: phrase('deficiencies.deficiency'), cell: (row) => <><Button kind="bare" size="small" onClick={() => go({ deficiency: row.id })}>{row.subjectName}: {checkWord(row.checkKind)}</Button><br /><span className="small">{row.siteName}</span></> },
            { key: 'what', title: phrase('deficiencies.what'), cell: (row) => said(row.title) },
            { key: 'severity', title: phrase('deficiencies.severity'), sortBy: (row) => ['impairment', 'critical', 'non-critical', 'observation'].indexOf(row.severity), cell: (row) => <Mark shape={row.severity === 'impairment' || row.severity === 'critical' ? 'fallen' : 'half'} tone={row.severity === 'impairment' ? 'bad' : row.severity === 'critical' ? 'warn' : 'plain'}>{SEVERITY[row.severity]}</Mark> },
            { key: 'due', title: phrase('deficiencies.due'), sortBy: (row) => row.dueOn, cell: (row) => (row.overdue ? <Mark shape="bracketed" tone="bad">{phrase('deficiencies.dueon-overdue', { dueOn: dayShort(row.dueOn) })}</Mark> : dayShort(row.dueOn)) },
            { key: 'age', title: phrase('deficiencies.age'), align: 'end', sortBy: (row) => row.ageDays, cell: (row) => phrase('count.day', { n: row.ageDays }) },
            { key: 'state', title: phrase('deficiencies.state'), cell: (row) => <>{row.state === 'closed' ? <Mark shape="whole" tone="good">{phrase('deficiencies.closed-by-a-retest')}</Mark> : row.state === 'accepted' ? <Mark shape="line">{phrase('deficiencies.accepted-value', { value: row.acceptedUntil ? phrase('deficiencies.until-accepteduntil', { acceptedUntil: dayShort(row.acceptedUntil) }) : '' })}</Mark> : row.visitId ? phrase('deficiencies.retest-on-its-way') : phrase('deficiencies.no-retest-planned')}{row.clock ? <p><Clock clock={row.clock} zone={zone} /></p> : null}{row.interim ? <p><Meanwhile interim={row.interim} zone={zone} /></p> : null}{row.photos > 0 ? <p className="small quiet">{phrase('deficiencies.n-pictures', { n: row.photos })}</p> : null}</> },
          ]} /><Pager offset={offset} limit={PER_PAGE} total={total} onMove={(next) => go({ offset: String(next) })} what={phrase('deficiencies.deficiencies-2')} /></>}
        {open ? <DeficiencyDrawer deficiencyId={open} onClose={() => go({ deficiency: null })} /> : null}
      </>)}</Loaded>
    </Page>
  );
}
