import type { SilentAccount, Silences } from '@bellround/contracts';
import { useState } from 'react';
import { listWords, momentWords, numberWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, Empty, Figure, LinkButton, Loaded, Mark, Page, Pager, SearchBox, Section, Select, Table } from '../../../shared/ui/index.js';
import { useSilences } from '../api/silences.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

const SPANS = [2, 7, 35, 90];
const PER_PAGE = 25;

/** Paths that do not report as they promised, without a visit: what many accounts share stands apart as the station's own. */
export function SilencesScreen() {
  const [days, setDays] = useState(35);
  const silences = useSilences(days);
  return (
    <Page title={phrase('signals.silences')} lead={phrase('signals.paths-whose-periodic-signal-did-not-come')}
      actions={<Select label={phrase('signals.looked-at')} value={String(days)} onChange={(next) => setDays(Number(next))} options={SPANS.map((one) => ({ value: String(one), label: phrase('signals.one-days', { one }) }))} />}>
      <Loaded query={silences} what={phrase('signals.the-silences')}>{(shown) => (shown.counts.paths === 0
        ? <Empty title={phrase('signals.no-path-promised-a-periodic-signal')} action={<LinkButton to="/import">{phrase('signals.import-a-fleet')}</LinkButton>}>{phrase('signals.each-paths-interval-comes-with-the-import')}</Empty>
        : <Told shown={shown} />)}</Loaded>
    </Page>
  );
}

function Told({ shown }: { shown: Silences }) {
  const { timeZone } = useMe().company;
  const when = (instant: string | null) => (instant === null ? phrase('app.cant-tell') : momentWords(instant, timeZone));
  return (<>
    <div className="grid narrow">
      <Figure look amount={numberWords(shown.silent.length)} name={shown.silent.length === 1 ? phrase('signals.account-with-a-silent-path') : phrase('signals.accounts-with-a-silent-path')} why={phrase('signals.not-explained-by-an-incident-of-the')} />
      <Figure amount={numberWords(shown.incidents.length)} name={shown.incidents.length === 1 ? phrase('signals.incident-of-the-station') : phrase('signals.incidents-of-the-station-2')} why={phrase('signals.many-accounts-of-one-receiver-silent-together')} />
      <Figure amount={numberWords(shown.unknown.length)} name={shown.unknown.length === 1 ? phrase('signals.account-cant-be-told') : phrase('signals.accounts-cant-be-told')} why={phrase('signals.never-heard-or-the-history-ended-too')} />
      <Figure amount={numberWords(shown.counts.heard)} name={phrase('signals.paths-heard-in-time')} why={phrase('signals.of-paths-that-promised-a-signal', { paths: numberWords(shown.counts.paths) })} />
    </div>
    {shown.incidents.length === 0 ? null : (
      <Section title={phrase('signals.incidents-of-the-station')}>
        {shown.incidents.map((one) => (
          <div key={`${one.receivers.join()} ${one.fromAt}`} className="note">
            <p><Mark shape="hatched" tone="warn">{phrase('signals.one-incident')}</Mark> {phrase('signals.accounts-of-ofaccounts-accounts-of-receiver-join', { accounts: one.accounts.length, ofAccounts: one.ofAccounts, join: listWords(one.receivers), when: when(one.fromAt), when2: when(one.toAt) })}</p>
            <details><summary>{phrase('count.account', { n: one.accounts.length })}</summary><p className="small">{one.accounts.map((account) => `${account.accountNumber} ${account.siteName}`).join('; ')}</p></details>
          </div>))}
      </Section>)}
    <Accounts title={phrase('signals.silent')} empty={phrase('signals.every-path-that-promised-a-signal-and')} rows={shown.silent} when={when} />
    {shown.unknown.length === 0 ? null : <Accounts title={phrase('signals.cant-tell')} empty="" rows={shown.unknown} when={when} />}
    <Section title={phrase('signals.how-far-each-history-reaches')}>
      <Table caption={phrase('signals.receivers')} rows={shown.feeds} rowKey={(row) => row.receiver} columns={[
        { key: 'receiver', title: phrase('signals.receiver'), cell: (row) => row.receiver }, { key: 'paths', title: phrase('signals.paths'), align: 'end', cell: (row) => numberWords(row.paths) },
        { key: 'until', title: phrase('signals.history-reaches-to'), cell: (row) => (row.heardUntil === null ? phrase('signals.nothing-read-cant-tell') : when(row.heardUntil)) },
      ]} />
    </Section>
    {shown.closed.length === 0 ? null : (
      <Section title={phrase('signals.gaps-that-closed-again')}>
        <Table caption={phrase('signals.gaps-that-closed-again')} rows={shown.closed.slice(0, PER_PAGE)} rowKey={(row) => `${row.pathId} ${row.fromAt}`} columns={[
          { key: 'site', title: phrase('signals.site'), cell: (row) => <LinkButton kind="bare" size="small" to={`/sites/${row.siteId}`}>{row.siteName}</LinkButton> }, { key: 'path', title: phrase('signals.path'), cell: (row) => phrase('signals.label-account-accountnumber', { label: row.label, accountNumber: row.accountNumber }) },
          { key: 'from', title: phrase('signals.from'), cell: (row) => when(row.fromAt) }, { key: 'to', title: phrase('signals.to'), cell: (row) => when(row.toAt) }, { key: 'hours', title: phrase('signals.hours'), align: 'end', cell: (row) => numberWords(row.hours, 1) },
        ]} />
        {shown.closed.length > PER_PAGE ? <p className="note">{phrase('signals.the-newest-per-page-of-closed-are', { PER_PAGE, closed: numberWords(shown.closed.length) })}</p> : null}
      </Section>)}
  </>);
}

function Accounts({ title, empty, rows, when }: { title: string; empty: string; rows: readonly SilentAccount[]; when: (instant: string | null) => string }) {
  const [search, setSearch] = useState('');
  const [offset, setOffset] = useState(0);
  const found = rows.filter((row) => `${row.accountNumber} ${row.siteName}`.toLowerCase().includes(search.trim().toLowerCase()));
  return (
    <Section title={title} actions={rows.length > 0 ? <SearchBox label={phrase('signals.search-title', { title })} value={search} onChange={(next) => { setOffset(0); setSearch(next); }} placeholder={phrase('signals.account-or-site')} /> : null}>
      {rows.length === 0 ? <p className="note">{empty}</p> : found.length === 0 ? <Empty title={phrase('signals.no-account-matches-search', { search })} action={<Button onClick={() => setSearch('')}>{phrase('signals.show-all')}</Button>} /> : (
        <><Table caption={title} rows={found.slice(offset, offset + PER_PAGE)} rowKey={(row) => row.accountId} columns={[
          { key: 'site', title: phrase('signals.site'), sortBy: (row) => row.siteName, cell: (row) => <><LinkButton kind="bare" size="small" to={`/sites/${row.siteId}`}>{row.siteName}</LinkButton><br /><span className="small quiet">{phrase('signals.account-accountnumber', { accountNumber: row.accountNumber })}</span></> },
          { key: 'words', title: phrase('signals.paths'), cell: (row) => said(row.words) },
          { key: 'each', title: phrase('signals.each-of-them'), cell: (row) => <ul className="plain">{row.paths.map((path) => <li key={path.pathId}><Mark shape={path.state === 'heard' ? 'whole' : path.state === 'silent' ? 'fallen' : 'hatched'} tone={path.state === 'heard' ? 'good' : path.state === 'silent' ? 'bad' : 'unsure'}>{path.label}</Mark> <span className="small">{path.words}{path.lastAt === null ? '' : phrase('signals.last-heard-when', { when: when(path.lastAt) })}</span></li>)}</ul> },
        ]} /><Pager offset={offset} limit={PER_PAGE} total={found.length} onMove={setOffset} what={phrase('signals.accounts')} /></>)}
    </Section>
  );
}
