import { createDecipheriv, hkdfSync } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { digestOfKey, openKey, sealKey } from './index.js';

const secret = 'ab'.repeat(32);
const key = '00112233445566778899AABBCCDDEEFF';
const nonce = Uint8Array.from({ length: 12 }, (_, i) => i);
const hexKey = fc.constantFrom(16, 24, 32).chain((bytes) => fc.uint8Array({ minLength: bytes, maxLength: bytes })).map((bytes) => Buffer.from(bytes).toString('hex').toUpperCase());

describe('[SIG-70] keys at rest', () => {
  it('open again with the same secret and place, whatever the key and nonce', () => {
    fc.assert(fc.property(hexKey, fc.uint8Array({ minLength: 12, maxLength: 12 }), fc.string(), (one, fresh, place) => {
      expect(openKey(secret, place, sealKey(secret, place, one, fresh))).toBe(one);
    }));
  });
  it('are sealed as AES-256-GCM with a key of HKDF-SHA-256: another library opens them', () => {
    const [, n, tag, body] = sealKey(secret, 'a/b', key, nonce).split('.');
    const sealing = Buffer.from(hkdfSync('sha256', Buffer.from(secret, 'hex'), Buffer.alloc(0), 'bellround receiver keys sealing', 32));
    const open = createDecipheriv('aes-256-gcm', sealing, Buffer.from(n!, 'base64url')).setAAD(Buffer.from('a/b')).setAuthTag(Buffer.from(tag!, 'base64url'));
    expect(Buffer.concat([open.update(Buffer.from(body!, 'base64url')), open.final()]).toString('hex').toUpperCase()).toBe(key);
  });
  it('hold nothing of the key that can be read', () => expect(sealKey(secret, 'a/b', key, nonce)).not.toContain(Buffer.from(key, 'hex').toString('base64url').slice(0, 6)));
  it.each([['another secret', 'cd'.repeat(32), 'a/b'], ['another place', secret, 'a/c']])('do not open with %s', (_, other, place) => expect(openKey(other, place, sealKey(secret, 'a/b', key, nonce))).toBeNull());
  it('do not open when any letter was altered, or a part is missing', () => {
    const sealed = sealKey(secret, 'a/b', key, nonce);
    for (let at = 0; at < sealed.length; at += 1) {
      const altered = sealed.slice(0, at) + (sealed[at] === 'x' ? 'y' : 'x') + sealed.slice(at + 1);
      // The last letter of a part carries bits that are no part of its bytes.
      if (openKey(secret, 'a/b', altered) !== null) expect([sealed.indexOf('.', 3) - 1, sealed.lastIndexOf('.') - 1, sealed.length - 1]).toContain(at);
    }
    for (const bad of ['', 'v1', 'v1.a.b', 'v2' + sealed.slice(2), 'v1.!.!.!']) expect(openKey(secret, 'a/b', bad)).toBeNull();
  });
  it('digests tell the same from another, and one place from another', () => {
    expect(digestOfKey(secret, 'a/b', key)).toBe(digestOfKey(secret, 'a/b', key.toLowerCase()));
    expect(digestOfKey(secret, 'a/b', key)).not.toBe(digestOfKey(secret, 'a/c', key));
    expect(digestOfKey(secret, 'a/b', key)).not.toBe(digestOfKey(secret, 'a/b', key.replace('F', 'E')));
  });
  it('a nonce of another length is refused', () => expect(() => sealKey(secret, 'a/b', key, nonce.slice(1))).toThrow(RangeError));
});
