/** The ledger: canonical JSON, an append-only Merkle log, signed heads and proof bundles. Rules in SPEC.md. */
export { canonicalJson, MAX_DEPTH, NotCanonical } from './canonical-json.js';
export type { JsonValue } from './canonical-json.js';
export { EMPTY_ROOT, leafHash, nodeHash, TreeInputError } from './merkle-hash.js';
export type { HashHex } from './merkle-hash.js';
export { EMPTY_FRONTIER, frontierAppend, frontierAppendAll, frontierRoot } from './frontier.js';
export type { CompleteNode, Frontier } from './frontier.js';
export {
  consistencyNodes,
  consistencyProof,
  consistencyProofFrom,
  inclusionNodes,
  inclusionProof,
  inclusionProofFrom,
  merkleRoot,
  verifyConsistency,
  verifyInclusion,
} from './merkle-proof.js';
export type { NodePosition, ReadNode, TreeState } from './merkle-proof.js';
export { publicKeyOf, signHead, verifyHead } from './tree-head.js';
export type { SignedHead, TreeHead } from './tree-head.js';
export { BUNDLE_FORMAT, BundleRefused, bundleText, makeBundle, recordHash, verifyBundle, verifyBundleText } from './bundle.js';
export type { Bundle, BundleFailure, BundleParts, BundleRecord, BundleVerdict, VerifyOptions } from './bundle.js';
