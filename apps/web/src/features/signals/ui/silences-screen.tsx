import type { SilentAccount, Silences } from '@bellround/contracts';
import { useState } from 'react';
import { countWords, momentWords, numberWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, Empty, Figure, LinkButton, Loaded, Mark, Page, Pager, SearchBox, Section, Select, Table } from '../../../shared/ui/index.js';
import { useSilences } from '../api/silences.js';

const SPANS = [2, 7, 35, 90];
const PER_PAGE = 25;

/** Paths that do not report as they promised, without a visit: what many accounts share stands apart as the station's own. */
export function SilencesScreen() {
  const [days, setDays] = useState(35);
  const silences = useSilences(days);
  return (
    <Page title="Silences" lead="Paths whose periodic signal did not come as promised, from the station’s history or the listener. Arrival is confirmed here; nobody is dispatched, and a history that ended says nothing."
      actions={<Select label="Looked at" value={String(days)} onChange={(next) => setDays(Number(next))} options={SPANS.map((one) => ({ value: String(one), label: `${one} days` }))} />}>
      <Loaded query={silences} what="the silences">{(shown) => (shown.counts.paths === 0
        ? <Empty title="No path promised a periodic signal" action={<LinkButton to="/import">Import a fleet</LinkButton>}>Each path’s interval comes with the import of the fleet; without it silence can’t be told.</Empty>
        : <Told shown={shown} />)}</Loaded>
    </Page>
  );
}

function Told({ shown }: { shown: Silences }) {
  const { timeZone } = useMe().company;
  const when = (instant: string | null) => (instant === null ? 'can’t tell' : momentWords(instant, timeZone));
  return (<>
    <div className="grid narrow">
      <Figure look amount={numberWords(shown.silent.length)} name={shown.silent.length === 1 ? 'account with a silent path' : 'accounts with a silent path'} why="not explained by an incident of the station" />
      <Figure amount={numberWords(shown.incidents.length)} name={shown.incidents.length === 1 ? 'incident of the station' : 'incidents of the station'} why="many accounts of one receiver silent together" />
      <Figure amount={numberWords(shown.unknown.length)} name={shown.unknown.length === 1 ? 'account can’t be told' : 'accounts can’t be told'} why="never heard, or the history ended too long ago" />
      <Figure amount={numberWords(shown.counts.heard)} name="paths heard in time" why={`of ${numberWords(shown.counts.paths)} that promised a signal`} />
    </div>
    {shown.incidents.length === 0 ? null : (
      <Section title="Incidents of the station">
        {shown.incidents.map((one) => (
          <div key={`${one.receivers.join()} ${one.fromAt}`} className="note">
            <p><Mark shape="hatched" tone="warn">one incident</Mark> {one.accounts.length} of {one.ofAccounts} accounts of receiver {one.receivers.join(' and ')} silent together from {when(one.fromAt)} to {when(one.toAt)}: look at the station, not at the sites.</p>
            <details><summary>{countWords(one.accounts.length, 'account')}</summary><p className="small">{one.accounts.map((account) => `${account.accountNumber} ${account.siteName}`).join('; ')}</p></details>
          </div>))}
      </Section>)}
    <Accounts title="Silent" empty="Every path that promised a signal and has a history was heard in time." rows={shown.silent} when={when} />
    {shown.unknown.length === 0 ? null : <Accounts title="Can’t tell" empty="" rows={shown.unknown} when={when} />}
    <Section title="How far each history reaches">
      <Table caption="Receivers" rows={shown.feeds} rowKey={(row) => row.receiver} columns={[
        { key: 'receiver', title: 'Receiver', cell: (row) => row.receiver }, { key: 'paths', title: 'Paths', align: 'end', cell: (row) => numberWords(row.paths) },
        { key: 'until', title: 'History reaches to', cell: (row) => (row.heardUntil === null ? 'nothing read: can’t tell' : when(row.heardUntil)) },
      ]} />
    </Section>
    {shown.closed.length === 0 ? null : (
      <Section title="Gaps that closed again">
        <Table caption="Gaps that closed again" rows={shown.closed.slice(0, PER_PAGE)} rowKey={(row) => `${row.pathId} ${row.fromAt}`} columns={[
          { key: 'site', title: 'Site', cell: (row) => <LinkButton kind="bare" size="small" to={`/sites/${row.siteId}`}>{row.siteName}</LinkButton> }, { key: 'path', title: 'Path', cell: (row) => `${row.label}, account ${row.accountNumber}` },
          { key: 'from', title: 'From', cell: (row) => when(row.fromAt) }, { key: 'to', title: 'To', cell: (row) => when(row.toAt) }, { key: 'hours', title: 'Hours', align: 'end', cell: (row) => numberWords(row.hours, 1) },
        ]} />
        {shown.closed.length > PER_PAGE ? <p className="note">The newest {PER_PAGE} of {numberWords(shown.closed.length)} are listed.</p> : null}
      </Section>)}
  </>);
}

function Accounts({ title, empty, rows, when }: { title: string; empty: string; rows: readonly SilentAccount[]; when: (instant: string | null) => string }) {
  const [search, setSearch] = useState('');
  const [offset, setOffset] = useState(0);
  const found = rows.filter((row) => `${row.accountNumber} ${row.siteName}`.toLowerCase().includes(search.trim().toLowerCase()));
  return (
    <Section title={title} actions={rows.length > 0 ? <SearchBox label={`Search: ${title}`} value={search} onChange={(next) => { setOffset(0); setSearch(next); }} placeholder="Account or site" /> : null}>
      {rows.length === 0 ? <p className="note">{empty}</p> : found.length === 0 ? <Empty title={`No account matches ‘${search}’`} action={<Button onClick={() => setSearch('')}>Show all</Button>} /> : (
        <><Table caption={title} rows={found.slice(offset, offset + PER_PAGE)} rowKey={(row) => row.accountId} columns={[
          { key: 'site', title: 'Site', sortBy: (row) => row.siteName, cell: (row) => <><LinkButton kind="bare" size="small" to={`/sites/${row.siteId}`}>{row.siteName}</LinkButton><br /><span className="small quiet">account {row.accountNumber}</span></> },
          { key: 'words', title: 'Paths', cell: (row) => row.words },
          { key: 'each', title: 'Each of them', cell: (row) => <ul className="plain">{row.paths.map((path) => <li key={path.pathId}><Mark shape={path.state === 'heard' ? 'whole' : path.state === 'silent' ? 'fallen' : 'hatched'} tone={path.state === 'heard' ? 'good' : path.state === 'silent' ? 'bad' : 'unsure'}>{path.label}</Mark> <span className="small">{path.words}{path.lastAt === null ? '' : ` Last heard ${when(path.lastAt)}.`}</span></li>)}</ul> },
        ]} /><Pager offset={offset} limit={PER_PAGE} total={found.length} onMove={setOffset} what="accounts" /></>)}
    </Section>
  );
}
