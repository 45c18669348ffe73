import { useState } from 'react';
import { useSearchParams } from 'react-router';
import { saveBlob } from '../../../shared/client.js';
import { countWords, momentWords, todayIn } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, DateField, Empty, Facts, Form, Loaded, Page, SearchBox, Section, useToast } from '../../../shared/ui/index.js';
import { useExportBundle, useLedger, useSiteName, useSitesToProve } from '../api/proof.js';
import { CheckBundle } from './check-bundle.js';

/** Proof that needs no trust in us: bundles of a site's records, and their check, done in this browser. */
export function ProofScreen() {
  return (
    <Page title="Proof bundles" lead="A bundle holds records as they were made, their places in the ledger, and its signed head. Whoever gets it can check it without an account, with this page or with the command line.">
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
    <Section title="The ledger now">
      <Loaded query={ledger} what="the ledger">{(shown) => (shown.size === 0
        ? <Empty title="The ledger holds no record yet">Checks, visits, holds, attempts and deficiencies enter it as they are recorded here. What was imported never does: it was not recorded by us.</Empty>
        : <Facts of={[
          ['Records', countWords(shown.size, 'record')], ['Newest', shown.lastAt ? momentWords(shown.lastAt, zone) : null], ['Root', <code key="root">{shown.rootHash}</code>],
          ['Key that signs', shown.publicKey ? <code key="key">{shown.publicKey}</code> : 'none is set; nothing can be signed'],
        ]} />)}</Loaded>
      <p className="note">Publish the root and the key where others can see them, a letter or a notice: whoever kept an earlier root can tell that nothing before it was altered.</p>
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
      say(`${countWords(bundle.records.length, 'record')} in the bundle of ${name}`);
    },
  });
  return (
    <Section title="Make a bundle">
      {siteId === null ? <ChooseSite onChoose={(id) => setParams({ siteId: id })} /> : (
        <Form problem={make.error} onSubmit={download}>
          <p><strong>{site.data?.name ?? (site.error ? 'There is no such site' : 'the site …')}</strong>, {site.data?.address ?? ''} <Button kind="bare" size="small" onClick={() => { make.reset(); setParams({}); }}>Choose another site</Button></p>
          <div className="row end">
            <DateField label="From" value={from} max={today} onChange={setFrom} />
            <DateField label="To" value={to} max={today} onChange={setTo} />
            <Button kind="do" type="submit" busy={make.isPending} disabled={!site.data}>Save the bundle</Button>
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
      <SearchBox label="Search the site to prove" value={search} onChange={setSearch} placeholder="Site, client, key or account" />
      {search.length < 2 ? <p className="small quiet">Type two letters or more of the site.</p> : <Loaded query={found} what="the sites">{({ rows }) => (rows.length === 0 ? <Empty title="No site matches" />
        : <ul className="stack">{rows.map((row) => <li key={row.id} className="row between"><span>{row.name}<br /><span className="small quiet">{row.clientName}, {row.address}</span></span><Button size="small" onClick={() => onChoose(row.id)} aria-label={`Prove it: ${row.name}`}>Prove it</Button></li>)}</ul>)}</Loaded>}
    </div>
  );
}
