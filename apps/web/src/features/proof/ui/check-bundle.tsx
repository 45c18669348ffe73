import type { BundleVerdict } from '@bellround/proof';
import { useId, useState } from 'react';
import { Empty, Facts, Mark, Section } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';

/** Checks a bundle file in this browser: it is not sent anywhere, and this server is not trusted. */
export function CheckBundle() {
  const id = useId();
  const [checked, setChecked] = useState<{ name: string; verdict: BundleVerdict } | null>(null);
  const [isBusy, setBusy] = useState(false);
  const check = async (file: File | undefined) => {
    if (!file) return;
    setBusy(true);
    try {
      // Fetched only when somebody checks: the curve's arithmetic is no part of the first load.
      const [{ verifyBundleText }, text] = await Promise.all([import('@bellround/proof'), file.text()]);
      setChecked({ name: file.name, verdict: verifyBundleText(text) });
    } finally {
      setBusy(false);
    }
  };
  return (
    <Section title={phrase('proof.check-a-bundle')}>
      <label htmlFor={id}>{phrase('proof.a-bundle-file-from-whomever-it-is')}</label>
      <input id={id} type="file" accept="application/json,.json" onChange={(event) => void check(event.target.files?.[0])} />
      <div role="status">{isBusy ? phrase('proof.checking') : checked ? <Verdict {...checked} /> : null}</div>
    </Section>
  );
}

function Verdict({ name, verdict }: { name: string; verdict: BundleVerdict }) {
  if (!verdict.ok) {
    return (
      <div className="problem"><Mark shape="fallen" tone="bad">{phrase('proof.name-does-not-hold', { name })}</Mark>
        <ul>{verdict.failures.slice(0, 50).map((failure) => <li key={`${failure.record} ${failure.why}`}>{failure.record === null ? failure.why : phrase('proof.record-value-why', { value: failure.record + 1, why: failure.why })}</li>)}</ul>
      </div>
    );
  }
  return (
    <div className="stack"><Mark shape="whole" tone="good">{phrase('proof.name-holds-records-unaltered', { name, records: phrase('count.record', { n: verdict.records }) })}</Mark>
      <Facts of={[[phrase('proof.company'), <code key="company">{verdict.company}</code>], [phrase('proof.ledger-signed-at'), verdict.signedAt], [phrase('proof.records-in-the-ledger-then'), phrase('count.record', { n: verdict.treeSize })], [phrase('proof.signed-by-key'), <code key="key">{verdict.signedBy}</code>]]} />
      <Empty title={phrase('proof.one-thing-a-file-cannot-show')}>{phrase('proof.compare-the-key-with-the-one-the')}</Empty>
    </div>
  );
}
