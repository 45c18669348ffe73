import { dayWords, numberWords } from '../../../shared/format.js';
import { Loaded, Section } from '../../../shared/ui/index.js';
import { useSiteExposure } from '../api/exposure.js';
import './site-chain.css';

const ORDER = ['power', 'detection', 'control-unit', 'path', 'station', 'sounder'];

/** A site's ability to raise an alarm as links, each as thick as it is sound; the weakest is marked and explained. */
export function SiteChain({ siteId }: { siteId: string }) {
  const exposure = useSiteExposure(siteId);
  return (
    <Section title="The chain">
      <Loaded query={exposure} what="the exposure">{(shown) => {
        const systems = [...new Set(shown.links.map((link) => link.systemId))];
        return (
          <div className="stack">
            <p>Expected without protection until the next proof ({dayWords(shown.nextProofOn)}): <strong>{numberWords(shown.exposureH, 1)} h</strong>; score {numberWords(shown.score, 0)} of 100{shown.percentile === null ? '' : `, above ${numberWords(shown.percentile, 0)} % of the fleet`}.</p>
            {systems.map((systemId) => (
              <ol className="chain" key={systemId} aria-label="Links of one system">
                {shown.links.filter((link) => link.systemId === systemId).toSorted((a, b) => ORDER.indexOf(a.link) - ORDER.indexOf(b.link)).map((link) => (
                  <li key={link.link} className={link.weakest ? 'weakest' : ''}>
                    <svg viewBox="0 0 88 40" width="88" height="40" aria-hidden="true">
                      {link.soundness === null ? <rect x="6" y="6" width="76" height="28" rx="14" fill="none" stroke="currentColor" strokeWidth="2" strokeDasharray="4 4" />
                        : <rect x="8" y="8" width="72" height="24" rx="12" fill="none" stroke="currentColor" strokeWidth={1 + 11 * Math.max(0, Math.min(1, link.soundness)) ** 6} />}
                      {link.weakest ? <path d="M36 2l8 8 8-8" fill="none" stroke="var(--bad)" strokeWidth="3" /> : null}
                    </svg>
                    <strong>{link.link.replace('-', ' ')}{link.weakest ? ' (weakest)' : ''}</strong>
                    <span className="small">{link.sentence}</span>
                  </li>
                ))}
              </ol>
            ))}
            {shown.reasons.length > 0 ? <ul>{shown.reasons.map((reason) => <li key={reason}>{reason}</li>)}</ul> : null}
            {shown.missing.length > 0 ? <details><summary>{shown.missing.length} values can’t be told; knowing them would change the score</summary><ul>{shown.missing.map((one) => <li key={one}>{one}</li>)}</ul></details> : null}
          </div>
        );
      }}</Loaded>
    </Section>
  );
}
