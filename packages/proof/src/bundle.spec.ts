import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bundleText, makeBundle, recordHash, verifyBundle, verifyBundleText } from './bundle.js';
import type { JsonValue } from './canonical-json.js';
import { inclusionProof, merkleRoot } from './merkle-proof.js';
import { publicKeyOf, signHead, verifyHead } from './tree-head.js';

const SECRET = '07'.repeat(32);
const OTHER = '09'.repeat(32);
const log: JsonValue[] = Array.from({ length: 11 }, (_, i) => ({
  checkId: `0190a000-0000-7000-8000-0000000000${10 + i}`,
  kind: 'standby battery on load',
  verdict: i === 4 ? 'fail' : 'pass',
  readings: [{ name: 'V on load', voltageMv: 12_100 + i }, { name: 'note', text: 'línea 2 – "A"' }],
  excused: null,
}));
const leaves = log.map(recordHash);
const head = signHead({ company: 'co-1', treeSize: log.length, rootHash: merkleRoot(leaves), signedAt: '2027-03-01T09:00:00Z' }, SECRET);
const chosen = [2, 4, 10];
const parts = {
  company: 'co-1',
  records: chosen.map((index) => ({ index, record: log[index] as JsonValue })),
  proofs: chosen.map((index) => inclusionProof(leaves, index)),
  head,
  publicKey: publicKeyOf(SECRET),
};
const bundle = makeBundle(parts);
const text = bundleText(bundle);

describe('signed heads', () => {
  it('[HEAD-1] [HEAD-2] the same head has the same signature, and it verifies', () => {
    expect(signHead(head, SECRET)).toEqual(head);
    expect(verifyHead(head, publicKeyOf(SECRET))).toBe(true);
  });
  it.each([
    ['company', { company: 'co-2' }],
    ['treeSize', { treeSize: 12 }],
    ['rootHash', { rootHash: leaves[0] as string }],
    ['signedAt', { signedAt: '2027-03-01T09:00:01Z' }],
    ['signature', { signature: head.signature.replace(/.$/, (c) => (c === '0' ? '1' : '0')) }],
    ['signature in upper case', { signature: head.signature.toUpperCase() }],
  ])('[HEAD-3] altered %s fails', (_name, change) => expect(verifyHead({ ...head, ...change }, publicKeyOf(SECRET))).toBe(false));
  it('[HEAD-3] another key fails', () => expect(verifyHead(head, publicKeyOf(OTHER))).toBe(false));
  it('[HEAD-4] a malformed secret is not repeated in the message', () => {
    expect(() => signHead(head, 'hunter2')).toThrow('secret key is malformed; 64 lower-case hexadecimal characters are accepted');
  });
});

/** Every change of one leaf value: each scalar replaced, each list shortened, each name dropped or added. */
function* mutations(value: unknown, path: string): Generator<[string, unknown]> {
  if (typeof value === 'string') {
    yield [`${path} text changed`, `${value}x`];
    if (value.length > 0) yield [`${path} last character changed`, value.slice(0, -1) + (value.endsWith('0') ? '1' : '0')];
    if (value !== value.toUpperCase()) yield [`${path} case changed`, value.toUpperCase()];
  } else if (typeof value === 'number') yield [`${path} + 1`, value + 1];
  else if (value === null) yield [`${path} null to 0`, 0];
  else if (Array.isArray(value)) {
    yield [`${path} shortened`, value.slice(1)];
    yield [`${path} lengthened`, [...value, value[0]]];
    for (let at = 0; at < value.length; at++) for (const [name, changed] of mutations(value[at], `${path}[${at}]`)) yield [name, value.with(at, changed)];
  } else {
    const fields = value as Record<string, unknown>;
    yield [`${path} name added`, { ...fields, extra: 1 }];
    for (const name of Object.keys(fields)) {
      const { [name]: _dropped, ...rest } = fields;
      yield [`${path}.${name} dropped`, rest];
      for (const [label, changed] of mutations(fields[name], `${path}.${name}`)) yield [label, { ...fields, [name]: changed }];
    }
  }
}

describe('bundles', () => {
  it('[BUN-1] [BUN-8] a true bundle verifies and names its key', () => {
    expect(verifyBundle(bundle)).toEqual({ ok: true, company: 'co-1', records: 3, treeSize: 11, signedAt: '2027-03-01T09:00:00Z', signedBy: parts.publicKey });
    expect(verifyBundleText(text, { expectedPublicKey: parts.publicKey }).ok).toBe(true);
    expect(verifyBundleText(`${text}\n`).ok).toBe(true);
  });

  it('[BUN-4] every change of every field is refused', () => {
    const accepted: string[] = [];
    let tried = 0;
    for (const [name, changed] of mutations(bundle, '$')) {
      tried += 1;
      if (verifyBundle(changed).ok) accepted.push(name);
    }
    expect(accepted).toEqual([]);
    expect(tried).toBeGreaterThan(150);
  });

  it('[BUN-5] no character of the file can be altered, dropped or doubled', () => {
    fc.assert(
      fc.property(fc.nat({ max: text.length - 1 }), fc.integer({ min: 32, max: 126 }), fc.constantFrom('alter', 'drop', 'double'), (at, code, how) => {
        const put = how === 'drop' ? '' : how === 'double' ? (text[at] as string).repeat(2) : String.fromCharCode(code);
        const changed = text.slice(0, at) + put + text.slice(at + 1);
        return changed === text || !verifyBundleText(changed).ok;
      }),
      { numRuns: 400 },
    );
  });

  it('[BUN-5] a repeated name is refused though a JSON reader would take the last', () => {
    const doubled = text.replace('"company":"co-1"', '"company":"co-9","company":"co-1"');
    expect(JSON.parse(doubled)).toEqual(JSON.parse(text));
    expect(verifyBundleText(doubled)).toEqual({ ok: false, failures: [{ record: null, why: 'the file is not in canonical form; use the file as it was handed out' }] });
  });

  it('[BUN-2] an untrue bundle cannot be made, and each record at fault is named', () => {
    const wrong = { ...parts, records: parts.records.map((r, at) => (at === 1 ? { ...r, record: { verdict: 'pass' } } : r)) };
    expect(() => makeBundle(wrong)).toThrow('record 1: not shown to be entry 4 of the signed log: the record or its proof was altered');
  });

  it('[BUN-6] [BUN-7] another company, an entry twice', () => {
    expect(verifyBundle({ ...bundle, company: 'co-2' })).toMatchObject({ ok: false, failures: [{ record: null }] });
    const twice = { ...bundle, records: [...bundle.records, bundle.records[0]], proofs: [...bundle.proofs, bundle.proofs[0]] };
    expect(verifyBundle(twice)).toEqual({ ok: false, failures: [{ record: 3, why: 'entry 2 of the log is in the bundle twice' }] });
  });

  it('[BUN-8] a bundle signed anew by somebody else is refused when the key is known', () => {
    const forged = { ...parts, head: signHead(head, OTHER), publicKey: publicKeyOf(OTHER) };
    expect(verifyBundle(makeBundle(forged)).ok).toBe(true);
    expect(verifyBundle(makeBundle(forged), { expectedPublicKey: parts.publicKey })).toMatchObject({ ok: false });
  });

  it('[BUN-3] anything may be given', () => {
    let refused = 0;
    fc.assert(
      fc.property(fc.anything(), (value) => {
        refused += 1;
        return !verifyBundle(value).ok && !verifyBundleText(String(JSON.stringify(value))).ok;
      }),
    );
    expect(refused).toBeGreaterThan(0);
    expect(verifyBundle({ ...bundle, head: null })).toMatchObject({ ok: false, failures: [{ record: null, why: 'head: an object is expected' }] });
  });
});
