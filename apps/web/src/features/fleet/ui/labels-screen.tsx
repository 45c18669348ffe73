import { type SiteDetail, labelPath } from '@bellround/contracts';
import { useState } from 'react';
import { useSearchParams } from 'react-router';
import { Button, CheckBox, Empty, LinkButton, Loaded, Page, SearchBox, Section } from '../../../shared/ui/index.js';
import { useSite, useSites } from '../api/sites.js';
import { QrCode } from './qr-code.js';
import './labels.css';
import { phrase } from '../../../shared/language/index.js';

/** Printable labels of a site and its devices. A label carries an id and nothing that opens or tells anything by itself. */
export function LabelsScreen() {
  const [params, setParams] = useSearchParams();
  const siteId = params.get('site');
  return (
    <Page title={phrase('fleet.labels')} lead={phrase('fleet.print-them-stick-them-beside-the-control')}>
      {siteId ? <SiteLabels siteId={siteId} onBack={() => setParams({})} /> : <ChooseSite onChoose={(site) => setParams({ site })} />}
    </Page>
  );
}

function ChooseSite({ onChoose }: { onChoose: (siteId: string) => void }) {
  const [search, setSearch] = useState('');
  const sites = useSites(search, 0);
  return (
    <Section title={phrase('fleet.of-which-site')} actions={<SearchBox label={phrase('fleet.search-sites')} value={search} onChange={setSearch} />}>
      <Loaded query={sites} what={phrase('fleet.the-sites')}>{({ rows }) => (rows.length === 0
        ? <Empty title={search ? phrase('fleet.no-site-is-called-search', { search }) : phrase('fleet.there-is-no-site-yet')} action={search ? <Button onClick={() => setSearch('')}>{phrase('fleet.show-all-sites')}</Button> : <LinkButton kind="do" to="/import?kind=sites">{phrase('fleet.import-sites')}</LinkButton>} />
        : <ul className="label-sites">{rows.map((site) => <li key={site.id}><Button fill onClick={() => onChoose(site.id)}>{site.name}, {site.address}</Button></li>)}</ul>)}</Loaded>
    </Section>
  );
}

interface Label { readonly id: string; readonly kind: 'site' | 'device'; readonly title: string; readonly where: string }

function labelsOf(site: SiteDetail): Label[] {
  const devices = site.systems.filter((system) => system.retiredOn === null).flatMap((system) => system.devices.filter((device) => device.removedOn === null).map((device) => (
    { id: device.id, kind: 'device' as const, title: device.label, where: [device.room, device.zone === null ? null : phrase('fleet.zone-zone', { zone: device.zone }), system.name].filter(Boolean).join(', ') })));
  return [{ id: site.id, kind: 'site', title: site.name, where: site.address }, ...devices];
}

function SiteLabels({ siteId, onBack }: { siteId: string; onBack: () => void }) {
  const query = useSite(siteId);
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set());
  const toggle = (id: string) => setLeft((before) => { const next = new Set(before); if (!next.delete(id)) next.add(id); return next; });
  return (
    <Loaded query={query} what={phrase('fleet.the-site')}>{(site) => {
      const labels = labelsOf(site);
      const printed = labels.filter((one) => !left.has(one.id));
      return (
        <>
          <Section title={site.name} actions={<><Button kind="do" disabled={printed.length === 0} onClick={() => window.print()}>{phrase('fleet.print-printed', { printed: phrase('count.label', { n: printed.length }) })}</Button><Button onClick={onBack}>{phrase('fleet.another-site')}</Button></>}>
            <details className="no-print"><summary>{phrase('fleet.leave-some-out')}</summary><div className="grid">{labels.map((one) => <CheckBox key={one.id} label={`${one.title}: ${one.where}`} checked={!left.has(one.id)} onChange={() => toggle(one.id)} />)}</div></details>
          </Section>
          <ul className="label-sheet">{printed.map((one) => (
            <li key={one.id}>
              <QrCode text={`${location.origin}${labelPath(one.kind, one.id)}`} words={phrase('fleet.code-of-title', { title: one.title })} />
              <div><strong>{one.title}</strong><br />{one.where}<br /><span className="small">{one.kind === 'device' ? site.name : phrase('fleet.scan-before-you-start')}</span></div>
            </li>
          ))}</ul>
        </>
      );
    }}</Loaded>
  );
}
