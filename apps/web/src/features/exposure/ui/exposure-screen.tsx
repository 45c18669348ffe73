import { CAUSE_WORDS } from '@bellround/contracts';
import { useState } from 'react';
import { useSearchParams } from 'react-router';
import { numberWords } from '../../../shared/format.js';
import { Button, Empty, LinkButton, Loaded, Page, Pager, SearchBox, Select, Table } from '../../../shared/ui/index.js';
import { type CauseKey, SITES_PER_PAGE, useExposure } from '../api/exposure.js';
import { fleetWords, hoursWords, shareWords } from './exposure-words.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

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
    <Page title={phrase('exposure.look-here-first')} lead={phrase('exposure.exposure-the-expected-hours-in-which-an')}
      actions={<><LinkButton to="/batteries">{phrase('exposure.battery-forecast')}</LinkButton><LinkButton to="/risk-model">{phrase('exposure.what-the-scores-rest-on')}</LinkButton></>}>
      <Loaded query={sites} what={phrase('exposure.the-sites')}>{({ rows, total, causes }) => (<>
        <div className="row end">
          <SearchBox label={phrase('exposure.search-sites')} value={search} onChange={(next) => go({ search: next })} placeholder={phrase('exposure.site-or-town')} />
          <Select label={phrase('exposure.first-cause')} value={cause ?? ''} onChange={(next) => go({ cause: next })} empty={phrase('exposure.any-cause')} options={causes.map((one) => ({ value: one.cause, label: `${said(CAUSE_WORDS[one.cause])} (${numberWords(one.sites)})` }))} />
        </div>
        {total === 0
          ? <Empty title={search || cause ? phrase('exposure.no-site-matches') : phrase('exposure.nothing-is-scored-yet')} action={search || cause ? <Button onClick={() => go({ search: '', cause: '' })}>{phrase('exposure.show-all-sites')}</Button> : <LinkButton to="/import">{phrase('exposure.import-a-fleet')}</LinkButton>}>{search || cause ? null : phrase('exposure.sites-are-scored-after-an-import-and')}</Empty>
          : <><Table caption={phrase('exposure.sites-by-exposure-most-exposed-first')} rows={rows} rowKey={(row) => row.siteId} columns={[
            { key: 'site', title: phrase('exposure.site'), cell: (row) => <><LinkButton kind="bare" size="small" to={`/sites/${row.siteId}`}>{row.siteName}</LinkButton>{row.locality ? <span className="small quiet"> {row.locality}</span> : null}</> },
            { key: 'score', title: phrase('exposure.score'), align: 'end', cell: (row) => <span><strong>{numberWords(row.score, 0)}</strong>{row.percentile === null ? null : <span className="small quiet"> {phrase('exposure.above-percentile-of-the-fleet', { percentile: fleetWords(row.percentile) })}</span>}</span> },
            { key: 'hours', title: phrase('exposure.hours-a-year'), align: 'end', cell: (row) => hoursWords(row.exposurePerYearH) },
            { key: 'cause', title: phrase('exposure.first-cause'), cell: (row) => (row.mainCause === null ? '' : `${said(CAUSE_WORDS[row.mainCause])} (${shareWords(row.mainShare)})`) },
            { key: 'why', title: phrase('exposure.why'), cell: (row) => (row.reasons.length > 0 ? <ul>{row.reasons.map((reason) => <li key={reason}>{said(reason)}</li>)}</ul> : '') },
            { key: 'missing', title: phrase('exposure.cant-tell'), width: '9rem', cell: (row) => (row.missingCount > 0 ? <details><summary>{phrase('exposure.missingcount-unknown', { missingCount: row.missingCount })}</summary><ul>{row.missing.map((one) => <li key={one}>{said(one)}</li>)}</ul>{row.missingCount > row.missing.length ? <LinkButton kind="bare" size="small" to={`/sites/${row.siteId}`}>{phrase('exposure.all-of-them-and-what-knowing-would')}</LinkButton> : null}</details> : '') },
          ]} /><Pager offset={offset} limit={SITES_PER_PAGE} total={total} onMove={setOffset} what={phrase('exposure.sites')} /></>}
        <p className="note">{phrase('exposure.score-100-is-never-protected-and-every')}</p>
      </>)}</Loaded>
    </Page>
  );
}
