import { gcm } from '@noble/ciphers/aes.js';
import { hkdf } from '@noble/hashes/hkdf.js';
import { hmac } from '@noble/hashes/hmac.js';
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, hexToBytes, utf8ToBytes } from '@noble/hashes/utils.js';

/** Bytes of a nonce of AES-GCM (NIST SP 800-38D, 8.2.1). */
export const NONCE_BYTES = 12;

const derived = (secretHex: string, use: string): Uint8Array => hkdf(sha256, hexToBytes(secretHex), new Uint8Array(0), utf8ToBytes(`bellround receiver keys ${use}`), 32);

/**
 * [SIG-70] Seals a receiver's key at rest with AES-256-GCM under a key derived from the house's secret by HKDF-SHA-256 (RFC 5869), for
 * one `place`: moved to another row or company it does not open. `nonce`: 12 bytes, never the same twice for one secret.
 */
export function sealKey(secretHex: string, place: string, keyHex: string, nonce: Uint8Array): string {
  if (nonce.length !== NONCE_BYTES) throw new RangeError(`A nonce of ${nonce.length} bytes; ${NONCE_BYTES} expected.`);
  const both = gcm(derived(secretHex, 'sealing'), nonce, utf8ToBytes(place)).encrypt(hexToBytes(keyHex));
  return ['v1', ...[nonce, both.slice(-16), both.slice(0, -16)].map(base64Url)].join('.');
}

/** The key in upper-case hex; null when it was sealed under another secret, for another place, or was altered. */
export function openKey(secretHex: string, place: string, sealed: string): string | null {
  const [version, nonce, tag, body] = sealed.split('.');
  if (version !== 'v1' || nonce === undefined || tag === undefined || body === undefined) return null;
  try {
    const [begin, text, end] = [bytesOf(nonce), bytesOf(body), bytesOf(tag)];
    const both = new Uint8Array(text.length + end.length);
    both.set(text);
    both.set(end, text.length);
    return bytesToHex(gcm(derived(secretHex, 'sealing'), begin, utf8ToBytes(place)).decrypt(both)).toUpperCase();
  } catch {
    return null;
  }
}

/** Keyed digest (HMAC-SHA-256): tells whether two keys of one place are the same without keeping either. */
export function digestOfKey(secretHex: string, place: string, keyHex: string): string {
  return bytesToHex(hmac(sha256, derived(secretHex, 'digest'), utf8ToBytes(`${place}\n${keyHex.toUpperCase()}`)));
}

const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_';

/** base64url without padding (RFC 4648 section 5). */
function base64Url(bytes: Uint8Array): string {
  let [text, held, bits] = ['', 0, 0];
  for (const byte of bytes) {
    held = (held << 8) | byte;
    bits += 8;
    while (bits >= 6) {
      bits -= 6;
      text += LETTERS[(held >> bits) & 63];
    }
    held &= (1 << bits) - 1;
  }
  return bits > 0 ? text + LETTERS[(held << (6 - bits)) & 63] : text;
}

function bytesOf(text: string): Uint8Array {
  const bytes: number[] = [];
  let [held, bits] = [0, 0];
  for (const letter of text) {
    const value = LETTERS.indexOf(letter);
    if (value < 0) throw new RangeError('no base64url');
    held = (held << 6) | value;
    bits += 6;
    if (bits < 8) continue;
    bits -= 8;
    bytes.push((held >> bits) & 255);
    held &= (1 << bits) - 1;
  }
  return Uint8Array.from(bytes);
}
