import { createHash, randomBytes, randomInt } from 'node:crypto';

/** UUID version 7 (RFC 9562 section 5.7): milliseconds first, so that keys of one batch stay near each other. */
export function uuid7(ms: number = Date.now()): string {
  const bytes = randomBytes(16);
  bytes.writeUIntBE(ms, 0, 6);
  bytes[6] = (bytes[6]! & 0x0f) | 0x70;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = bytes.toString('hex');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}

let lastMs = 0;
let count = 0;

/** The next UUID version 7 of this process, each after the one before: the 12 bits after the version count within a millisecond (RFC 9562 section 6.2, method 1). */
function nextUuid7(): string {
  const now = Date.now();
  if (now > lastMs) { lastMs = now; count = 0; }
  else if (++count > 0xfff) { lastMs += 1; count = 0; }
  const id = uuid7(lastMs);
  return `${id.slice(0, 15)}${count.toString(16).padStart(3, '0')}${id.slice(18)}`;
}

/** What acts are given of the outside world by every door that runs on Node. */
export const nodeTools = {
  now: (): Date => new Date(),
  /** ids made one after the other sort in that order, so that records of one act are read in the order in which it made them */
  newId: nextUuid7,
  /** SHA-256 of UTF-8 text, hex */
  sha256: (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex'),
  seed: (): number => randomInt(1, 2 ** 31),
};
