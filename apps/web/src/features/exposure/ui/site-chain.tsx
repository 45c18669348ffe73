import { CAUSE_WORDS, type SiteExposureView } from '@bellround/contracts';
import { dayWords, numberWords } from '../../../shared/format.js';
import { LinkButton, Loaded, Mark, Section, Table } from '../../../shared/ui/index.js';
import { useSiteExposure } from '../api/exposure.js';
import { capital, classWords, fleetWords, hoursWords, ninesOf, shareWords } from './exposure-words.js';
import { VisitCurve } from './visit-curve.js';
import { WhatIfForm } from './what-if-form.js';
import './site-chain.css';

const ORDER = ['power', 'detection', 'control-unit', 'path', 'station', 'sounder'];
type Link = SiteExposureView['links'][number];

/** A site's ability to raise an alarm as links, each as thick as it is sound; the weakest is marked and explained, then what it is made of. */
export function SiteChain({ siteId }: { siteId: string }) {
  const exposure = useSiteExposure(siteId);
  return (
    <Section title="The chain" actions={<LinkButton size="small" to="/risk-model">What the numbers rest on</LinkButton>}>
      <Loaded query={exposure} what="the exposure">{(shown) => (
        <div className="stack wide">
          <div className="stack">
            <p>Expected without protection until the next proof ({dayWords(shown.nextProofOn)}; {shown.nextProofWhy}): <strong>{hoursWords(shown.exposureH)}</strong>; in the year ahead {hoursWords(shown.yearAheadH)}. Score {numberWords(shown.score, 0)} of 100{shown.percentile === null ? '' : `, above ${fleetWords(shown.percentile)} of the fleet`}.</p>
            {[...new Set(shown.links.map((link) => link.systemId))].map((systemId) => <SystemChain key={systemId} links={shown.links.filter((link) => link.systemId === systemId)} kind={shown.systems.find((one) => one.systemId === systemId)?.kind ?? null} />)}
            <p className="note">A link is one step thicker for each factor of ten that it is down less. An estimate, no certificate; local codes and licensed practice prevail.</p>
          </div>
          <Missing shown={shown} />
          <Parts shown={shown} />
          <VisitCurve shown={shown} />
          <WhatIfForm siteId={siteId} shown={shown} />
        </div>
      )}</Loaded>
    </Section>
  );
}

function SystemChain({ links, kind }: { links: readonly Link[]; kind: string | null }) {
  const weakest = links.find((link) => link.weakest);
  return (
    <div className="stack">
      {kind === null ? <h3>No system is recorded</h3> : <h3>{kind === 'co' ? 'Carbon monoxide' : capital(kind)} system</h3>}
      {weakest ? <p><Mark shape="fallen" tone="bad">weakest link</Mark> {capital(weakest.sentence)}.</p> : null}
      <ol className="chain" aria-label={`Links of the ${kind ?? 'unrecorded'} system, in the order of the alarm's way`}>
        {links.toSorted((a, b) => ORDER.indexOf(a.link) - ORDER.indexOf(b.link)).map((link) => (
          <li key={link.link} className={link.weakest ? 'weakest' : ''}>
            <LinkShape link={link} />
            <strong>{capital(link.link.replace('-', ' '))}{link.weakest ? ' (weakest)' : ''}</strong>
            <span className="small">{link.soundness === null ? 'can’t tell' : link.link === 'station' ? 'heard' : `${shareWords(link.share)} of the exposure`}</span>
            <span className="small quiet">{link.weakest ? null : capital(link.sentence.slice(link.sentence.indexOf(': ') + 2))}</span>
          </li>
        ))}
      </ol>
    </div>
  );
}

/** One link of chain: its wall as thick as it is sound, dashed where it can't be told, notched where it is the weakest. */
function LinkShape({ link }: { link: Link }) {
  const wall = link.soundness === null ? 2 : 2 + 3.5 * ninesOf(link.soundness);
  return (
    <svg viewBox="0 0 160 56" preserveAspectRatio="xMinYMid meet" aria-hidden="true" fill="none" stroke="currentColor">
      <rect x="10" y="10" width="136" height="36" rx="18" strokeWidth={wall} {...(link.soundness === null ? { strokeDasharray: '5 5' } : {})} />
      <path d="M146 28h14" strokeWidth="3" />
      {link.weakest ? <path d="M70 0l8 8 8-8M70 56l8-8 8 8" stroke="var(--bad)" strokeWidth="3.500" /> : null}
    </svg>
  );
}

function Missing({ shown }: { shown: SiteExposureView }) {
  if (shown.missing.length === 0) return null;
  return (
    <details className="stack">
      <summary>{shown.missing.length} {shown.missing.length === 1 ? 'value' : 'values'} can’t be told and count on the bad side. Were all of them known and good, {hoursWords(shown.ifKnownGoodH)} would be expected instead of {hoursWords(shown.exposureH)}</summary>
      <ul>{shown.missing.map((one, at) => <li key={`${at} ${one}`}>{capital(one)}</li>)}</ul>
    </details>
  );
}

function Parts({ shown }: { shown: SiteExposureView }) {
  const causesOf = (componentId: string, systemId: string) => shown.shares.filter((share) => share.componentId === componentId && share.systemId === systemId);
  return (
    <div className="stack">
      <h3>What it is made of</h3>
      {shown.reasons.length > 0 ? <ul>{shown.reasons.map((reason) => <li key={reason}>{capital(reason)}</li>)}</ul> : null}
      <details>
        <summary>Every part and cause; the shares sum to 100 %</summary>
        <Table caption="Parts by their share of the exposure" rows={shown.components} rowKey={(row) => `${row.systemId} ${row.componentId}`} columns={[
          { key: 'part', title: 'Part', cell: (row) => <>{row.label} <span className="small quiet">{classWords(row.class)}</span></> },
          { key: 'share', title: 'Share', align: 'end', sortBy: (row) => row.share, cell: (row) => (row.share < 0.0005 ? 'under 0.1 %' : `${numberWords(row.share * 100, 1)} %`) },
          { key: 'causes', title: 'Because of', cell: (row) => causesOf(row.componentId, row.systemId).map((share) => `${CAUSE_WORDS[share.cause]} ${shareWords(share.share / row.share)}`).join('; ') },
        ]} />
      </details>
    </div>
  );
}
