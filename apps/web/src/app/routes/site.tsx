import { useParams, useSearchParams } from 'react-router';
import { SiteChain } from '../../features/exposure/ui/site-chain.js';
import { useSite } from '../../features/fleet/api/sites.js';
import { useSiteStanding } from '../../features/standing/api/standing.js';
import { SiteHistory, SiteProof } from '../../features/standing/ui/site-proof.js';
import { countWords, dayWords } from '../../shared/format.js';
import { DateField, Facts, LinkButton, Loaded, Mark, Page, Region, Section, StandingMark } from '../../shared/ui/index.js';

/** A site: where it stands, its proof through time, its chain, what is installed, what is broken. */
export default function SiteScreen() {
  const { siteId = '' } = useParams();
  const [params, setParams] = useSearchParams();
  const asOf = params.get('asOf');
  const standing = useSiteStanding(siteId, asOf);
  const site = useSite(siteId);
  return (
    <Loaded query={standing} what="the site">{(shown) => (
      <Page title={shown.name} lead={`${shown.address}; ${shown.clientName}`} actions={<DateField label="As of" value={shown.asOf} max={shown.today} onChange={(day) => setParams(day === shown.today ? {} : { asOf: day }, { replace: true })} />}>
        <div className="row">
          <StandingMark standing={shown.standing} />
          {shown.deficiencies.open > 0 ? <LinkButton size="small" to={`/deficiencies?search=${encodeURIComponent(shown.name)}`}><Mark shape="fallen" tone="bad">{countWords(shown.deficiencies.open, 'open deficiency', 'open deficiencies')}</Mark></LinkButton> : <Mark shape="whole" tone="good">no open deficiency</Mark>}
        </div>
        <Region name="proof"><SiteProof site={shown} /></Region>
        <Region name="chain"><SiteChain siteId={siteId} /></Region>
        <Region name="installed"><Section title="Installed"><Loaded query={site} what="what is installed">{(detail) => (<>
          <Facts of={[['Access', detail.accessNotes], ['Taken over', detail.takenOverOn ? dayWords(detail.takenOverOn) : 'can’t tell'], ['Accounts', detail.accounts.map((one) => `${one.number} at ${one.station} (${one.status})`).join(', ')]]} />
          {detail.systems.map((system) => (
            <details key={system.id}><summary>{system.name}: {countWords(system.devices.length, 'device')}, {countWords(system.batteries.length, 'battery', 'batteries')}, {countWords(system.paths.length, 'path')}</summary>
              <ul>{system.devices.map((device) => <li key={device.id}>{device.label} ({device.kind.replaceAll('-', ' ')}, {device.link})</li>)}{system.batteries.map((battery) => <li key={battery.id}>{battery.label}, {battery.madeOn ? `made ${dayWords(battery.madeOn)}` : 'no date found'}</li>)}{system.paths.map((path) => <li key={path.id}>{path.label}</li>)}</ul>
            </details>))}
        </>)}</Loaded></Section></Region>
        <Region name="history"><SiteHistory site={shown} /></Region>
      </Page>
    )}</Loaded>
  );
}
