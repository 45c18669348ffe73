import { useState } from 'react';
import { useSearchParams } from 'react-router';
import { saveBlob } from '../../../shared/client.js';
import { momentWords, todayIn } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, DateField, Empty, Facts, Form, Loaded, Page, SearchBox, Section, useToast } from '../../../shared/ui/index.js';
import { useExportBundle, useLedger, useSiteName, useSitesToProve } from '../api/proof.js';
import { CheckBundle } from './check-bundle.js';
import { phrase } from '../../../shared/language/index.js';

/** Proof that needs no trust in us: bundles of a site's records, and their check, done in this browser. */
export function ProofScreen() {
  return (
    <Page title={phrase('proof.proof-bundles')} lead={phrase('proof.a-bundle-holds-records-as-they-were')}>
      <Ledger />
      <MakeBundle />
      <CheckBundle />
    </Page>
  );
}

function Ledger() {
  const ledger = useLedger();
  const zone = useMe().company.timeZone;
  return (
    <Section title={phrase('proof.the-ledger-now')}>
      <Loaded query={ledger} what={phrase('proof.the-ledger')}>{(shown) => (shown.size === 0
        ? <Empty title={phrase('proof.the-ledger-holds-no-record-yet')}>{phrase('proof.checks-visits-holds-attempts-and-deficiencies-enter')}</Empty>
        : <Facts of={[
          [phrase('proof.records'), phrase('count.record', { n: shown.size })], [phrase('proof.newest'), shown.lastAt ? momentWords(shown.lastAt, zone) : null], [phrase('proof.root'), <code key="root">{shown.rootHash}</code>],
          [phrase('proof.key-that-signs'), shown.publicKey ? <code key="key">{shown.publicKey}</code> : phrase('proof.none-is-set-nothing-can-be-signed')],
        ]} />)}</Loaded>
      <p className="note">{phrase('proof.publish-the-root-and-the-key-where')}</p>
    </Section>
  );
}

function MakeBundle() {
  const [params, setParams] = useSearchParams();
  const siteId = params.get('siteId');
  const today = todayIn(useMe().company.timeZone);
  const [from, setFrom] = useState('');
  const [to, setTo] = useState('');
  const say = useToast();
  const site = useSiteName(siteId);
  const make = useExportBundle();
  const name = site.data?.name ?? 'site';
  const download = () => make.mutate({ siteId: siteId!, ...(from ? { from } : {}), ...(to ? { to } : {}) }, {
    onSuccess: (bundle) => {
      saveBlob(new Blob([JSON.stringify(bundle)], { type: 'application/json' }), `proof-${name.toLowerCase().replaceAll(/[^a-z0-9]+/g, '-')}-${today}.json`);
      say(phrase('proof.records-in-the-bundle-of-name', { records: phrase('count.record', { n: bundle.records.length }), name }));
    },
  });
  return (
    <Section title={phrase('proof.make-a-bundle')}>
      {siteId === null ? <ChooseSite onChoose={(id) => setParams({ siteId: id })} /> : (
        <Form problem={make.error} onSubmit={download}>
          <p><strong>{site.data?.name ?? (site.error ? phrase('proof.there-is-no-such-site') : phrase('proof.the-site'))}</strong>, {site.data?.address ?? ''} <Button kind="bare" size="small" onClick={() => { make.reset(); setParams({}); }}>{phrase('proof.choose-another-site')}</Button></p>
          <div className="row end">
            <DateField label={phrase('proof.from')} value={from} max={today} onChange={setFrom} />
            <DateField label={phrase('proof.to')} value={to} max={today} onChange={setTo} />
            <Button kind="do" type="submit" busy={make.isPending} disabled={!site.data}>{phrase('proof.save-the-bundle')}</Button>
          </div>
        </Form>
      )}
    </Section>
  );
}

function ChooseSite({ onChoose }: { onChoose: (siteId: string) => void }) {
  const [search, setSearch] = useState('');
  const found = useSitesToProve(search);
  return (
    <div className="stack">
      <SearchBox label={phrase('proof.search-the-site-to-prove')} value={search} onChange={setSearch} placeholder={phrase('proof.site-client-key-or-account')} />
      {search.length < 2 ? <p className="small quiet">{phrase('proof.type-two-letters-or-more-of-the')}</p> : <Loaded query={found} what={phrase('proof.the-sites')}>{({ rows }) => (rows.length === 0 ? <Empty title={phrase('proof.no-site-matches')} />
        : <ul className="stack">{rows.map((row) => <li key={row.id} className="row between"><span>{row.name}<br /><span className="small quiet">{row.clientName}, {row.address}</span></span><Button size="small" onClick={() => onChoose(row.id)} aria-label={phrase('proof.prove-it-name', { name: row.name })}>{phrase('proof.prove-it')}</Button></li>)}</ul>)}</Loaded>}
    </div>
  );
}
