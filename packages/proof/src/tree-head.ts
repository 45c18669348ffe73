/** Signed tree heads: what a company's log was at an instant, signed with ed25519 (RFC 8032). Rules HEAD-1..4 in SPEC.md. */
import { ed25519 } from '@noble/curves/ed25519.js';
import { bytesToHex, hexToBytes, utf8ToBytes } from '@noble/hashes/utils.js';
import { canonicalJson } from './canonical-json.js';
import { type HashHex, isHash, TreeInputError } from './merkle-hash.js';

/** State of one company's log. `signedAt` is an instant, UTC ISO 8601. */
export interface TreeHead {
  readonly company: string;
  readonly treeSize: number;
  readonly rootHash: HashHex;
  readonly signedAt: string;
}

/** A head and its signature, 128 lower-case hexadecimal characters. */
export interface SignedHead extends TreeHead {
  readonly signature: string;
}

// Bound into the signed text so that the signature can never pass for one over something else.
const PURPOSE = 'bellround tree head 1';
const KEY = /^[0-9a-f]{64}$/;
const SIGNATURE = /^[0-9a-f]{128}$/;
const INSTANT = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d{1,9})?Z$/;

/** The public key of a 32-byte secret seed, both as 64 lower-case hexadecimal characters. Making the seed is the caller's. */
export function publicKeyOf(secretKey: string): string {
  return bytesToHex(ed25519.getPublicKey(keyBytes('secret key', secretKey)));
}

/** Signs `head` with the 32-byte secret seed. Deterministic: same head, same key, same signature. @throws TreeInputError */
export function signHead(head: TreeHead, secretKey: string): SignedHead {
  const why = headFault(head);
  if (why !== null) throw new TreeInputError(why);
  const signature = bytesToHex(ed25519.sign(signedText(head), keyBytes('secret key', secretKey)));
  const { company, treeSize, rootHash, signedAt } = head;
  return { company, treeSize, rootHash, signedAt, signature };
}

/** Whether the head is well formed and its signature is by `publicKey`. Never throws. */
export function verifyHead(head: SignedHead, publicKey: string): boolean {
  if (headFault(head) !== null || !KEY.test(publicKey) || typeof head.signature !== 'string' || !SIGNATURE.test(head.signature)) return false;
  try {
    // zip215: false is the strict reading of RFC 8032: one message and key admit no second spelling of a signature.
    return ed25519.verify(hexToBytes(head.signature), signedText(head), hexToBytes(publicKey), { zip215: false });
  } catch {
    return false;
  }
}

/** What is wrong with the fields of a head, or null. */
export function headFault(head: TreeHead): string | null {
  if (typeof head.company !== 'string' || head.company === '') return 'head company is empty; the company id is expected';
  if (!Number.isSafeInteger(head.treeSize) || head.treeSize < 0) return `head treeSize is ${head.treeSize}; a whole number from 0 is accepted`;
  if (!isHash(head.rootHash)) return 'head rootHash is not a hash; 64 lower-case hexadecimal characters are accepted';
  if (typeof head.signedAt !== 'string' || !INSTANT.test(head.signedAt)) return `head signedAt is '${head.signedAt}'; a UTC instant such as 2027-03-01T09:00:00Z is accepted`;
  return null;
}

function signedText({ company, treeSize, rootHash, signedAt }: TreeHead): Uint8Array {
  return utf8ToBytes(canonicalJson({ purpose: PURPOSE, company, treeSize, rootHash, signedAt }));
}

function keyBytes(name: string, key: string): Uint8Array {
  // The value of a key must never reach a message.
  if (!KEY.test(key)) throw new TreeInputError(`${name} is malformed; 64 lower-case hexadecimal characters are accepted`);
  return hexToBytes(key);
}
