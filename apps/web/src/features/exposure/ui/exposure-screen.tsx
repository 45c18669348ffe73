import { useState } from 'react';
import { dayWords, numberWords } from '../../../shared/format.js';
import { Button, Empty, Facts, LinkButton, Loaded, Page, Pager, SearchBox, Section, Table } from '../../../shared/ui/index.js';
import { SITES_PER_PAGE, useExposure, useRiskModel } from '../api/exposure.js';

/** Where an alarm is least likely to get through, and why. */
export function ExposureScreen() {
  const [search, setSearch] = useState('');
  const [offset, setOffset] = useState(0);
  const sites = useExposure(search, offset);
  const model = useRiskModel();
  return (
    <Page title="Look here first" lead="Exposure: the expected hours in which an alarm would not get through. What is unknown counts on the bad side." actions={<SearchBox label="Search sites" value={search} onChange={(next) => { setSearch(next); setOffset(0); }} placeholder="Site or town" />}>
      <Loaded query={sites} what="the sites">{({ rows, total }) => (total === 0
        ? <Empty title={search ? `No site matches '${search}'` : 'Nothing is scored yet'} action={search ? <Button onClick={() => setSearch('')}>Show all</Button> : <LinkButton to="/import">Import a fleet</LinkButton>}>{search ? null : 'Sites are scored after an import and every night.'}</Empty>
        : <><Table caption="Sites by exposure" rows={rows} rowKey={(row) => row.siteId} columns={[
          { key: 'site', title: 'Site', cell: (row) => <LinkButton kind="bare" size="small" to={`/sites/${row.siteId}`}>{row.siteName}</LinkButton> },
          { key: 'score', title: 'Score', align: 'end', sortBy: (row) => row.score, cell: (row) => numberWords(row.score, 0) },
          { key: 'hours', title: 'Hours a year', align: 'end', sortBy: (row) => row.exposurePerYearH, cell: (row) => numberWords(row.exposurePerYearH, 1) },
          { key: 'why', title: 'Why', cell: (row) => (row.reasons.length > 0 ? <ul>{row.reasons.map((reason) => <li key={reason}>{reason}</li>)}</ul> : '') },
          { key: 'missing', title: 'Can’t tell', cell: (row) => (row.missing.length > 0 ? <details><summary>{row.missing.length} values unknown</summary><ul>{row.missing.map((one) => <li key={one}>{one}</li>)}</ul></details> : '') },
        ]} /><Pager offset={offset} limit={SITES_PER_PAGE} total={total} onMove={setOffset} what="sites" /></>)}</Loaded>
      <Section title="What the scores rest on">
        <Loaded query={model} what="the failure rates">{(shown) => (shown === null ? <Empty title="No rates are fitted yet">Until then the published starting rules are used.</Empty> : <>
          <Facts of={[['Fitted to', shown.fromDay ? `${dayWords(shown.fromDay)} to ${dayWords(shown.toDay)}` : `history until ${dayWords(shown.toDay)}`], ['Batteries', `mean life ${numberWords(shown.battery.meanYears, 1)} years at 25 °C; ${shown.battery.source}, ${shown.battery.lives} lives of which ${shown.battery.failed} failed`]]} />
          <Table caption="Failure rates by class" rows={shown.classes} rowKey={(row) => row.class} columns={[
            { key: 'class', title: 'Class', cell: (row) => row.class.replaceAll('-', ' ') },
            { key: 'mean', title: 'Failures a year', align: 'end', sortBy: (row) => row.meanPerYear, cell: (row) => numberWords(row.meanPerYear, 3) },
            { key: 'range', title: '95 % lie between', align: 'end', cell: (row) => `${numberWords(row.lowPerYear, 3)} and ${numberWords(row.highPerYear, 3)}` },
            { key: 'seen', title: 'Seen', cell: (row) => `${row.failures} failures in ${numberWords(row.yearsInService, 0)} years of ${row.components} components` },
            { key: 'source', title: 'Where it comes from', cell: (row) => <>{row.source}<br /><span className="small quiet">{row.rule}</span></> },
          ]} />
        </>)}</Loaded>
      </Section>
    </Page>
  );
}
