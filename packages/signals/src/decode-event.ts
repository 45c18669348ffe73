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
  /** Zone or point; null for none. */
  readonly zone: string | null;
  /** User number of openings and closings; never a zone, whatever digits it has. */
  readonly user: string | null;
  readonly area: string | null;
  readonly text: string | null;
  readonly sentAt: string | null;
  readonly sequence: number | null;
  /** Whether it proves the path by itself: periodic signals and link checks. */
  readonly periodic: boolean;
};

/**
 * [SIG-20] Recognises a DC-05 report or a DC-09 frame and describes it, or names why not. Never throws on any text. Of a frame
 * that carries several events this is the first; `decodeEvents` gives all.
 */
export function decodeEvent(text: string, options: Dc09Options = { now: null }): Decoded<SignalEvent> {
  const all = decodeEvents(text, options);
  return all.ok ? { ok: true, value: all.value[0]! } : all;
}

/** [SIG-20] All events of a report or frame, at least one, in the order in which they stand. */
export function decodeEvents(text: string, options: Dc09Options = { now: null }): Decoded<readonly SignalEvent[]> {
  if (/^\n|^[0-9A-Fa-f]{4}0[0-9A-Fa-f]{3}"|"/.test(text)) {
    const frame = decodeDc09(text, options);
    return frame.ok ? eventsOfDc09(frame.value) : frame;
  }
  if (/^[0-9A-F ]{1,40}$/.test(text)) {
    const report = decodeContactId(text.trim());
    const event = report.ok ? ofContactId(report.value) : report;
    return event.ok ? { ok: true, value: [event.value] } : event;
  }
  return refused('not-a-signal', `Neither a Contact ID report nor a DC-09 frame: ${quoted(text)}.`);
}

/** [SIG-21] The first event that a decoded frame carries; replies carry none and are named so. */
export function describeDc09(frame: Dc09Frame): Decoded<SignalEvent> {
  const all = eventsOfDc09(frame);
  return all.ok ? { ok: true, value: all.value[0]! } : all;
}

/** [SIG-21] All events of a decoded frame, at least one; replies carry none and are named so. */
export function eventsOfDc09(frame: Dc09Frame): Decoded<readonly SignalEvent[]> {
  const at = { account: frame.account, sentAt: frame.sentAt, sequence: frame.sequence, protocol: 'dc-09' as const };
  const content = frame.data.replace(/^#[0-9A-Fa-f]{3,16}\|/, '');
  switch (frame.token) {
    case 'NULL':
      return { ok: true, value: [{ ...at, code: 'NULL', kind: 'periodic', words: 'link check', qualifier: 'new', zone: null, user: null, area: null, text: null, periodic: true }] };
    case 'ADM-CID': {
      const m = /^([136])(\d{3}) ([0-9A-F]{2}) ([0-9A-F]{3})$/.exec(content);
      if (m === null) return refused('bad-data', `Contact ID data in a frame reads 'QXYZ GG CCC': ${quoted(content)}.`);
      const qualifier = m[1] === '1' ? 'new' : m[1] === '3' ? 'restore' : 'still';
      return { ok: true, value: [{ ...at, ...contactId({ qualifier, code: m[2]!, group: m[3]!, zone: m[4]! }) }] };
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
  const isUser = known.kind === 'opening';
  const number = zone === '000' ? null : zone;
  return {
    code, qualifier, kind: known.kind, words: `${known.words}: ${state}`, zone: isUser ? null : number, user: isUser ? number : null, area: group === '00' ? null : group, text: null,
    periodic: known.kind === 'periodic',
  };
}

type At = Pick<SignalEvent, 'account' | 'sentAt' | 'sequence' | 'protocol'>;

// The number behind these letters names a user or an area and no zone. SIA DC-03 (SEEN-R: open code's tables).
const userCodes = new Set(['OP', 'CL', 'RX', 'OR', 'CR']);
const areaCodes = new Set(['CA', 'CG', 'NL', 'OG', 'OA']);

const modifier = /([a-z]{2})([^/|^]*)\//y;
const oneEvent = /([A-Z]{2})([0-9A-Fa-f]{0,6})(?:\^([^^|]*)\^)?(?:\/|$)/y;

/** 'Nri1/BA12', 'NRR|Atext', 'NHB0003', 'Nri1/BA12/BA13': new or old, modifiers, events of two letters and a number, text for all. */
function ofLetters(content: string, at: At): Decoded<readonly SignalEvent[]> {
  const bar = content.indexOf('|');
  const head = bar < 0 ? content : content.slice(0, bar);
  const outer = bar < 0 ? null : content.slice(bar + 1).replace(/^A/, '');
  if (!/^[NO]/.test(head)) return refused('bad-data', `SIA data does not read: ${quoted(content)}.`);
  const events: SignalEvent[] = [];
  let [place, area]: [number, string | null] = [1, null];
  while (place < head.length) {
    modifier.lastIndex = oneEvent.lastIndex = place;
    const said = modifier.exec(head);
    if (said !== null) {
      if (said[1] === 'ri') area = /^[0-9A-Fa-f]+$/.exec(said[2]!)?.[0] ?? null;
      place = modifier.lastIndex;
      continue;
    }
    const event = oneEvent.exec(head);
    if (event === null) return refused('bad-data', `SIA data does not read from ${quoted(head.slice(place))}.`);
    events.push(letterEvent(event[1]!, event[2]!, event[3] ?? outer, area, at));
    place = oneEvent.lastIndex;
  }
  return events.length === 0 ? refused('bad-data', `SIA data holds no event: ${quoted(content)}.`) : { ok: true, value: events };
}

function letterEvent(code: string, number: string, text: string | null, area: string | null, at: At): SignalEvent {
  const known = letterWords[code] ?? { kind: 'unknown' as const, words: `code ${code}`, restore: false };
  const given = number === '' ? null : number;
  const [isUser, isArea] = [userCodes.has(code), areaCodes.has(code)];
  return {
    ...at, code, kind: known.kind, qualifier: known.restore ? 'restore' : 'new', words: `${known.words}: ${known.restore ? 'restored' : 'new'}`,
    zone: isUser || isArea ? null : given, user: isUser ? given : null, area: isArea ? (given ?? area) : area, text, periodic: known.kind === 'periodic',
  };
}
