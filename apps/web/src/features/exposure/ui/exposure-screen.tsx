import { CAUSE_WORDS } from '@bellround/contracts';
import { useState } from 'react';
import { useSearchParams } from 'react-router';
import { numberWords } from '../../../shared/format.js';
import { Button, Empty, LinkButton, Loaded, Page, Pager, SearchBox, Select, Table } from '../../../shared/ui/index.js';
import { type CauseKey, SITES_PER_PAGE, useExposure } from '../api/exposure.js';
import { fleetWords, hoursWords, shareWords } from './exposure-words.js';

/** Where an alarm is least likely to get through, and why. */
export function ExposureScreen() {
  const [params, setParams] = useSearchParams();
  const search = params.get('search') ?? '';
  const cause = params.get('cause') as CauseKey | null;
  const [offset, setOffset] = useState(0);
  const go = (change: Record<string, string>) => {
    setOffset(0);
    setParams((before) => {
      const next = new URLSearchParams(before);
      for (const [key, value] of Object.entries(change)) { if (value === '') next.delete(key); else next.set(key, value); }
      return next;
    }, { replace: true });
  };
  const sites = useExposure(search, cause, offset);
  return (
    <Page title="Look here first" lead="Exposure: the expected hours in which an alarm would not get through. What is unknown counts on the bad side. It is an estimate that moves no mandated duty; local codes and licensed practice prevail."
      actions={<><LinkButton to="/batteries">Battery forecast</LinkButton><LinkButton to="/risk-model">What the scores rest on</LinkButton></>}>
      <Loaded query={sites} what="the sites">{({ rows, total, causes }) => (<>
        <div className="row end">
          <SearchBox label="Search sites" value={search} onChange={(next) => go({ search: next })} placeholder="Site or town" />
          <Select label="First cause" value={cause ?? ''} onChange={(next) => go({ cause: next })} empty="any cause" options={causes.map((one) => ({ value: one.cause, label: `${CAUSE_WORDS[one.cause]} (${numberWords(one.sites)})` }))} />
        </div>
        {total === 0
          ? <Empty title={search || cause ? 'No site matches' : 'Nothing is scored yet'} action={search || cause ? <Button onClick={() => go({ search: '', cause: '' })}>Show all sites</Button> : <LinkButton to="/import">Import a fleet</LinkButton>}>{search || cause ? null : 'Sites are scored after an import and every night.'}</Empty>
          : <><Table caption="Sites by exposure, most exposed first" rows={rows} rowKey={(row) => row.siteId} columns={[
            { key: 'site', title: 'Site', cell: (row) => <><LinkButton kind="bare" size="small" to={`/sites/${row.siteId}`}>{row.siteName}</LinkButton>{row.locality ? <span className="small quiet"> {row.locality}</span> : null}</> },
            { key: 'score', title: 'Score', align: 'end', cell: (row) => <span><strong>{numberWords(row.score, 0)}</strong>{row.percentile === null ? null : <span className="small quiet"> above {fleetWords(row.percentile)} of the fleet</span>}</span> },
            { key: 'hours', title: 'Hours a year', align: 'end', cell: (row) => hoursWords(row.exposurePerYearH) },
            { key: 'cause', title: 'First cause', cell: (row) => (row.mainCause === null ? '' : `${CAUSE_WORDS[row.mainCause]} (${shareWords(row.mainShare)})`) },
            { key: 'why', title: 'Why', cell: (row) => (row.reasons.length > 0 ? <ul>{row.reasons.map((reason) => <li key={reason}>{reason}</li>)}</ul> : '') },
            { key: 'missing', title: 'Can’t tell', width: '9rem', cell: (row) => (row.missingCount > 0 ? <details><summary>{row.missingCount} unknown</summary><ul>{row.missing.map((one) => <li key={one}>{one}</li>)}</ul>{row.missingCount > row.missing.length ? <LinkButton kind="bare" size="small" to={`/sites/${row.siteId}`}>all of them, and what knowing would change</LinkButton> : null}</details> : '') },
          ]} /><Pager offset={offset} limit={SITES_PER_PAGE} total={total} onMove={setOffset} what="sites" /></>}
        <p className="note">Score: 100 is never protected, and every 20 points less is a tenth of the exposure: 80 one hour in ten, 60 one in a hundred, 40 one in a thousand. Systems on which people depend count four times.</p>
      </>)}</Loaded>
    </Page>
  );
}
