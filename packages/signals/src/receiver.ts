import { ackOf, decodeDc09, type Dc09Frame, duhOf, longestFrame, nakAt } from './dc09.js';
import type { SignalError, SignalErrorName } from './decoded.js';
import { eventsOfDc09, type SignalEvent } from './decode-event.js';

/** How a receiver answers; one for each address that is listened on. */
export type ReceiverSettings = {
  /** AES keys of 16, 24 or 32 bytes in hex, by account; several while a key is changed: each opens, the first is the newest. */
  readonly keys?: Readonly<Record<string, string | readonly string[]>>;
  /** Keys of every account that has none of its own in `keys`. */
  readonly anyKeys?: readonly string[];
  /** Accounts with a key must use it; true when absent. */
  readonly requireEncryption?: boolean;
  /** Accounts without a key are refused too; false when absent. Link tests (NULL) carry no event and need none. */
  readonly requireKey?: boolean;
  /** Frames an account may send in a minute before it is held back; 120 when absent. */
  readonly perMinute?: number;
  /** Frames it may send at once; 60 when absent. */
  readonly burst?: number;
  /** Seconds in which the same frame of an account is a resend and no second event; 300 when absent. */
  readonly resendS?: number;
  /** Accounts remembered for rate and resends; the longest unheard are forgotten first. 20,000 when absent. */
  readonly remembered?: number;
};

/** What came of one frame. `reply` goes back on the same connection, after the events are stored where there are any. */
export type Received =
  /** `openedBy`: the key in hex that opened it, null in the clear. Store the events under `key` (the same frame has the same key, so storing twice changes nothing), then send the reply. */
  | { readonly kind: 'store'; readonly events: readonly SignalEvent[]; readonly frame: Dc09Frame; readonly key: string; readonly reply: string; readonly openedBy: string | null }
  /** Stored before and sent again, since the reply was lost: answer only. */
  | { readonly kind: 'again'; readonly frame: Dc09Frame; readonly key: string; readonly reply: string }
  /** Read, but refused in words; the reply says so (NAK: clock or replay, DUH: not understood). */
  | { readonly kind: 'refused'; readonly error: SignalError; readonly reply: string; readonly account: string | null }
  /** Damaged or too many: no reply at all, so that an honest sender sends again. */
  | { readonly kind: 'silent'; readonly error: SignalError }
  | { readonly kind: 'held-back'; readonly words: string };

export type Receiver = {
  /** Judges one frame, LF to CR, by the receiver's clock in UTC. */
  readonly take: (frame: string, now: string) => Received;
  /** Says that the events of `key` are stored: from now on the same frame is 'again'. Not said, it stays 'store': nothing is lost. */
  readonly stored: (key: string, now: string) => void;
};

type Account = { tokens: number; at: number; readonly stored: Map<string, number> };

// A damaged frame may have been anything: it gets no answer, and the sender repeats it.
const damaged: readonly SignalErrorName[] = ['too-long', 'not-framed', 'bad-crc-field', 'bad-length-field', 'length-mismatch', 'crc-mismatch', 'bad-body', 'not-a-signal'];

/**
 * [SIG-60] A receiver of DC-09 frames without socket, clock or store: frames in, answers out. It answers ACK only together with
 * 'store' or 'again'; the caller stores first and sends then, so that whatever dies, an unanswered frame is sent again by its
 * sender and a stored one is not stored twice. It confirms arrival and dispatches nobody.
 */
export function openReceiver(settings: ReceiverSettings = {}): Receiver {
  const { requireEncryption = true, requireKey = false, perMinute = 120, burst = 60, resendS = 300, remembered = 20_000 } = settings;
  const rounds = roundsOf(settings);
  const accounts = new Map<string, Account>();
  const accountOf = (name: string, nowMs: number): Account => {
    const known = accounts.get(name) ?? { tokens: burst, at: nowMs, stored: new Map<string, number>() };
    // Put at the end again: the first of the map is always the longest unheard.
    accounts.delete(name);
    accounts.set(name, known);
    if (accounts.size > remembered) accounts.delete(accounts.keys().next().value!);
    return known;
  };
  const take = (frame: string, now: string): Received => {
    const nowMs = Date.parse(now);
    if (Number.isNaN(nowMs)) throw new RangeError(`now: '${now}' is no instant.`);
    let decoded = decodeDc09(frame, { ...rounds[0], now, requireEncryption });
    let round = 0;
    // A key that is being changed: the older one still opens what its panel sends.
    while (!decoded.ok && decoded.error.name === 'not-decryptable' && round + 1 < rounds.length) decoded = decodeDc09(frame, { ...rounds[++round], now, requireEncryption });
    if (!decoded.ok) return refusal(decoded.error, now, accountIn(frame));
    const name = decoded.value.account ?? '';
    const openedBy = decoded.value.encrypted ? keyOfRound(rounds[round]!, name) : null;
    if (requireKey && openedBy === null && decoded.value.token !== 'NULL') return refusal({ name: 'encryption-required', words: `Account ${name || 'none'} has no key here; this receiver takes nothing in the clear.` }, now, name);
    const account = accountOf(name, nowMs);
    if (!spend(account, nowMs, perMinute, burst)) return { kind: 'held-back', words: `Account ${name} sends more than ${perMinute} frames a minute; held back, it may send again.` };
    const key = keyOfFrame(frame, decoded.value);
    const reply = ackOf(decoded.value, now, openedBy ?? undefined);
    const storedAt = account.stored.get(key);
    if (storedAt !== undefined && nowMs - storedAt <= resendS * 1000) return { kind: 'again', frame: decoded.value, key, reply };
    const events = eventsOfDc09(decoded.value);
    if (!events.ok) return { kind: 'refused', error: events.error, reply: duhOf(decoded.value), account: name };
    return { kind: 'store', events: events.value, frame: decoded.value, key, reply, openedBy };
  };
  const stored = (key: string, now: string): void => {
    const nowMs = Date.parse(now);
    const account = accountOf(key.slice(0, key.indexOf('|')), nowMs);
    account.stored.set(key, nowMs);
    for (const [old, at] of account.stored) {
      if (nowMs - at <= resendS * 1000 && account.stored.size <= 64) break;
      account.stored.delete(old);
    }
  };
  return { take, stored };
}

type Round = { readonly keys: Readonly<Record<string, string>>; readonly anyKey?: string };

/** The keys to try one after the other: of each account its first, then its second, ...; most accounts have one. */
function roundsOf({ keys = {}, anyKeys = [] }: ReceiverSettings): readonly Round[] {
  const lists = Object.entries(keys).map(([account, held]) => [account, typeof held === 'string' ? [held] : held] as const).filter(([, held]) => held.length > 0);
  const most = Math.max(1, anyKeys.length, ...lists.map(([, held]) => held.length));
  return Array.from({ length: most }, (_, at): Round => {
    const any = anyKeys[Math.min(at, anyKeys.length - 1)];
    return { keys: Object.fromEntries(lists.map(([account, held]) => [account, held[Math.min(at, held.length - 1)]!])), ...(any === undefined ? {} : { anyKey: any }) };
  });
}

const keyOfRound = ({ keys, anyKey }: Round, account: string): string | null => (Object.hasOwn(keys, account) ? keys[account]! : anyKey ?? null);
/** The account that a refused frame is addressed as, where it says one: for counting, never for trust. */
const accountIn = (frame: string): string | null => /#([0-9A-Fa-f]{3,16})\[/.exec(frame)?.[1] ?? null;

function refusal(error: SignalError, now: string, account: string | null): Received {
  if (damaged.includes(error.name)) return { kind: 'silent', error };
  const isClock = error.name === 'timestamp-outside' || error.name === 'timestamp-missing' || error.name === 'bad-timestamp';
  // Without a readable address the reply cannot echo one: the fixed address of a refusal serves.
  return { kind: 'refused', error, account, reply: isClock ? nakAt(now) : duhOf({ sequence: 0, receiver: '0', line: '0', account: null }) };
}

/** Account, line and sequence with the frame's own check value and length: a resend is the same frame, byte for byte, whatever its framing. */
function keyOfFrame(frame: string, { account, receiver, line, sequence, sentAt }: Dc09Frame): string {
  const bare = frame.startsWith('\n') ? frame.slice(1) : frame;
  return `${account ?? ''}|${receiver ?? ''}|${line}|${String(sequence).padStart(4, '0')}|${sentAt ?? ''}|${bare.slice(0, 8).toUpperCase()}`;
}

function spend(account: Account, nowMs: number, perMinute: number, burst: number): boolean {
  account.tokens = Math.min(burst, account.tokens + (Math.max(0, nowMs - account.at) / 60_000) * perMinute);
  account.at = nowMs;
  if (account.tokens < 1) return false;
  account.tokens -= 1;
  return true;
}

export type Framed = {
  /** Whole frames, LF to CR, in order. */
  readonly frames: readonly string[];
  /** The beginning of the next one, to be handed in again with the next piece. */
  readonly rest: string;
  /** Characters that belong to no frame and were dropped. */
  readonly dropped: number;
};

/**
 * [SIG-61] Cuts what a connection gives, piece by piece, into frames from LF to CR. What stands before an LF is dropped; a second LF
 * begins anew, since a frame holds none; a beginning longer than any frame is dropped. Pieces may be cut anywhere.
 */
export function cutFrames(rest: string, piece: string): Framed {
  const text = rest + piece;
  const frames: string[] = [];
  let [place, dropped, nextLf] = [0, 0, text.indexOf('\n')];
  for (;;) {
    const end = text.indexOf('\r', place);
    if (end < 0) break;
    // Looked for only when passed, so that each character is looked at a fixed number of times, whatever is sent.
    if (nextLf >= 0 && nextLf < place) nextLf = text.indexOf('\n', place);
    if (nextLf < 0 || nextLf > end) dropped += end + 1 - place;
    else {
      // The last LF before the CR begins the frame.
      const start = text.lastIndexOf('\n', end);
      frames.push(text.slice(start, end + 1));
      dropped += start - place;
    }
    place = end + 1;
  }
  const begun = text.lastIndexOf('\n');
  const keep = begun >= place && text.length - begun <= longestFrame ? text.slice(begun) : '';
  return { frames, rest: keep, dropped: dropped + text.length - place - keep.length };
}
