import type { AuditedSite } from '@bellround/contracts';
import { Link, useParams } from 'react-router';
import { countWords, dayShort, dayWords, momentWords } from '../../../shared/format.js';
import { DenseStrip } from '../../../shared/pictures/dense-strip.js';
import { isProblem } from '../../../shared/client.js';
import { Empty, Loaded, Mark, Page, StandingMark, Table } from '../../../shared/ui/index.js';
import { useAuditedSites } from '../api/auditing.js';

/** What an auditor's address opens: its sites, missing proof first. */
export function AuditScreen() {
  const { secret = '' } = useParams();
  const sites = useAuditedSites(secret);
  if (isProblem(sites.error, 'NotFound', 'BadInput')) return <NothingHere />;
  return (
    <Loaded query={sites} what="the sites">{(shown) => (
      <Page title={`Proof of ${countWords(shown.rows.length, 'site')}`} lead={`${shown.company}, for ${shown.forWhom}; as of ${dayWords(shown.asOf)}. Open until ${momentWords(shown.expiresAt, shown.timeZone)}.`}>
        {shown.rows.length === 0 ? <Empty title="None of the named sites is in service on this day" /> : <Table<AuditedSite> caption={`Sites as of ${dayWords(shown.asOf)}`} rows={shown.rows} rowKey={(row) => row.siteId} columns={[
          { key: 'site', title: 'Site', width: '24%', cell: (row) => <><Link to={`/audit/${secret}/sites/${row.siteId}`}>{row.name}</Link><br /><span className="small quiet">{row.address}</span></> },
          { key: 'standing', title: 'Standing', width: '20%', cell: (row) => <span className="stack"><StandingMark standing={row.standing} /><span className="small">{wordsOf(row)}</span>{row.openDeficiencies > 0 ? <Mark shape="fallen" tone="bad">{countWords(row.openDeficiencies, 'open deficiency', 'open deficiencies')}</Mark> : null}</span> },
          { key: 'strip', title: `Proof strip, ${dayShort(shown.stripFrom)} to ${dayShort(shown.stripTo)}`, cell: (row) => (row.lanes.length > 0 ? <DenseStrip lanes={row.lanes} from={shown.stripFrom} to={shown.stripTo} today={shown.asOf} most={6} /> : <span className="quiet">no duties: it can’t be told</span>) },
          { key: 'next', title: 'Next lapse', width: '11%', cell: (row) => (row.nextLapses === null ? '' : row.nextLapses < shown.asOf ? `missing since ${dayShort(row.nextLapses)}` : dayShort(row.nextLapses)) },
        ]} />}
      </Page>
    )}</Loaded>
  );
}

function wordsOf(row: AuditedSite): string {
  const parts = [[row.lapsed, 'lapsed'], [row.cantTell, 'can’t be told'], [row.late, 'late'], [row.open, 'open'], [row.proven, 'proven']] as const;
  return `${parts.filter(([n]) => n > 0).map(([n, word]) => `${n} ${word}`).join(', ')} of ${countWords(row.duties, 'duty', 'duties')}`;
}

/** Said of an address that is over, revoked, or never was: all alike. */
export function NothingHere() {
  return <Page title="Nothing at this address" slim><Empty title="There is nothing at this address">It may be over, or mistyped. Ask whoever gave it to you for a new one.</Empty></Page>;
}
