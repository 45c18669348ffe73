/** Why text was not taken as a signal. Each name has its own words; nothing is guessed from a damaged frame. */
export type SignalErrorName =
  | 'not-a-signal' | 'too-long' | 'not-framed' | 'bad-crc-field' | 'bad-length-field' | 'length-mismatch' | 'crc-mismatch' | 'bad-body'
  | 'account-mismatch' | 'bad-data' | 'key-unknown' | 'not-decryptable' | 'encryption-required' | 'timestamp-missing' | 'bad-timestamp' | 'timestamp-outside'
  | 'short' | 'bad-digit' | 'bad-checksum' | 'bad-message-type' | 'bad-qualifier';

export type SignalError = { readonly name: SignalErrorName; readonly words: string };
export type Decoded<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly error: SignalError };

export function refused(name: SignalErrorName, words: string): { readonly ok: false; readonly error: SignalError } {
  return { ok: false, error: { name, words } };
}

/** Text for an error message: short, and with nothing that could steer a terminal or a page. */
export function quoted(text: string): string {
  const shown = text.slice(0, 24).replace(/[^\x20-\x7e]/g, '?');
  return `'${shown}${text.length > 24 ? '...' : ''}'`;
}
