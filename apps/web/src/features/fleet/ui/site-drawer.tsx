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
import { phrase } from '../../../shared/language/index.js';
import { ACCOUNT_STATE, ENVIRONMENT, OCCUPANCY, wordOf } from '../../../shared/words.js';

/** A site as it is installed: beside the list, or on the site's own page as `InstalledAt`. */
export function SiteDrawer({ siteId, onClose }: { siteId: string; onClose: () => void }) {
  return (
    <Drawer title={phrase('fleet.site-2')} onClose={onClose}>
      <p><Link to={`/sites/${siteId}`}>{phrase('fleet.open-the-sites-page-with-its-duties')}</Link></p>
      <InstalledAt siteId={siteId} />
    </Drawer>
  );
}

/** `title` names the first part where the page above already says the site's name. */
export function InstalledAt({ siteId, title }: { siteId: string; title?: string }) {
  const query = useSite(siteId);
  return (
    <Loaded query={query} what={phrase('fleet.the-site')}>{(site) => (
      <div className="stack wide">
        <SiteFacts site={site} title={title ?? site.name} />
        <Section title={phrase('fleet.systems')}>{site.systems.length === 0 ? <p className="quiet">{phrase('fleet.no-system-is-known-here-nothing-can')}</p> : site.systems.map((system) => <SystemOf key={system.id} system={system} />)}</Section>
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
    <Section title={title} actions={mayPlan ? <Button size="small" onClick={() => setEditing(true)}>{phrase('fleet.change-hours-and-notes')}</Button> : undefined}>
      <Facts of={[
        [phrase('fleet.key'), site.key], [phrase('fleet.client-2'), site.client.name], [phrase('fleet.address'), [site.address, site.locality, site.postcode].filter(Boolean).join(', ')],
        [phrase('fleet.position'), site.lat === null ? <Mark shape="hatched" tone="unsure">{phrase('fleet.not-known-rounds-cannot-be-timed')}</Mark> : `${site.lat}, ${site.lon}`],
        [phrase('fleet.time-zone'), site.timeZone], [phrase('fleet.kind'), <><Tag>{wordOf(OCCUPANCY, site.occupancy)}</Tag>{site.sleepingRisk ? phrase('fleet.people-sleep-here') : ''}</>],
        [phrase('fleet.environment'), site.environment ? wordOf(ENVIRONMENT, site.environment) : <Mark shape="hatched" tone="unsure">{phrase('fleet.not-known-counted-as-harsh')}</Mark>],
        [phrase('fleet.work-may-be-done'), hoursInWords(site.accessHours)], [phrase('fleet.sounders-may-sound'), site.noiseHours === null ? phrase('fleet.whenever-access-is-given') : hoursInWords(site.noiseHours)],
        [phrase('fleet.how-to-get-in'), site.accessNotes], [phrase('fleet.notes'), site.notes],
        [phrase('fleet.taken-over'), site.takenOverOn ? dayShort(site.takenOverOn) : <Mark shape="hatched" tone="unsure">{phrase('fleet.cant-tell')}</Mark>], ...(site.closedOn ? [[phrase('fleet.ended'), dayShort(site.closedOn)] as const] : []),
      ]} />
      {isEditing ? <EditSiteDialog site={site} onClose={() => setEditing(false)} /> : null}
    </Section>
  );
}

function Accounts({ site }: { site: SiteDetail }) {
  return (
    <Section title={phrase('fleet.station-accounts')}>
      {site.accounts.length === 0 ? <p className="quiet">{phrase('fleet.none-no-station-listens-here-as-far')}</p>
        : <ul className="stack" style={{ listStyle: 'none' }}>{site.accounts.map((one) => <li key={one.id}><strong>{one.number}</strong> {phrase('fleet.at-station', { station: one.station })} <Tag>{wordOf(ACCOUNT_STATE, one.status)}</Tag></li>)}</ul>}
    </Section>
  );
}
