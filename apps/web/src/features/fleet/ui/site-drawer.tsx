import { hoursInWords, type SiteDetail } from '@bellround/contracts';
import { useState } from 'react';
import { Link } from 'react-router';
import { dayShort } from '../../../shared/format.js';
import { useMay } from '../../../shared/session.js';
import { Button, Drawer, Facts, Loaded, Mark, Section, Tag } from '../../../shared/ui/index.js';
import { useSite } from '../api/sites.js';
import { BlackoutsOf } from './blackouts-of.js';
import { ContactsOf } from './contacts-of.js';
import { EditSiteDialog } from './edit-site-dialog.js';
import { SystemOf } from './system-of.js';

/** A site as it is installed: beside the list, or on the site's own page as `InstalledAt`. */
export function SiteDrawer({ siteId, onClose }: { siteId: string; onClose: () => void }) {
  return (
    <Drawer title="Site" onClose={onClose}>
      <p><Link to={`/sites/${siteId}`}>Open the site's page with its duties and proof</Link></p>
      <InstalledAt siteId={siteId} />
    </Drawer>
  );
}

/** `title` names the first part where the page above already says the site's name. */
export function InstalledAt({ siteId, title }: { siteId: string; title?: string }) {
  const query = useSite(siteId);
  return (
    <Loaded query={query} what="the site">{(site) => (
      <div className="stack wide">
        <SiteFacts site={site} title={title ?? site.name} />
        <Section title="Systems">{site.systems.length === 0 ? <p className="quiet">No system is known here: nothing can be owed or proven.</p> : site.systems.map((system) => <SystemOf key={system.id} system={system} />)}</Section>
        <Accounts site={site} />
        <ContactsOf site={site} />
        <BlackoutsOf site={site} />
      </div>
    )}</Loaded>
  );
}

function SiteFacts({ site, title }: { site: SiteDetail; title: string }) {
  const mayPlan = useMay('plan');
  const [isEditing, setEditing] = useState(false);
  return (
    <Section title={title} actions={mayPlan ? <Button size="small" onClick={() => setEditing(true)}>Change hours and notes</Button> : undefined}>
      <Facts of={[
        ['Key', site.key], ['Client', site.client.name], ['Address', [site.address, site.locality, site.postcode].filter(Boolean).join(', ')],
        ['Position', site.lat === null ? <Mark shape="hatched" tone="unsure">not known: rounds cannot be timed</Mark> : `${site.lat}, ${site.lon}`],
        ['Time zone', site.timeZone], ['Kind', <><Tag>{site.occupancy}</Tag>{site.sleepingRisk ? ' people sleep here' : ''}</>],
        ['Work may be done', hoursInWords(site.accessHours)], ['Sounders may sound', site.noiseHours === null ? 'whenever access is given' : hoursInWords(site.noiseHours)],
        ['How to get in', site.accessNotes], ['Notes', site.notes],
        ['Taken over', site.takenOverOn ? dayShort(site.takenOverOn) : <Mark shape="hatched" tone="unsure">can’t tell</Mark>], ...(site.closedOn ? [['Ended', dayShort(site.closedOn)] as const] : []),
      ]} />
      {isEditing ? <EditSiteDialog site={site} onClose={() => setEditing(false)} /> : null}
    </Section>
  );
}

function Accounts({ site }: { site: SiteDetail }) {
  return (
    <Section title="Station accounts">
      {site.accounts.length === 0 ? <p className="quiet">None: no station listens here, as far as your schedule knows.</p>
        : <ul className="stack" style={{ listStyle: 'none' }}>{site.accounts.map((one) => <li key={one.id}><strong>{one.number}</strong> at {one.station} <Tag>{one.status}</Tag></li>)}</ul>}
    </Section>
  );
}
