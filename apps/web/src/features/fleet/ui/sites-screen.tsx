import { FLEET_EXPORTS, importKind, routes, type SiteRow } from '@bellround/contracts';
import { useState } from 'react';
import { Link, useSearchParams } from 'react-router';
import { download } from '../../../shared/client.js';
import { dayShort } from '../../../shared/format.js';
import { useMay } from '../../../shared/session.js';
import { Button, type Column, Empty, LinkButton, Loaded, Mark, Page, Pager, SearchBox, Select, Table, Tag } from '../../../shared/ui/index.js';
import { SITES_PER_PAGE, useSites } from '../api/sites.js';
import { SiteDrawer } from './site-drawer.js';
import { phrase } from '../../../shared/language/index.js';
import { OCCUPANCY, SYSTEM_KIND, wordOf } from '../../../shared/words.js';

/** Every site with what is installed there. The open site is part of the address, so that it can be sent and reloaded. */
export function SitesScreen() {
  const mayPlan = useMay('plan');
  const [search, setSearch] = useState('');
  const [offset, setOffset] = useState(0);
  const [params, setParams] = useSearchParams();
  const open = params.get('site');
  const show = (id: string | null) => setParams(id ? { site: id } : {}, { replace: true });
  const sites = useSites(search, offset);
  return (
    <Page title={phrase('fleet.fleet')} lead={phrase('fleet.sites-with-a-monitored-system-clients-systems')} actions={<><SearchBox label={phrase('fleet.search-sites')} placeholder={phrase('fleet.name-address-client-or-account')} value={search} onChange={(next) => { setSearch(next); setOffset(0); }} />{mayPlan ? <LinkButton to="/import">{phrase('fleet.import-files')}</LinkButton> : null}</>}>
      <Loaded query={sites} what={phrase('fleet.the-sites')}>{({ rows, total }) => (total === 0
        ? <Empty title={search ? phrase('fleet.no-site-matches-search', { search }) : phrase('fleet.there-are-no-sites-yet')} action={search ? <Button onClick={() => setSearch('')}>{phrase('fleet.show-all-sites')}</Button> : mayPlan ? <LinkButton kind="do" to="/import">{phrase('fleet.import-your-fleet')}</LinkButton> : undefined} />
        : <><Table caption={phrase('fleet.sites')} columns={COLUMNS} rows={rows} rowKey={(site) => site.id} onOpen={(site) => show(site.id)} chosen={open} /><Pager offset={offset} limit={SITES_PER_PAGE} total={total} onMove={setOffset} what={phrase('fleet.sites-2')} /></>
      )}</Loaded>
      <ExportLine />
      {open ? <SiteDrawer siteId={open} onClose={() => show(null)} /> : null}
    </Page>
  );
}

const COLUMNS: Column<SiteRow>[] = [
  { key: 'name', title: phrase('fleet.site-2'), cell: (site) => <Link to={`?site=${site.id}`} replace preventScrollReset>{site.name}</Link> },
  { key: 'address', title: phrase('fleet.address'), cell: (site) => [site.address, site.locality].filter(Boolean).join(', ') },
  { key: 'client', title: phrase('fleet.client-2'), cell: (site) => site.clientName },
  { key: 'occupancy', title: phrase('fleet.kind'), cell: (site) => <Tag>{wordOf(OCCUPANCY, site.occupancy)}</Tag> },
  { key: 'systems', title: phrase('fleet.systems'), cell: (site) => (site.systems.length > 0 ? site.systems.map((kind) => wordOf(SYSTEM_KIND, kind)).join(', ') : <Mark shape="hatched" tone="unsure">{phrase('fleet.none-known')}</Mark>) },
  { key: 'accounts', title: phrase('fleet.accounts'), cell: (site) => (site.accounts.length > 0 ? site.accounts.join(', ') : <span className="quiet">{phrase('fleet.none-2')}</span>) },
  { key: 'state', title: phrase('fleet.state'), cell: (site) => (site.closedOn ? <Mark shape="absent">{phrase('fleet.ended-closedon', { closedOn: dayShort(site.closedOn) })}</Mark> : site.placed ? '' : <Mark shape="hatched" tone="unsure">{phrase('fleet.no-position')}</Mark>) },
];

function ExportLine() {
  const [kind, setKind] = useState<(typeof FLEET_EXPORTS)[number]>('sites');
  const [problem, setProblem] = useState<string | null>(null);
  const get = () => { setProblem(null); download(routes.exportFleet, { kind }, `${kind}.csv`).catch((error: Error) => setProblem(error.message)); };
  return (
    <div className="row end">
      <Select label={phrase('fleet.take-out-as-csv')} required value={kind} onChange={(value) => setKind(value as typeof kind)} options={FLEET_EXPORTS.map((one) => ({ value: one, label: importKind(one).title }))} fault={problem} />
      <Button onClick={get}>{phrase('fleet.download-tolowercase', { toLowerCase: importKind(kind).title.toLowerCase() })}</Button>
      <span className="quiet">{phrase('fleet.the-file-has-the-columns-of-the')}</span>
    </div>
  );
}
