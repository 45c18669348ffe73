/** The three hashes of RFC 6962 section 2.1 (SHA-256). Rules TREE-1..3 in SPEC.md. */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, concatBytes, hexToBytes, utf8ToBytes } from '@noble/hashes/utils.js';

/** A SHA-256 hash as 64 lower-case hexadecimal characters. Upper case is refused everywhere: one hash has one spelling. */
export type HashHex = string;

/** Thrown for a hash, size or position that cannot be. */
export class TreeInputError extends Error {
  override readonly name = 'TreeInputError';
}

const LEAF_PREFIX = new Uint8Array([0]);
const NODE_PREFIX = new Uint8Array([1]);
const HASH = /^[0-9a-f]{64}$/;

/** Whether `value` is a hash in its one accepted spelling. */
export function isHash(value: unknown): value is HashHex {
  return typeof value === 'string' && HASH.test(value);
}

/** SHA-256 of nothing: the root of the empty log (RFC 6962 section 2.1). */
export const EMPTY_ROOT: HashHex = bytesToHex(sha256(new Uint8Array(0)));

/** Hash of one log entry: SHA-256(0x00 || entry). Text is taken as UTF-8. */
export function leafHash(entry: Uint8Array | string): HashHex {
  return bytesToHex(sha256(concatBytes(LEAF_PREFIX, typeof entry === 'string' ? utf8ToBytes(entry) : entry)));
}

/** Hash of an inner node: SHA-256(0x01 || left || right). @throws TreeInputError when a side is not a hash. */
export function nodeHash(left: HashHex, right: HashHex): HashHex {
  return bytesToHex(sha256(concatBytes(NODE_PREFIX, bytesOf(left), bytesOf(right))));
}

function bytesOf(hash: HashHex): Uint8Array {
  if (!isHash(hash)) throw new TreeInputError(`'${String(hash).slice(0, 80)}' is not a hash; 64 lower-case hexadecimal characters are accepted`);
  return hexToBytes(hash);
}

/** Throws unless `value` is a whole number from `least` to `most`. */
export function requireWhole(name: string, value: number, least: number, most: number): void {
  if (!Number.isSafeInteger(value) || value < least || value > most) {
    throw new TreeInputError(`${name} is ${value}; a whole number from ${least} to ${most} is accepted`);
  }
}
