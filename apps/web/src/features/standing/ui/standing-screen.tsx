import { STANDING_WORDS, STANDINGS, type Standing, type StandingList, type StandingRow, routes } from '@bellround/contracts';
import { useSearchParams } from 'react-router';
import { addressOf } from '../../../shared/client.js';
import { countWords, dayShort, dayWords, todayIn } from '../../../shared/format.js';
import { ProofStrip } from '../../../shared/pictures/proof-strip.js';
import { useMe } from '../../../shared/session.js';
import { Button, DateField, Empty, LinkButton, Loaded, Mark, Page, Pager, SearchBox, StandingMark, Table } from '../../../shared/ui/index.js';
import { SITES_PER_PAGE, useStanding } from '../api/standing.js';
import { OnTimeSection } from './on-time-section.js';

/** Which sites were proven, and which not: missing first, on any day. Everything shown is in the address, so it can be shared. */
export function StandingScreen() {
  const today = todayIn(useMe().company.timeZone);
  const [params, setParams] = useSearchParams();
  const asOf = params.get('asOf');
  const standing = STANDINGS.find((one) => one === params.get('standing')) ?? null;
  const search = params.get('search') ?? '';
  const offset = Number(params.get('offset') ?? 0) || 0;
  const go = (change: Record<string, string | null>) => setParams((before) => {
    const next = new URLSearchParams(before);
    for (const [key, value] of Object.entries({ offset: null, ...change })) { if (!value) next.delete(key); else next.set(key, value); }
    return next;
  }, { replace: true });
  const filters = { ...(asOf ? { asOf } : {}), ...(standing ? { standing } : {}), ...(search ? { search } : {}) };
  const list = useStanding({ ...filters, limit: SITES_PER_PAGE, offset });
  return (
    <Page title="Standing" lead={asOf ? `As of ${dayWords(asOf)}` : 'Today, missing proof first'} actions={<>
      <SearchBox label="Search sites" value={search} onChange={(next) => go({ search: next })} placeholder="Site, client or key" />
      <DateField label="As of" value={asOf ?? today} max={today} onChange={(day) => go({ asOf: day === today ? null : day })} /></>}>
      <Loaded query={list} what="the standing">{(shown) => (<>
        <Counts list={shown} chosen={standing} onChoose={(one) => go({ standing: one === standing ? null : one })} />
        <div className="row">
          <a className="button small" href={addressOf(routes.standingCsv, filters)} download>Export as CSV</a>
          <LinkButton size="small" to="/overdue">Overdue duties</LinkButton>
          {standing || search || asOf ? <Button size="small" kind="bare" onClick={() => go({ standing: null, search: null, asOf: null })}>Show everything, today</Button> : null}
        </div>
        {shown.total === 0 ? <Empty title={standing || search ? 'No site matches' : 'There are no sites yet'} action={standing || search ? undefined : <LinkButton kind="do" to="/import">Import a fleet</LinkButton>}>{standing ? STANDING_WORDS[standing].means : null}</Empty>
          : <><SiteTable list={shown} /><Pager offset={offset} limit={SITES_PER_PAGE} total={shown.total} onMove={(next) => go({ offset: String(next) })} what="sites" /></>}
      </>)}</Loaded>
      <OnTimeSection asOf={asOf} />
    </Page>
  );
}

function Counts({ list, chosen, onChoose }: { list: StandingList; chosen: Standing | null; onChoose: (standing: Standing) => void }) {
  const { counts } = list;
  const of: Record<Standing, number> = { lapsed: counts.lapsed, 'cant-tell': counts.cantTell, late: counts.late, open: counts.open, proven: counts.proven, 'not-owed': counts.notOwed };
  return (
    <div className="row" role="group" aria-label="Sites by standing; each is a filter">
      {STANDINGS.map((one) => (
        <button key={one} type="button" className={`button${chosen === one ? ' chosen' : ''}`} aria-pressed={chosen === one} title={STANDING_WORDS[one].means} onClick={() => onChoose(one)}>
          <StandingMark standing={one} word={<><strong>{of[one]}</strong> {STANDING_WORDS[one].title.toLowerCase()}</>} />
        </button>
      ))}
    </div>
  );
}

function SiteTable({ list }: { list: StandingList }) {
  return (
    <Table<StandingRow> caption={`Sites as of ${dayWords(list.asOf)}`} rows={list.rows} rowKey={(row) => row.siteId} columns={[
      { key: 'site', title: 'Site', width: '22%', cell: (row) => <><LinkButton kind="bare" size="small" to={`/sites/${row.siteId}${list.asOf === list.today ? '' : `?asOf=${list.asOf}`}`}>{row.name}</LinkButton><br /><span className="small quiet">{row.clientName}</span></> },
      { key: 'standing', title: 'Standing', width: '18%', cell: (row) => <span className="stack"><StandingMark standing={row.standing} />{row.standing === 'proven' ? null : <span className="small">{missing(row)}</span>}{row.openDeficiencies > 0 ? <Mark shape="fallen" tone="bad">{countWords(row.openDeficiencies, 'open deficiency', 'open deficiencies')}</Mark> : null}</span> },
      { key: 'strip', title: `Proof strip, ${dayShort(list.stripFrom)} to ${dayShort(list.stripTo)}`, cell: (row) => (row.lanes.length > 0 ? <ProofStrip dense lanes={row.lanes} from={list.stripFrom} to={list.stripTo} today={list.asOf} /> : <span className="quiet">no duties: no programme is laid on its systems</span>) },
      { key: 'next', title: 'Next lapse', width: '11%', cell: (row) => (row.nextLapses ? dayShort(row.nextLapses) : '') },
    ]} />
  );
}

function missing(row: StandingRow): string {
  const parts = [[row.lapsed, 'lapsed'], [row.cantTell, 'can’t be told'], [row.late, 'late'], [row.open, 'open']] as const;
  return `${parts.filter(([n]) => n > 0).map(([n, word]) => `${n} ${word}`).join(', ')} of ${countWords(row.duties, 'duty', 'duties')}`;
}
