let lastMs = 0;
let counter = 0;

/**
 * A new UUID version 7 (RFC 9562 section 5.7), made on this device so that sending something twice is sending it once.
 * Ids of one tab rise even when they are made within one millisecond or the clock steps back (method 1 of section 6.2).
 */
export function newId(now: number = Date.now(), random: (bytes: Uint8Array<ArrayBuffer>) => Uint8Array = (bytes) => crypto.getRandomValues(bytes)): string {
  const bytes = random(new Uint8Array(16)).slice();
  if (now > lastMs) {
    lastMs = now;
    counter = ((bytes[6]! & 0x07) << 8) | bytes[7]!;
  } else {
    counter += 1;
    if (counter > 0xfff) { counter = 0; lastMs += 1; }
  }
  for (let i = 0; i < 6; i++) bytes[i] = Math.floor(lastMs / 2 ** (8 * (5 - i))) & 0xff;
  bytes[6] = 0x70 | (counter >> 8);
  bytes[7] = counter & 0xff;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}
