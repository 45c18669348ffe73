import type { AuditedSite } from '@bellround/contracts';
import { Link, useParams } from 'react-router';
import { dayShort, dayWords, momentWords } from '../../../shared/format.js';
import { DenseStrip } from '../../../shared/pictures/dense-strip.js';
import { isProblem } from '../../../shared/client.js';
import { Empty, Loaded, Mark, Page, StandingMark, Table } from '../../../shared/ui/index.js';
import { useAuditedSites } from '../api/auditing.js';
import { phrase } from '../../../shared/language/index.js';

/** What an auditor's address opens: its sites, missing proof first. */
export function AuditScreen() {
  const { secret = '' } = useParams();
  const sites = useAuditedSites(secret);
  if (isProblem(sites.error, 'NotFound', 'BadInput')) return <NothingHere />;
  return (
    <Loaded query={sites} what={phrase('auditing.the-sites')}>{(shown) => (
      <Page title={phrase('auditing.proof-of-rows', { rows: phrase('count.site', { n: shown.rows.length }) })} lead={phrase('auditing.company-for-forwhom-as-of-asof-open', { company: shown.company, forWhom: shown.forWhom, asOf: dayWords(shown.asOf), expiresAt: momentWords(shown.expiresAt, shown.timeZone) })}>
        {shown.rows.length === 0 ? <Empty title={phrase('auditing.none-of-the-named-sites-is-in')} /> : <Table<AuditedSite> caption={phrase('auditing.sites-as-of-asof', { asOf: dayWords(shown.asOf) })} rows={shown.rows} rowKey={(row) => row.siteId} columns={[
          { key: 'site', title: phrase('auditing.site'), width: '24%', cell: (row) => <><Link to={`/audit/${secret}/sites/${row.siteId}`}>{row.name}</Link><br /><span className="small quiet">{row.address}</span></> },
          { key: 'standing', title: phrase('auditing.standing'), width: '20%', cell: (row) => <span className="stack"><StandingMark standing={row.standing} /><span className="small">{wordsOf(row)}</span>{row.openDeficiencies > 0 ? <Mark shape="fallen" tone="bad">{phrase('count.open-deficiency', { n: row.openDeficiencies })}</Mark> : null}</span> },
          { key: 'strip', title: phrase('auditing.proof-strip-stripfrom-to-stripto', { stripFrom: dayShort(shown.stripFrom), stripTo: dayShort(shown.stripTo) }), cell: (row) => (row.lanes.length > 0 ? <DenseStrip lanes={row.lanes} from={shown.stripFrom} to={shown.stripTo} today={shown.asOf} most={6} /> : <span className="quiet">{phrase('auditing.no-duties-it-cant-be-told')}</span>) },
          { key: 'next', title: phrase('auditing.next-lapse'), width: '11%', cell: (row) => (row.nextLapses === null ? '' : row.nextLapses < shown.asOf ? phrase('auditing.missing-since-nextlapses', { nextLapses: dayShort(row.nextLapses) }) : dayShort(row.nextLapses)) },
        ]} />}
      </Page>
    )}</Loaded>
  );
}

function wordsOf(row: AuditedSite): string {
  const parts = [[row.lapsed, 'lapsed'], [row.cantTell, phrase('auditing.cant-be-told')], [row.late, 'late'], [row.open, 'open'], [row.proven, 'proven']] as const;
  return phrase('auditing.join-of-duties', { join: parts.filter(([n]) => n > 0).map(([n, word]) => `${n} ${word}`).join(', '), duties: phrase('count.duty', { n: row.duties }) });
}

/** Said of an address that is over, revoked, or never was: all alike. */
export function NothingHere() {
  return <Page title={phrase('auditing.nothing-at-this-address')} slim><Empty title={phrase('auditing.there-is-nothing-at-this-address')}>{phrase('auditing.it-may-be-over-or-mistyped-ask')}</Empty></Page>;
}
