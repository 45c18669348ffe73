import { FLEET_EXPORTS, importKind, routes, type SiteRow } from '@bellround/contracts';
import { useState } from 'react';
import { Link, useSearchParams } from 'react-router';
import { download } from '../../../shared/client.js';
import { dayShort } from '../../../shared/format.js';
import { useMay } from '../../../shared/session.js';
import { Button, type Column, Empty, LinkButton, Loaded, Mark, Page, Pager, SearchBox, Select, Table, Tag } from '../../../shared/ui/index.js';
import { SITES_PER_PAGE, useSites } from '../api/sites.js';
import { SiteDrawer } from './site-drawer.js';

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
    <Page title="Fleet" lead="Sites with a monitored system: clients, systems, devices, batteries, paths and accounts." actions={<><SearchBox label="Search sites" placeholder="Name, address, client or account" value={search} onChange={(next) => { setSearch(next); setOffset(0); }} />{mayPlan ? <LinkButton to="/import">Import files</LinkButton> : null}</>}>
      <Loaded query={sites} what="the sites">{({ rows, total }) => (total === 0
        ? <Empty title={search ? `No site matches '${search}'` : 'There are no sites yet'} action={search ? <Button onClick={() => setSearch('')}>Show all sites</Button> : mayPlan ? <LinkButton kind="do" to="/import">Import your fleet</LinkButton> : undefined} />
        : <><Table caption="Sites" columns={COLUMNS} rows={rows} rowKey={(site) => site.id} onOpen={(site) => show(site.id)} chosen={open} /><Pager offset={offset} limit={SITES_PER_PAGE} total={total} onMove={setOffset} what="sites" /></>
      )}</Loaded>
      <ExportLine />
      {open ? <SiteDrawer siteId={open} onClose={() => show(null)} /> : null}
    </Page>
  );
}

const COLUMNS: Column<SiteRow>[] = [
  { key: 'name', title: 'Site', cell: (site) => <Link to={`?site=${site.id}`} replace preventScrollReset>{site.name}</Link> },
  { key: 'address', title: 'Address', cell: (site) => [site.address, site.locality].filter(Boolean).join(', ') },
  { key: 'client', title: 'Client', cell: (site) => site.clientName },
  { key: 'occupancy', title: 'Kind', cell: (site) => <Tag>{site.occupancy}</Tag> },
  { key: 'systems', title: 'Systems', cell: (site) => (site.systems.length > 0 ? site.systems.join(', ') : <Mark shape="hatched" tone="unsure">none known</Mark>) },
  { key: 'accounts', title: 'Accounts', cell: (site) => (site.accounts.length > 0 ? site.accounts.join(', ') : <span className="quiet">none</span>) },
  { key: 'state', title: 'State', cell: (site) => (site.closedOn ? <Mark shape="absent">ended {dayShort(site.closedOn)}</Mark> : site.placed ? '' : <Mark shape="hatched" tone="unsure">no position</Mark>) },
];

function ExportLine() {
  const [kind, setKind] = useState<(typeof FLEET_EXPORTS)[number]>('sites');
  const [problem, setProblem] = useState<string | null>(null);
  const get = () => { setProblem(null); download(routes.exportFleet, { kind }, `${kind}.csv`).catch((error: Error) => setProblem(error.message)); };
  return (
    <div className="row end">
      <Select label="Take out as CSV" required value={kind} onChange={(value) => setKind(value as typeof kind)} options={FLEET_EXPORTS.map((one) => ({ value: one, label: importKind(one).title }))} fault={problem} />
      <Button onClick={get}>Download {importKind(kind).title.toLowerCase()}</Button>
      <span className="quiet">The file has the columns of the import and can be imported again.</span>
    </div>
  );
}
