import { cbc } from '@noble/ciphers/aes.js';
import { crc16Arc } from './crc.js';
import { type Decoded, quoted, refused } from './decoded.js';

/** One DC-09 frame. SIA DC-09, clauses 5.4.1 to 5.5.1 (SEEN-R: public code citing them; checked on published frames). */
export type Dc09Frame = {
  /** 'SIA-DCS', 'ADM-CID', 'NULL', 'ACK', 'NAK', 'DUH', 'RSP' or another token; without the leading '*'. */
  readonly token: string;
  readonly encrypted: boolean;
  /** 0 to 9999. */
  readonly sequence: number;
  readonly receiver: string | null;
  readonly line: string;
  readonly account: string | null;
  /** What stands in the first brackets, '#acct|data'; '' when they are empty. */
  readonly data: string;
  readonly extensions: readonly { readonly kind: string; readonly value: string }[];
  /** Instant in UTC, to the second, or null. */
  readonly sentAt: string | null;
};

export type Dc09Options = {
  /** AES keys of 16, 24 or 32 bytes in hex, by account. */
  readonly keys?: Readonly<Record<string, string>>;
  /** One key for whatever account has none of its own in `keys`: to read a single frame at a desk. */
  readonly anyKey?: string;
  /** The receiver's clock, UTC. Null: a stored history is read, so the time window is not held. */
  readonly now: string | null;
  /** Refuse what is not encrypted, for accounts that have a key. */
  readonly requireEncryption?: boolean;
};

/** Longest frame looked at; nothing real comes near it. */
export const longestFrame = 4096;
const [earlyS, lateS] = [20, 40];

/**
 * [SIG-10] Decodes one frame, on the wire (LF first, CR last) or bare (neither). CRC and length cover the body only.
 * Encrypted frames need a key and a time within +20/-40 s of the receiver's clock (5.5.1.9). Never throws on any text.
 * The letters of CRC and length may be in either case, as published frames have both: there a flipped case bit is the same number.
 */
export function decodeDc09(frame: string, options: Dc09Options): Decoded<Dc09Frame> {
  const body = unframe(frame);
  if (!body.ok) return body;
  const head = header(body.value);
  if (!head.ok) return head;
  const { fields, rest } = head.value;
  const opened = fields.encrypted ? decrypt(rest, keyOf(options, fields.account)) : plain(rest, fields, options);
  if (!opened.ok) return opened;
  const tail = blocks(opened.value);
  if (!tail.ok) return tail;
  const frameOut = { ...fields, ...tail.value };
  const clock = fields.encrypted ? window(frameOut.sentAt, options.now) : null;
  return clock ?? accountsAgree(frameOut);
}

function unframe(frame: string): Decoded<string> {
  if (frame.length > longestFrame) return refused('too-long', `${frame.length} characters; ${longestFrame} at most.`);
  const [starts, ends] = [frame.startsWith('\n'), frame.endsWith('\r')];
  if (starts !== ends) return refused('not-framed', `The frame lacks its ${starts ? 'last CR' : 'first LF'}: cut off.`);
  const inner = starts ? frame.slice(1, -1) : frame;
  if (!/^[0-9A-Fa-f]{4}/.test(inner)) return refused('bad-crc-field', `The first four characters are no CRC in hex: ${quoted(inner.slice(0, 4))}.`);
  if (!/^0[0-9A-Fa-f]{3}$/.test(inner.slice(4, 8))) return refused('bad-length-field', `The length field is not 0 and three hex digits: ${quoted(inner.slice(4, 8))}.`);
  const body = inner.slice(8);
  const [length, crc] = [parseInt(inner.slice(4, 8), 16), parseInt(inner.slice(0, 4), 16)];
  if (length !== body.length) return refused('length-mismatch', `The frame says ${length} characters and has ${body.length}.`);
  for (let i = 0; i < body.length; i += 1) if (body.charCodeAt(i) > 0xff) return refused('bad-body', 'The body holds characters that are no bytes.');
  const computed = crc16Arc(body);
  if (computed !== crc) return refused('crc-mismatch', `CRC ${hex(crc)} in the frame, ${hex(computed)} computed.`);
  return { ok: true, value: body };
}

type Fields = Pick<Dc09Frame, 'token' | 'encrypted' | 'sequence' | 'receiver' | 'line' | 'account'>;

function header(body: string): Decoded<{ fields: Fields; rest: string }> {
  const at = body.indexOf('[');
  const match = /^"(\*?)([A-Z]{3}(?:-[A-Z]{3})?|NULL)"(\d{4})(.*)$/.exec(at < 0 ? '' : body.slice(0, at));
  if (match === null) return refused('bad-body', `Token, sequence or brackets are missing: ${quoted(body)}.`);
  const [, star, token, sequence, address] = match as unknown as [string, string, string, string, string];
  // The refusal reply has the fixed address R0L0A0, whose A0 is no account and no part of the line.
  const fixed = /^R0L0A0$/.test(address);
  const parts = fixed ? ['', '0', '0', undefined] : /^(?:R([0-9A-Fa-f]{1,6}))?L([0-9A-Fa-f]{1,6})(?:#([0-9A-Fa-f]{3,16}))?$/.exec(address);
  if (parts === null) return refused('bad-body', `Receiver, line or account do not read: ${quoted(address)}.`);
  const fields: Fields = { token, encrypted: star === '*', sequence: Number(sequence), receiver: parts[1] ?? null, line: parts[2]!, account: parts[3] ?? null };
  return { ok: true, value: { fields, rest: body.slice(at + 1) } };
}

function plain(rest: string, fields: Fields, options: Dc09Options): Decoded<string> {
  const mustHide = options.requireEncryption === true && fields.token !== 'NULL' && keyOf(options, fields.account) !== undefined;
  return mustHide ? refused('encryption-required', `Account ${fields.account} has a key; a frame in the clear is not taken.`) : { ok: true, value: rest };
}

function keyOf({ keys, anyKey }: Dc09Options, account: string | null): string | undefined {
  return keys !== undefined && account !== null && Object.hasOwn(keys, account) ? keys[account] : anyKey;
}

/** AES-CBC with a zero vector; padding stands in front, up to the first '|'. */
function decrypt(cipherHex: string, keyHex: string | undefined): Decoded<string> {
  const key = keyHex === undefined ? null : bytesOfHex(keyHex);
  if (key === null || ![16, 24, 32].includes(key.length)) return refused('key-unknown', 'The frame is encrypted and no key of this account is known.');
  const bytes = bytesOfHex(cipherHex);
  if (bytes === null || bytes.length === 0 || bytes.length % 16 !== 0) return refused('not-decryptable', 'The encrypted part is no whole number of 16-byte blocks in hex.');
  const clear = cbc(key, new Uint8Array(16), { disablePadding: true }).decrypt(bytes);
  const text = textOfBytes(clear);
  const pad = text.indexOf('|');
  // A wrong key gives noise, which has no padding mark, or no bracket and time behind it.
  if (pad < 0 || !/^[\x20-\x7e]*$/.test(text.slice(pad))) return refused('not-decryptable', 'The key does not open this frame.');
  return { ok: true, value: text.slice(pad + 1) };
}

type Tail = Pick<Dc09Frame, 'data' | 'extensions' | 'sentAt'>;

function blocks(rest: string): Decoded<Tail> {
  const match = /^([^[\]]*)\]((?:\[[A-Z][^[\]]*\])*)(?:_(.{0,40}))?$/s.exec(rest);
  if (match === null) return refused('bad-body', 'Data, extension blocks or time stamp do not read.');
  const [, data, ext, stamp] = match as unknown as [string, string, string, string | undefined];
  const sentAt = stamp === undefined ? null : instantOfStamp(stamp);
  if (stamp !== undefined && sentAt === null) return refused('bad-timestamp', `The time stamp ${quoted(stamp)} is not HH:MM:SS,MM-DD-YYYY.`);
  const extensions = [...ext.matchAll(/\[([A-Z])([^[\]]*)\]/g)].map(([, kind, value]) => ({ kind: kind!, value: value! }));
  return { ok: true, value: { data, extensions, sentAt } };
}

function window(sentAt: string | null, now: string | null): { ok: false; error: { name: 'timestamp-missing' | 'timestamp-outside'; words: string } } | null {
  if (sentAt === null) return { ok: false, error: { name: 'timestamp-missing', words: 'An encrypted frame must carry its time.' } };
  if (now === null) return null;
  const aheadS = (Date.parse(sentAt) - Date.parse(now)) / 1000;
  if (aheadS <= earlyS && aheadS >= -lateS) return null;
  const words = aheadS > 0 ? `${aheadS} s ahead of the receiver's clock, ${earlyS} s at most` : `${-aheadS} s old, ${lateS} s at most`;
  return { ok: false, error: { name: 'timestamp-outside', words: `The frame is ${words}: replayed, or a clock is wrong.` } };
}

function accountsAgree(frame: Dc09Frame): Decoded<Dc09Frame> {
  const inside = /^#([0-9A-Fa-f]{3,16})\|/.exec(frame.data)?.[1];
  const differs = inside !== undefined && frame.account !== null && inside !== frame.account && frame.token !== 'NULL';
  return differs ? refused('account-mismatch', `The frame is addressed as ${frame.account} and its data as ${inside}.`) : { ok: true, value: frame };
}

export type Dc09Out = Omit<Dc09Frame, 'encrypted'> & {
  /** Encrypts with this key (hex of 16, 24 or 32 bytes); needs `sentAt`. */
  readonly keyHex?: string;
  /** Seed of the padding, so that the same call gives the same frame. */
  readonly padSeed?: number;
};

/** [SIG-11] The frame on the wire, LF to CR. Throws RangeError for fields that no frame can hold. */
export function encodeDc09(out: Dc09Out): string {
  const receiver = out.receiver === null ? '' : `R${out.receiver}`;
  const account = out.account === null ? '' : `#${out.account}`;
  if (!Number.isInteger(out.sequence) || out.sequence < 0 || out.sequence > 9999) throw new RangeError(`Sequence ${out.sequence}: expected 0 to 9999.`);
  if (/[[\]]/.test(out.data)) throw new RangeError('Data may not hold brackets.');
  const tail = `${out.data}]${out.extensions.map((e) => `[${e.kind}${e.value}]`).join('')}${out.sentAt === null ? '' : `_${stampOfInstant(out.sentAt)}`}`;
  const lead = `"${out.keyHex === undefined ? '' : '*'}${out.token}"${String(out.sequence).padStart(4, '0')}${receiver}L${out.line}${account}[`;
  return framed(out.keyHex === undefined ? lead + tail : lead + encrypt(tail, out));
}

/** [SIG-12] The reply 'taken': sequence, receiver, line and account of the frame, encrypted when the frame was. */
export function ackOf(frame: Dc09Frame, now: string, keyHex?: string): string {
  const echoed = { ...frame, token: 'ACK', data: '', extensions: [], sentAt: now };
  return encodeDc09(frame.encrypted && keyHex !== undefined ? { ...echoed, keyHex, padSeed: frame.sequence } : { ...echoed, sentAt: frame.encrypted ? now : null });
}

/** [SIG-12] The reply 'clock wrong': fixed address, the receiver's time, never encrypted. */
export function nakAt(now: string): string {
  return framed(`"NAK"0000R0L0A0[]_${stampOfInstant(now)}`);
}

/** [SIG-12] The reply 'not understood', never encrypted. */
export function duhOf(frame: Pick<Dc09Frame, 'sequence' | 'receiver' | 'line' | 'account'>): string {
  return encodeDc09({ ...frame, token: 'DUH', data: '', extensions: [], sentAt: null });
}

function framed(body: string): string {
  if (body.length > 0xfff) throw new RangeError(`A body of ${body.length} characters; 4095 at most.`);
  return `\n${hex(crc16Arc(body))}${hex(body.length)}${body}\r`;
}

function encrypt(tail: string, out: Dc09Out): string {
  const key = bytesOfHex(out.keyHex!);
  if (key === null || ![16, 24, 32].includes(key.length)) throw new RangeError('The key is not 16, 24 or 32 bytes in hex.');
  if (out.sentAt === null) throw new RangeError('An encrypted frame must carry its time.');
  const padLength = 16 - ((tail.length + 1) % 16 || 16);
  const clear = `${padding(padLength, out.padSeed ?? 1)}|${tail}`;
  return hexOfBytes(cbc(key, new Uint8Array(16), { disablePadding: true }).encrypt(bytesOfText(clear)));
}

// Letters and digits only: the padding may hold neither '|' nor brackets.
function padding(length: number, seed: number): string {
  const letters = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789';
  let state = seed >>> 0;
  let text = '';
  for (let i = 0; i < length; i += 1) {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    text += letters[(state >>> 16) % letters.length];
  }
  return text;
}

/** '2016-05-18T09:17:32.000Z' of '09:17:32,05-18-2016', or null. */
export function instantOfStamp(stamp: string): string | null {
  const m = /^(\d{2}):(\d{2}):(\d{2}),(\d{2})-(\d{2})-(\d{4})$/.exec(stamp);
  if (m === null) return null;
  const iso = `${m[6]}-${m[4]}-${m[5]}T${m[1]}:${m[2]}:${m[3]}.000Z`;
  const ms = Date.parse(iso);
  // Date.parse rolls 30 February over in some engines: the round trip refuses it everywhere.
  return Number.isNaN(ms) || new Date(ms).toISOString() !== iso ? null : iso;
}

function stampOfInstant(instant: string): string {
  const iso = new Date(instant).toISOString();
  return `${iso.slice(11, 19)},${iso.slice(5, 7)}-${iso.slice(8, 10)}-${iso.slice(0, 4)}`;
}

function hex(value: number): string {
  return value.toString(16).toUpperCase().padStart(4, '0');
}

function bytesOfHex(text: string): Uint8Array | null {
  if (text.length % 2 !== 0 || !/^[0-9A-Fa-f]*$/.test(text)) return null;
  const bytes = new Uint8Array(text.length / 2);
  for (let i = 0; i < bytes.length; i += 1) bytes[i] = parseInt(text.slice(2 * i, 2 * i + 2), 16);
  return bytes;
}

function hexOfBytes(bytes: Uint8Array): string {
  let text = '';
  for (const byte of bytes) text += byte.toString(16).toUpperCase().padStart(2, '0');
  return text;
}

function textOfBytes(bytes: Uint8Array): string {
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return text;
}

function bytesOfText(text: string): Uint8Array {
  return Uint8Array.from(text, (char) => char.charCodeAt(0));
}
