import type { Evidence } from '@bellround/contracts';
import { Loaded, Mark, Section } from '../../../shared/ui/index.js';
import { useEvidence } from '../api/signals.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

type Who = Evidence['missing'][number]['who'];
const WHO: Record<Who, string> = { technician: phrase('visits.the-technician-on-site'), station: phrase('visits.the-station-from-its-history'), office: phrase('visits.the-office-from-its-papers'), customer: phrase('visits.the-customer'), time: phrase('visits.time-it-may-still-come-by-itself') };

/** The proofs that are missing, by who can still supply each. A list, never a score. */
export function EvidenceList({ visitId }: { visitId: string }) {
  const evidence = useEvidence(visitId);
  return (
    <Section title={phrase('visits.missing-proofs')}>
      <Loaded query={evidence} what={phrase('visits.the-missing-proofs')}>{({ missing }) => (missing.length === 0 ? <Mark shape="whole" tone="good">{phrase('visits.no-proof-is-missing')}</Mark> : (
        <div className="stack">{(Object.keys(WHO) as Who[]).filter((who) => missing.some((one) => one.who === who)).map((who) => {
          const items = missing.filter((one) => one.who === who);
          return <details key={who} open={items.length <= 6}><summary>{WHO[who]}: {phrase('count.proof', { n: items.length })}</summary><ul>{items.map((one) => <li key={one.key}><strong>{said(one.what)}</strong>: {said(one.words)}</li>)}</ul></details>;
        })}</div>))}</Loaded>
    </Section>
  );
}
