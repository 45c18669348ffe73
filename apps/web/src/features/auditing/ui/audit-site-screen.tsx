import { routes, type ReportCheck, type ReportDeficiency, type SiteReport } from '@bellround/contracts';
import { Link, useParams } from 'react-router';
import { addressOf, isProblem } from '../../../shared/client.js';
import { countWords, dayShort, dayWords } from '../../../shared/format.js';
import { ProofStrip } from '../../../shared/pictures/proof-strip.js';
import { Empty, Loaded, Mark, Page, Section, StandingMark, Table, VerdictMark } from '../../../shared/ui/index.js';
import { useAuditedSite } from '../api/auditing.js';
import { NothingHere } from './audit-screen.js';

/** One site as an auditor sees it: strips, readings, deficiencies, sources; to be saved as a paper. */
export function AuditSiteScreen() {
  const { secret = '', siteId = '' } = useParams();
  const report = useAuditedSite(secret, siteId);
  if (isProblem(report.error, 'NotFound', 'BadInput')) return <NothingHere />;
  return (
    <Loaded query={report} what="the site">{(shown) => (
      <Page title={shown.site.name} lead={`${shown.site.address}; ${shown.site.clientName}; as of ${dayWords(shown.site.asOf)}, by ${shown.company}`}
        actions={<><Link className="button" to={`/audit/${secret}`}>All sites of this address</Link><a className="button do" href={addressOf(routes.auditedReport, { secret, siteId })} download>Save as PDF</a></>}>
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
    <Section title="Proof">
      {systems.length === 0 ? <Empty title="No programme is laid here">What is owed can’t be told.</Empty> : null}
      {systems.map((systemId) => {
        const own = site.duties.filter((duty) => duty.systemId === systemId);
        return <div key={systemId} className="stack"><h3>{own[0]!.systemName}</h3><ProofStrip lanes={own.map((duty) => ({ title: `${duty.title}: ${duty.subject}`, windows: duty.windows, pauses: site.pauses }))} from={site.stripFrom} to={site.stripTo} today={site.asOf} /></div>;
      })}
    </Section>
  );
}

function Deficiencies({ report }: { report: SiteReport }) {
  return (
    <Section title="Deficiencies">
      {report.deficiencies.length === 0 ? <Empty title={`None was open between ${dayShort(report.from)} and ${dayShort(report.to)}`} /> : <Table<ReportDeficiency> caption="Deficiencies" rows={report.deficiencies} rowKey={(row) => row.id} columns={[
        { key: 'what', title: 'Deficiency', cell: (row) => `${row.title}: ${row.subject}` }, { key: 'severity', title: 'Severity', cell: (row) => row.severity }, { key: 'raised', title: 'Raised', cell: (row) => dayShort(row.raisedOn) }, { key: 'due', title: 'Due', cell: (row) => dayShort(row.dueOn) },
        { key: 'now', title: 'Now', cell: (row) => (row.closedOn ? <Mark shape="whole" tone="good">closed {dayShort(row.closedOn)}</Mark> : <Mark shape="fallen" tone="bad">{row.state === 'accepted' && row.acceptedUntil ? `accepted until ${dayShort(row.acceptedUntil)}` : 'open'}</Mark>) },
      ]} />}
    </Section>
  );
}

function Checks({ report }: { report: SiteReport }) {
  return (
    <Section title={`Checks and readings, ${dayShort(report.from)} to ${dayShort(report.to)}`}>
      {report.checksTotal > report.checks.length ? <p className="note">The newest {report.checks.length} of {countWords(report.checksTotal, 'check')} are listed.</p> : null}
      {report.checks.length === 0 ? <Empty title="No check is recorded in this stretch" /> : <Table<ReportCheck> caption="Checks" rows={report.checks} rowKey={(row) => row.id} columns={[
        { key: 'what', title: 'Check', cell: (row) => `${row.title}: ${row.subject}` }, { key: 'done', title: 'Done', cell: (row) => <>{dayShort(row.performedOn)}{row.by ? <><br /><span className="small quiet">{row.by}</span></> : null}</> },
        { key: 'verdict', title: 'Verdict', cell: (row) => <><VerdictMark verdict={row.verdict} />{row.corrected ? <span className="small"> corrected by a further check</span> : null}</> },
        { key: 'readings', title: 'Readings', cell: (row) => row.readings.map((one) => `${one.label} ${one.value} ${one.unit ?? ''}`.trim()).join('; ') },
        { key: 'why', title: 'Why, and the limit’s source', cell: (row) => <span className="small">{row.reason} {row.limitSource ? `Limit: ${row.limitSource}.` : ''} Evidence {row.evidence}.</span> },
      ]} />}
    </Section>
  );
}

function Sources({ report }: { report: SiteReport }) {
  if (report.sources.length === 0) return null;
  return (
    <Section title="Where the duties come from">
      <Table caption="Sources" rows={report.sources} rowKey={(row) => `${row.regime} ${row.title} ${row.clause}`} columns={[
        { key: 'duty', title: 'Duty', cell: (row) => row.title }, { key: 'regime', title: 'Regime', cell: (row) => row.regime }, { key: 'clause', title: 'Clause', cell: (row) => row.clause }, { key: 'known', title: 'How that is known', cell: (row) => row.provenance },
      ]} />
    </Section>
  );
}
