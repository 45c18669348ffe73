/** Proof bundles: records, the proofs that a company's log holds them, and the signed head. Rules BUN-1..8 in SPEC.md. */
import { canonicalJson, type JsonValue, NotCanonical } from './canonical-json.js';
import { type HashHex, leafHash } from './merkle-hash.js';
import { verifyInclusion } from './merkle-proof.js';
import { headFault, type SignedHead, verifyHead } from './tree-head.js';

/** The only format so far. */
export const BUNDLE_FORMAT = 'bellround proof bundle 1';

/** One record and its place in the log. Its leaf is leafHash(canonicalJson(record)). */
export interface BundleRecord {
  readonly index: number;
  readonly record: JsonValue;
}

/** What a bundle is made of; `proofs[i]` is the inclusion proof of `records[i]` in the head's tree. */
export interface BundleParts {
  readonly company: string;
  readonly records: readonly BundleRecord[];
  readonly proofs: readonly (readonly HashHex[])[];
  readonly head: SignedHead;
  readonly publicKey: string;
}

/** A bundle as handed out. JSON-able. */
export interface Bundle extends BundleParts {
  readonly format: typeof BUNDLE_FORMAT;
}

/** `record` is the record's place in the bundle's list, or null when the bundle as a whole is at fault. */
export interface BundleFailure {
  readonly record: number | null;
  readonly why: string;
}

/** `signedBy` is the key the bundle names: who holds it must be known from elsewhere, or given as `expectedPublicKey`. */
export type BundleVerdict =
  | { readonly ok: true; readonly company: string; readonly records: number; readonly treeSize: number; readonly signedAt: string; readonly signedBy: string }
  | { readonly ok: false; readonly failures: readonly BundleFailure[] };

/** Thrown by makeBundle: what it was given would not verify. */
export class BundleRefused extends Error {
  override readonly name = 'BundleRefused';
  constructor(readonly failures: readonly BundleFailure[]) {
    super(failures.map((failure) => (failure.record === null ? failure.why : `record ${failure.record}: ${failure.why}`)).join('\n'));
  }
}

/** Hash of a record as the log holds it. @throws NotCanonical */
export function recordHash(record: unknown): HashHex {
  return leafHash(canonicalJson(record));
}

/** Builds a bundle that verifies. @throws BundleRefused naming every record at fault. */
export function makeBundle(parts: BundleParts): Bundle {
  const { company, records, proofs, head, publicKey } = parts;
  const bundle: Bundle = { format: BUNDLE_FORMAT, company, records, proofs, head, publicKey };
  const verdict = verifyBundle(bundle);
  if (!verdict.ok) throw new BundleRefused(verdict.failures);
  return bundle;
}

/** The bundle as the text of a file: canonical, so that not one character can change unseen. */
export function bundleText(bundle: Bundle): string {
  return canonicalJson(bundle);
}

/**
 * Verifies a bundle file. Only the exact canonical text is accepted (one line feed at the end is allowed), so that a repeated name or a
 * second spelling of a value cannot show a reader something else than what was verified.
 */
export function verifyBundleText(text: string, options: VerifyOptions = {}): BundleVerdict {
  let parsed: unknown;
  try {
    parsed = JSON.parse(text);
    const canonical = canonicalJson(parsed);
    if (text !== canonical && text !== `${canonical}\n`) return refused('the file is not in canonical form; use the file as it was handed out');
  } catch (error) {
    return refused(error instanceof NotCanonical ? error.message : 'the file is not JSON');
  }
  return verifyBundle(parsed, options);
}

/** `expectedPublicKey`: the company's key as known from elsewhere; without it only the bundle's inner agreement is shown. */
export interface VerifyOptions {
  readonly expectedPublicKey?: string;
}

/** Whether every record is in the log that the head signs. Takes anything, throws nothing; every fault found is listed. */
export function verifyBundle(value: unknown, options: VerifyOptions = {}): BundleVerdict {
  const shape = shapeFaults(value);
  if (shape.length > 0) return { ok: false, failures: shape };
  const bundle = value as Bundle;
  const failures = [...headFailures(bundle, options), ...recordFailures(bundle)];
  if (failures.length > 0) return { ok: false, failures };
  const { treeSize, signedAt } = bundle.head;
  return { ok: true, company: bundle.company, records: bundle.records.length, treeSize, signedAt, signedBy: bundle.publicKey };
}

function headFailures(bundle: Bundle, options: VerifyOptions): BundleFailure[] {
  const failures: BundleFailure[] = [];
  const fail = (why: string) => failures.push({ record: null, why });
  const fault = headFault(bundle.head);
  if (fault !== null) fail(fault);
  else if (!verifyHead(bundle.head, bundle.publicKey)) fail('the head is not signed by the key in the bundle');
  if (bundle.company !== bundle.head.company) fail(`the bundle names company '${bundle.company}', the signed head '${bundle.head.company}'`);
  const expected = options.expectedPublicKey;
  if (expected !== undefined && expected !== bundle.publicKey) fail('the bundle is signed by another key than the one expected');
  return failures;
}

function recordFailures(bundle: Bundle): BundleFailure[] {
  const failures: BundleFailure[] = [];
  const tree = { size: bundle.head.treeSize, root: bundle.head.rootHash };
  const seen = new Set<number>();
  bundle.records.forEach(({ index, record }, at) => {
    if (seen.has(index)) failures.push({ record: at, why: `entry ${index} of the log is in the bundle twice` });
    seen.add(index);
    try {
      if (!verifyInclusion(recordHash(record), index, tree, bundle.proofs[at] as readonly HashHex[])) {
        failures.push({ record: at, why: `not shown to be entry ${index} of the signed log: the record or its proof was altered` });
      }
    } catch (error) {
      failures.push({ record: at, why: error instanceof Error ? error.message : 'the record cannot be read' });
    }
  });
  return failures;
}

const BUNDLE_FIELDS = ['format', 'company', 'records', 'proofs', 'head', 'publicKey'];
const HEAD_FIELDS = ['company', 'treeSize', 'rootHash', 'signedAt', 'signature'];

// Exact fields only: an added field would look proven beside those that are.
function shapeFaults(value: unknown): BundleFailure[] {
  const faults: BundleFailure[] = [];
  const fail = (record: number | null, why: string) => faults.push({ record, why });
  const difference = fieldDifference(value, BUNDLE_FIELDS);
  if (difference !== null) return [{ record: null, why: `bundle: ${difference}` }];
  const bundle = value as Record<string, unknown>;
  if (bundle.format !== BUNDLE_FORMAT) fail(null, `format is '${String(bundle.format)}'; '${BUNDLE_FORMAT}' is accepted`);
  if (typeof bundle.company !== 'string') fail(null, 'company is not text');
  if (typeof bundle.publicKey !== 'string') fail(null, 'publicKey is not text');
  const inHead = fieldDifference(bundle.head, HEAD_FIELDS);
  if (inHead !== null) fail(null, `head: ${inHead}`);
  const { records, proofs } = bundle;
  if (!Array.isArray(records) || !Array.isArray(proofs)) fail(null, 'records and proofs must be lists');
  else if (records.length !== proofs.length) fail(null, `${records.length} records but ${proofs.length} proofs`);
  else {
    records.forEach((record: unknown, at) => {
      const inRecord = fieldDifference(record, ['index', 'record']);
      if (inRecord !== null) fail(at, inRecord);
      if (!Array.isArray(proofs[at])) fail(at, 'its proof is not a list');
    });
  }
  return faults;
}

function fieldDifference(value: unknown, expected: readonly string[]): string | null {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return 'an object is expected';
  const names = Object.keys(value);
  const missing = expected.filter((name) => !names.includes(name));
  if (missing.length > 0) return `${missing.join(', ')} missing`;
  const extra = names.filter((name) => !expected.includes(name));
  return extra.length > 0 ? `unknown field ${extra.join(', ')}` : null;
}

function refused(why: string): BundleVerdict {
  return { ok: false, failures: [{ record: null, why }] };
}
