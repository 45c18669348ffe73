import { routes } from '@bellround/contracts';
import { useParams, useSearchParams } from 'react-router';
import { SiteChain } from '../../features/exposure/ui/site-chain.js';
import { InstalledAt } from '../../features/fleet/ui/site-drawer.js';
import { useSite } from '../../features/fleet/api/sites.js';
import { SiteEntryCodes } from '../../features/identity/ui/entry-codes.js';
import { ComingHere } from '../../features/planning/ui/coming-here.js';
import { TogetherSection } from '../../features/programmes/ui/together-section.js';
import { YearsAhead } from '../../features/programmes/ui/years-ahead.js';
import { useSiteStanding } from '../../features/standing/api/standing.js';
import { SiteConditionSections } from '../../features/standing/ui/site-condition.js';
import { ReadingTrends } from '../../features/standing/ui/reading-trends.js';
import { SiteDeficiencies } from '../../features/standing/ui/site-deficiencies.js';
import { SiteHistory, SiteProof } from '../../features/standing/ui/site-proof.js';
import { MakeVisit } from '../../features/visits/ui/make-visit.js';
import { ZoneListsSection } from '../../features/visits/ui/zone-lists.js';
import { addressOf } from '../../shared/client.js';
import { dayWords } from '../../shared/format.js';
import { Button, DateField, LinkButton, Loaded, Mark, Page, Region, StandingMark } from '../../shared/ui/index.js';
import { phrase } from '../../shared/language/index.js';

/** A site: where it stands, its proof through time, its chain, what is installed, what is broken. */
export default function SiteScreen() {
  const { siteId = '' } = useParams();
  const [params, setParams] = useSearchParams();
  const asOf = params.get('asOf');
  const knownOn = params.get('knownOn');
  const standing = useSiteStanding(siteId, asOf, knownOn);
  const go = (change: Record<string, string | null>) => setParams((before) => {
    const next = new URLSearchParams(before);
    for (const [key, value] of Object.entries(change)) { if (value === null) next.delete(key); else next.set(key, value); }
    return next;
  }, { replace: true });
  return (
    <Loaded query={standing} what={phrase('fleet.the-site')}>{(shown) => (
      <Page title={shown.name} lead={`${shown.address}; ${shown.clientName}`} actions={<>
        <DateField label={phrase('fleet.as-of')} value={shown.asOf} max={shown.today} onChange={(day) => go({ asOf: day === shown.today ? null : day })} />
        <DateField label={phrase('fleet.as-known-on')} value={shown.knownOn ?? shown.today} max={shown.today} onChange={(day) => go({ knownOn: day === shown.today ? null : day })} help={phrase('fleet.later-records-are-not-looked-at')} /></>}>
        {shown.knownOn ? <p className="note">{phrase('fleet.computed-from-what-had-been-recorded-by', { knownOn: dayWords(shown.knownOn) })} <Button kind="bare" size="small" onClick={() => go({ knownOn: null })}>{phrase('fleet.show-all-that-is-known')}</Button></p> : null}
        <div className="row">
          <StandingMark standing={shown.standing} />
          <a className="button small" href={addressOf(routes.siteReport, { siteId, ...(asOf ? { asOf } : {}) })} download>{phrase('fleet.save-the-report-as-pdf')}</a>
          <LinkButton size="small" to={`/proof?siteId=${siteId}`}>{phrase('fleet.make-a-proof-bundle')}</LinkButton>
          {shown.deficiencies.open > 0 ? <LinkButton size="small" to={`/deficiencies?search=${encodeURIComponent(shown.name)}`}><Mark shape="fallen" tone="bad">{phrase('count.open-deficiency', { n: shown.deficiencies.open })}</Mark></LinkButton> : <Mark shape="whole" tone="good">{phrase('fleet.no-open-deficiency')}</Mark>}
        </div>
        <Region name="proof"><SiteProof site={shown} /></Region>
        <Region name="do together"><TogetherSection siteId={siteId} asOf={asOf} /></Region>
        <Region name="make a visit"><MakeVisit siteId={siteId} /></Region>
        <Region name="years ahead"><YearsAhead siteId={siteId} /></Region>
        <Region name="deficiencies"><SiteDeficiencies siteId={siteId} /></Region>
        <Region name="chain"><SiteChain siteId={siteId} /></Region>
        <Region name="condition"><SiteConditionSections siteId={siteId} /></Region>
        <Region name="readings"><ReadingTrends siteId={siteId} /></Region>
        <Region name="installed"><InstalledAt siteId={siteId} title={phrase('fleet.the-place')} /></Region>
        <Region name="coming here"><ComingHere siteId={siteId} /></Region>
        <Region name="zone lists"><SiteZoneLists siteId={siteId} /></Region>
        <Region name="entry codes"><SiteEntryCodes siteId={siteId} /></Region>
        <Region name="history"><SiteHistory site={shown} /></Region>
      </Page>
    )}</Loaded>
  );
}

/** What control unit, our list and the station say of each zone of each system here, and the one small correction. */
function SiteZoneLists({ siteId }: { siteId: string }) {
  const site = useSite(siteId);
  return <Loaded query={site} what={phrase('fleet.the-site')}>{({ systems, timeZone }) => (systems.length === 0 ? null : <ZoneListsSection systems={systems} timeZone={timeZone} />)}</Loaded>;
}
