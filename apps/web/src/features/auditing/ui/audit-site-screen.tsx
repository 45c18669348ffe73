import { routes, type ReportCheck, type ReportDeficiency, type SiteReport } from '@bellround/contracts';
import { Link, useParams } from 'react-router';
import { addressOf, isProblem } from '../../../shared/client.js';
import { dayShort, dayWords } from '../../../shared/format.js';
import { ProofStrip } from '../../../shared/pictures/proof-strip.js';
import { Empty, Loaded, Mark, Page, Section, StandingMark, Table, VerdictMark } from '../../../shared/ui/index.js';
import { useAuditedSite } from '../api/auditing.js';
import { NothingHere } from './audit-screen.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

/** One site as an auditor sees it: strips, readings, deficiencies, sources; to be saved as a paper. */
export function AuditSiteScreen() {
  const { secret = '', siteId = '' } = useParams();
  const report = useAuditedSite(secret, siteId);
  if (isProblem(report.error, 'NotFound', 'BadInput')) return <NothingHere />;
  return (
    <Loaded query={report} what={phrase('auditing.the-site')}>{(shown) => (
      <Page title={shown.site.name} lead={phrase('auditing.address-clientname-as-of-asof-by-company', { address: shown.site.address, clientName: shown.site.clientName, asOf: dayWords(shown.site.asOf), company: shown.company })}
        actions={<><Link className="button" to={`/audit/${secret}`}>{phrase('auditing.all-sites-of-this-address')}</Link><a className="button do" href={addressOf(routes.auditedReport, { secret, siteId })} download>{phrase('auditing.save-as-pdf')}</a></>}>
        <StandingMark standing={shown.site.standing} />
        <ul className="quiet">{shown.cautions.map((one) => <li key={one}>{one}</li>)}</ul>
        <Strips report={shown} />
        <Deficiencies report={shown} />
        <Checks report={shown} />
        <Sources report={shown} />
      </Page>
    )}</Loaded>
  );
}

function Strips({ report: { site } }: { report: SiteReport }) {
  const systems = [...new Set(site.duties.map((duty) => duty.systemId))];
  return (
    <Section title={phrase('auditing.proof')}>
      {systems.length === 0 ? <Empty title={phrase('auditing.no-programme-is-laid-here')}>{phrase('auditing.what-is-owed-cant-be-told')}</Empty> : null}
      {systems.map((systemId) => {
        const own = site.duties.filter((duty) => duty.systemId === systemId);
        return <div key={systemId} className="stack"><h3>{own[0]!.systemName}</h3><ProofStrip lanes={own.map((duty) => ({ title: `${duty.title}: ${duty.subject}`, windows: duty.windows, pauses: site.pauses }))} from={site.stripFrom} to={site.stripTo} today={site.asOf} /></div>;
      })}
    </Section>
  );
}

function Deficiencies({ report }: { report: SiteReport }) {
  return (
    <Section title={phrase('auditing.deficiencies')}>
      {report.deficiencies.length === 0 ? <Empty title={phrase('auditing.none-was-open-between-from-and-to', { from: dayShort(report.from), to: dayShort(report.to) })} /> : <Table<ReportDeficiency> caption={phrase('auditing.deficiencies')} rows={report.deficiencies} rowKey={(row) => row.id} columns={[
        { key: 'what', title: phrase('auditing.deficiency'), cell: (row) => `${said(row.title)}: ${row.subject}` }, { key: 'severity', title: phrase('auditing.severity'), cell: (row) => row.severity }, { key: 'raised', title: phrase('auditing.raised'), cell: (row) => dayShort(row.raisedOn) }, { key: 'due', title: phrase('auditing.due'), cell: (row) => dayShort(row.dueOn) },
        { key: 'now', title: phrase('auditing.now'), cell: (row) => (row.closedOn ? <Mark shape="whole" tone="good">{phrase('auditing.closed-closedon', { closedOn: dayShort(row.closedOn) })}</Mark> : <Mark shape="fallen" tone="bad">{row.state === 'accepted' && row.acceptedUntil ? phrase('auditing.accepted-until-accepteduntil', { acceptedUntil: dayShort(row.acceptedUntil) }) : phrase('auditing.open')}</Mark>) },
      ]} />}
    </Section>
  );
}

function Checks({ report }: { report: SiteReport }) {
  return (
    <Section title={phrase('auditing.checks-and-readings-from-to-to', { from: dayShort(report.from), to: dayShort(report.to) })}>
      {report.checksTotal > report.checks.length ? <p className="note">{phrase('auditing.the-newest-checks-of-checkstotal-are-listed', { checks: report.checks.length, checksTotal: phrase('count.check', { n: report.checksTotal }) })}</p> : null}
      {report.checks.length === 0 ? <Empty title={phrase('auditing.no-check-is-recorded-in-this-stretch')} /> : <Table<ReportCheck> caption={phrase('auditing.checks')} rows={report.checks} rowKey={(row) => row.id} columns={[
        { key: 'what', title: phrase('auditing.check'), cell: (row) => `${said(row.title)}: ${row.subject}` }, { key: 'done', title: phrase('auditing.done'), cell: (row) => <>{dayShort(row.performedOn)}{row.by ? <><br /><span className="small quiet">{row.by}</span></> : null}</> },
        { key: 'verdict', title: phrase('auditing.verdict'), cell: (row) => <><VerdictMark verdict={row.verdict} />{row.corrected ? <span className="small"> {phrase('auditing.corrected-by-a-further-check')}</span> : null}</> },
        { key: 'readings', title: phrase('auditing.readings'), cell: (row) => row.readings.map((one) => `${said(one.label)} ${one.value} ${one.unit ?? ''}`.trim()).join('; ') },
        { key: 'why', title: phrase('auditing.why-and-the-limits-source'), cell: (row) => <span className="small">{phrase('auditing.reason-value-evidence-evidence', { reason: said(row.reason), value: row.limitSource ? phrase('auditing.limit-limitsource', { limitSource: said(row.limitSource) }) : '', evidence: row.evidence })}</span> },
      ]} />}
    </Section>
  );
}

function Sources({ report }: { report: SiteReport }) {
  if (report.sources.length === 0) return null;
  return (
    <Section title={phrase('auditing.where-the-duties-come-from')}>
      <Table caption={phrase('auditing.sources')} rows={report.sources} rowKey={(row) => `${row.regime} ${row.title} ${row.clause}`} columns={[
        { key: 'duty', title: phrase('auditing.duty'), cell: (row) => said(row.title) }, { key: 'regime', title: phrase('auditing.regime'), cell: (row) => row.regime }, { key: 'clause', title: phrase('auditing.clause'), cell: (row) => row.clause }, { key: 'known', title: phrase('auditing.how-that-is-known'), cell: (row) => said(row.provenance) },
      ]} />
    </Section>
  );
}
