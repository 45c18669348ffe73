import { type ContactId, decodeContactId, type Qualifier } from './contact-id.js';
import { type Decoded, quoted, refused } from './decoded.js';
import { decodeDc09, type Dc09Frame, type Dc09Options } from './dc09.js';
import { contactIdWords, type EventKind, letterWords } from './event-words.js';

/** What a signal says, in our words. It confirms that something arrived; nobody is dispatched by it. */
export type SignalEvent = {
  readonly protocol: 'dc-05' | 'dc-09';
  readonly account: string | null;
  readonly code: string;
  readonly kind: EventKind;
  /** 'burglary, perimeter: new', 'mains loss: restored'. */
  readonly words: string;
  readonly qualifier: Qualifier;
  /** Zone, point or user; null for none. */
  readonly zone: string | null;
  readonly area: string | null;
  readonly text: string | null;
  readonly sentAt: string | null;
  readonly sequence: number | null;
  /** Whether it proves the path by itself: periodic signals and link checks. */
  readonly periodic: boolean;
};

/** [SIG-20] Recognises a DC-05 report or a DC-09 frame and describes it, or names why not. Never throws on any text. */
export function decodeEvent(text: string, options: Dc09Options = { now: null }): Decoded<SignalEvent> {
  if (/^\n|^[0-9A-Fa-f]{4}0[0-9A-Fa-f]{3}"|"/.test(text)) {
    const frame = decodeDc09(text, options);
    return frame.ok ? describeDc09(frame.value) : frame;
  }
  if (/^[0-9A-F ]{1,40}$/.test(text)) {
    const report = decodeContactId(text.trim());
    return report.ok ? ofContactId(report.value) : report;
  }
  return refused('not-a-signal', `Neither a Contact ID report nor a DC-09 frame: ${quoted(text)}.`);
}

/** [SIG-21] The event that a decoded frame carries; replies carry none and are named so. */
export function describeDc09(frame: Dc09Frame): Decoded<SignalEvent> {
  const at = { account: frame.account, sentAt: frame.sentAt, sequence: frame.sequence, protocol: 'dc-09' as const };
  const content = frame.data.replace(/^#[0-9A-Fa-f]{3,16}\|/, '');
  switch (frame.token) {
    case 'NULL':
      return { ok: true, value: { ...at, code: 'NULL', kind: 'periodic', words: 'link check', qualifier: 'new', zone: null, area: null, text: null, periodic: true } };
    case 'ADM-CID': {
      const m = /^([136])(\d{3}) ([0-9A-F]{2}) ([0-9A-F]{3})$/.exec(content);
      if (m === null) return refused('bad-data', `Contact ID data in a frame reads 'QXYZ GG CCC': ${quoted(content)}.`);
      const qualifier = m[1] === '1' ? 'new' : m[1] === '3' ? 'restore' : 'still';
      return { ok: true, value: { ...at, ...contactId({ qualifier, code: m[2]!, group: m[3]!, zone: m[4]! }) } };
    }
    case 'SIA-DCS':
      return ofLetters(content, at);
    default:
      return refused('bad-data', `A frame '${frame.token}' carries no event.`);
  }
}

function ofContactId(report: ContactId): Decoded<SignalEvent> {
  const { messageType, qualifier } = report;
  if (messageType !== '18' && messageType !== '98') return refused('bad-message-type', `Message type ${messageType}: an event report has 18 or 98.`);
  if (qualifier === null) return refused('bad-qualifier', `Qualifier ${report.qualifierDigit}: expected 1 (new), 3 (restore) or 6 (still present).`);
  return { ok: true, value: { protocol: 'dc-05', account: report.account, sentAt: null, sequence: null, ...contactId({ ...report, qualifier }) } };
}

function contactId({ qualifier, code, group, zone }: Pick<ContactId, 'code' | 'group' | 'zone'> & { readonly qualifier: Qualifier }): Omit<SignalEvent, 'protocol' | 'account' | 'sentAt' | 'sequence'> {
  const known = contactIdWords[code] ?? { kind: 'unknown' as const, words: `code ${code}` };
  const state = known.kind === 'opening' ? { new: 'opened', restore: 'closed', still: 'still' }[qualifier] : { new: 'new', restore: 'restored', still: 'still present' }[qualifier];
  return {
    code, qualifier, kind: known.kind, words: `${known.words}: ${state}`, zone: zone === '000' ? null : zone, area: group === '00' ? null : group, text: null,
    periodic: known.kind === 'periodic',
  };
}

type At = Pick<SignalEvent, 'account' | 'sentAt' | 'sequence' | 'protocol'>;

/** 'Nri1/BA12', 'NRR|Atext', 'NHB0003': new or old, modifiers up to '/', two letters, number, text. */
function ofLetters(content: string, at: At): Decoded<SignalEvent> {
  const m = /^([NO])((?:[a-z]{2}[^/|]*\/)*)([A-Z]{2})([0-9A-Fa-f]{0,6})(?:\^([^^|]*)\^)?(?:\|A?(.*))?$/s.exec(content);
  if (m === null) return refused('bad-data', `SIA data does not read: ${quoted(content)}.`);
  const [, , modifiers, code, number, inner, outer] = m as unknown as [string, string, string, string, string, string | undefined, string | undefined];
  const known = letterWords[code] ?? { kind: 'unknown' as const, words: `code ${code}`, restore: false };
  const area = /ri([0-9A-Fa-f]+)/.exec(modifiers)?.[1] ?? null;
  return {
    ok: true,
    value: {
      ...at, code, kind: known.kind, qualifier: known.restore ? 'restore' : 'new', words: `${known.words}: ${known.restore ? 'restored' : 'new'}`,
      zone: number === '' ? null : number, area, text: inner ?? outer ?? null, periodic: known.kind === 'periodic',
    },
  };
}
