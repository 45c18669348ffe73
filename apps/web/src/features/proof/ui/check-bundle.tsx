import type { BundleVerdict } from '@bellround/proof';
import { useId, useState } from 'react';
import { countWords } from '../../../shared/format.js';
import { Empty, Facts, Mark, Section } from '../../../shared/ui/index.js';

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
    <Section title="Check a bundle">
      <label htmlFor={id}>A bundle file, from whomever: it is checked on this device and sent nowhere.</label>
      <input id={id} type="file" accept="application/json,.json" onChange={(event) => void check(event.target.files?.[0])} />
      <div role="status">{isBusy ? 'Checking …' : checked ? <Verdict {...checked} /> : null}</div>
    </Section>
  );
}

function Verdict({ name, verdict }: { name: string; verdict: BundleVerdict }) {
  if (!verdict.ok) {
    return (
      <div className="problem"><Mark shape="fallen" tone="bad">{name} does not hold</Mark>
        <ul>{verdict.failures.slice(0, 50).map((failure) => <li key={`${failure.record} ${failure.why}`}>{failure.record === null ? failure.why : `record ${failure.record + 1}: ${failure.why}`}</li>)}</ul>
      </div>
    );
  }
  return (
    <div className="stack"><Mark shape="whole" tone="good">{name} holds: {countWords(verdict.records, 'record')}, unaltered</Mark>
      <Facts of={[['Company', <code key="company">{verdict.company}</code>], ['Ledger signed at', verdict.signedAt], ['Records in the ledger then', countWords(verdict.treeSize, 'record')], ['Signed by key', <code key="key">{verdict.signedBy}</code>]]} />
      <Empty title="One thing a file cannot show">Compare the key with the one the company published elsewhere: whoever makes a false ledger signs it with a key of their own.</Empty>
    </div>
  );
}
