import type { Evidence } from '@bellround/contracts';
import { countWords } from '../../../shared/format.js';
import { Loaded, Mark, Section } from '../../../shared/ui/index.js';
import { useEvidence } from '../api/signals.js';

type Who = Evidence['missing'][number]['who'];
const WHO: Record<Who, string> = { technician: 'The technician, on site', station: 'The station, from its history', office: 'The office, from its papers', customer: 'The customer', time: 'Time: it may still come by itself' };

/** The proofs that are missing, by who can still supply each. A list, never a score. */
export function EvidenceList({ visitId }: { visitId: string }) {
  const evidence = useEvidence(visitId);
  return (
    <Section title="Missing proofs">
      <Loaded query={evidence} what="the missing proofs">{({ missing }) => (missing.length === 0 ? <Mark shape="whole" tone="good">No proof is missing</Mark> : (
        <div className="stack">{(Object.keys(WHO) as Who[]).filter((who) => missing.some((one) => one.who === who)).map((who) => {
          const items = missing.filter((one) => one.who === who);
          return <details key={who} open={items.length <= 6}><summary>{WHO[who]}: {countWords(items.length, 'proof')}</summary><ul>{items.map((one) => <li key={one.key}><strong>{one.what}</strong>: {one.words}</li>)}</ul></details>;
        })}</div>))}</Loaded>
    </Section>
  );
}
