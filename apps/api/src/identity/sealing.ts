import { createCipheriv, createDecipheriv, createHmac, hkdfSync, randomBytes } from 'node:crypto';
import { Refusal, type Settings } from '@bellround/contracts';

/** Seals short secrets at rest. What is sealed for one place opens only for that place. */
export interface Seal {
  seal(text: string, place: string): string;
  /** Throws Unavailable when it was sealed under another key or for another place. */
  open(sealed: string, place: string): string;
  /** keyed digest: tells whether two texts are the same without keeping either */
  digest(text: string, place: string): string;
}

const NONCE_BYTES = 12;

/** AES-256-GCM (NIST SP 800-38D) with a fresh nonce per text; keys from CODE_KEY, or from LEDGER_KEY by HKDF-SHA-256 (RFC 5869). */
export function sealFrom(settings: Pick<Settings, 'CODE_KEY' | 'LEDGER_KEY'>): Seal {
  const secret = settings.CODE_KEY ?? settings.LEDGER_KEY;
  if (!secret) throw new Refusal('Unavailable', 'No key is set to seal entry codes with. Set CODE_KEY or LEDGER_KEY (64 hex digits each); `npm start` makes one and keeps it.');
  const derived = (use: string) => Buffer.from(hkdfSync('sha256', Buffer.from(secret, 'hex'), Buffer.alloc(0), `bellround entry codes ${use}`, 32));
  const [sealing, digesting] = [derived('sealing'), derived('digest')];
  return {
    seal: (text, place) => {
      const nonce = randomBytes(NONCE_BYTES);
      const cipher = createCipheriv('aes-256-gcm', sealing, nonce).setAAD(Buffer.from(place));
      const body = Buffer.concat([cipher.update(text, 'utf8'), cipher.final()]);
      return ['v1', ...[nonce, cipher.getAuthTag(), body].map((part) => part.toString('base64url'))].join('.');
    },
    open: (sealed, place) => {
      const [version, nonce, tag, body] = sealed.split('.');
      try {
        if (version !== 'v1') throw new Error('unknown version');
        const cipher = createDecipheriv('aes-256-gcm', sealing, Buffer.from(nonce!, 'base64url')).setAAD(Buffer.from(place)).setAuthTag(Buffer.from(tag!, 'base64url'));
        return Buffer.concat([cipher.update(Buffer.from(body!, 'base64url')), cipher.final()]).toString('utf8');
      } catch {
        throw new Refusal('Unavailable', 'This code was sealed under another key of the house and cannot be opened. Ask the office to set it anew.');
      }
    },
    digest: (text, place) => createHmac('sha256', digesting).update(`${place}\n${text}`).digest('hex'),
  };
}

/** What binds a sealed code to its company and key. */
export const placeOf = (companyId: string, keyId: string): string => `${companyId}/${keyId}`;
