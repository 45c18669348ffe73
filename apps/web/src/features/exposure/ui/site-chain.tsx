import { CAUSE_WORDS, type SiteExposureView } from '@bellround/contracts';
import { dayWords, numberWords } from '../../../shared/format.js';
import { LinkButton, Loaded, Mark, Section, Table } from '../../../shared/ui/index.js';
import { useSiteExposure } from '../api/exposure.js';
import { capital, classWords, fleetWords, hoursWords, ninesOf, shareWords } from './exposure-words.js';
import { VisitCurve } from './visit-curve.js';
import { WhatIfForm } from './what-if-form.js';
import './site-chain.css';
import { phrase } from '../../../shared/language/index.js';
import { PART_CLASS, SYSTEM_KIND, wordOf } from '../../../shared/words.js';
import { said } from '../../../shared/language/said.js';

const ORDER = ['power', 'detection', 'control-unit', 'path', 'station', 'sounder'];
type Link = SiteExposureView['links'][number];

/** A site's ability to raise an alarm as links, each as thick as it is sound; the weakest is marked and explained, then what it is made of. */
export function SiteChain({ siteId }: { siteId: string }) {
  const exposure = useSiteExposure(siteId);
  return (
    <Section title={phrase('exposure.the-chain')} actions={<LinkButton size="small" to="/risk-model">{phrase('exposure.what-the-numbers-rest-on')}</LinkButton>}>
      <Loaded query={exposure} what={phrase('exposure.the-exposure')}>{(shown) => (
        <div className="stack wide">
          <div className="stack">
            <p>{phrase('exposure.expected-without-protection-until-the-next-proof', { nextProofOn: dayWords(shown.nextProofOn), nextProofWhy: said(shown.nextProofWhy) })} <strong>{hoursWords(shown.exposureH)}</strong>{phrase('exposure.in-the-year-ahead-yearaheadh-score-score', { yearAheadH: hoursWords(shown.yearAheadH), score: numberWords(shown.score, 0), value: shown.percentile === null ? '' : phrase('exposure.above-percentile-of-the-fleet-2', { percentile: fleetWords(shown.percentile) }) })}</p>
            {[...new Set(shown.links.map((link) => link.systemId))].map((systemId) => <SystemChain key={systemId} links={shown.links.filter((link) => link.systemId === systemId)} kind={shown.systems.find((one) => one.systemId === systemId)?.kind ?? null} />)}
            <p className="note">{phrase('exposure.a-link-is-one-step-thicker-for')}</p>
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
      {kind === null ? <h3>{phrase('exposure.no-system-is-recorded')}</h3> : <h3>{phrase('exposure.value-system', { value: capital(wordOf(SYSTEM_KIND, kind)) })}</h3>}
      {weakest ? <p><Mark shape="fallen" tone="bad">{phrase('exposure.weakest-link')}</Mark> {capital(said(weakest.sentence))}.</p> : null}
      <ol className="chain" aria-label={phrase('exposure.links-of-the-value-system-in-the', { value: kind === null ? phrase('exposure.unrecorded') : wordOf(SYSTEM_KIND, kind) })}>
        {links.toSorted((a, b) => ORDER.indexOf(a.link) - ORDER.indexOf(b.link)).map((link) => (
          <li key={link.link} className={link.weakest ? 'weakest' : ''}>
            <LinkShape link={link} />
            <strong>{capital(wordOf(PART_CLASS, link.link))}{link.weakest ? phrase('exposure.weakest') : ''}</strong>
            <span className="small">{link.soundness === null ? phrase('exposure.cant-tell-2') : link.link === 'station' ? phrase('exposure.heard') : phrase('exposure.share-of-the-exposure', { share: shareWords(link.share) })}</span>
            <span className="small quiet">{link.weakest ? null : capital(afterName(said(link.sentence)))}</span>
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
      <summary>{phrase('exposure.missing-value-cant-be-told-and-count', { missing: shown.missing.length, value: shown.missing.length === 1 ? phrase('exposure.value-2') : phrase('exposure.values'), ifKnownGoodH: hoursWords(shown.ifKnownGoodH), exposureH: hoursWords(shown.exposureH) })}</summary>
      <ul>{shown.missing.map((one, at) => <li key={`${at} ${one}`}>{capital(said(one))}</li>)}</ul>
    </details>
  );
}

function Parts({ shown }: { shown: SiteExposureView }) {
  const causesOf = (componentId: string, systemId: string) => shown.shares.filter((share) => share.componentId === componentId && share.systemId === systemId);
  return (
    <div className="stack">
      <h3>{phrase('exposure.what-it-is-made-of')}</h3>
      {shown.reasons.length > 0 ? <ul>{shown.reasons.map((reason) => <li key={reason}>{capital(said(reason))}</li>)}</ul> : null}
      <details>
        <summary>{phrase('exposure.every-part-and-cause-the-shares-sum')}</summary>
        <Table caption={phrase('exposure.parts-by-their-share-of-the-exposure')} rows={shown.components} rowKey={(row) => `${row.systemId} ${row.componentId}`} columns={[
          { key: 'part', title: phrase('exposure.part'), cell: (row) => <>{row.label} <span className="small quiet">{classWords(row.class)}</span></> },
          { key: 'share', title: phrase('exposure.share'), align: 'end', sortBy: (row) => row.share, cell: (row) => (row.share < 0.0005 ? phrase('exposure.under-0-1') : `${numberWords(row.share * 100, 1)} %`) },
          { key: 'causes', title: phrase('exposure.because-of'), cell: (row) => causesOf(row.componentId, row.systemId).map((share) => `${said(CAUSE_WORDS[share.cause])} ${shareWords(share.share / row.share)}`).join('; ') },
        ]} />
      </details>
    </div>
  );
}

const afterName = (sentence: string): string => sentence.slice(sentence.indexOf(': ') + 2);
