import { describe, expect, it } from 'vitest';
import { checksumDigit, decodeContactId, decodeEvent, encodeContactId } from '../src/index.js';

// SIA DC-05. SEEN-R: open text citing the DC-05 text, general DSP library freeswitch/spandsp (header comment of its contact-ID source); CALC as marked.
const good: readonly (readonly [string, string])[] = [
  ['1234181131010158', 'seen: open text (cites the DC-05 text); sum 52 + 8 = 60'],
  ['1234183131010156', 'seen: open text; 54 + 6 = 60'],
  ['1234181401020035', 'seen: open text; 70 + 5 = 75'],
  ['123418340103005F', 'seen: open text; 75 + 15 = 90'],
  ['655618340201015D', 'seen with A1 for 01, open text; 77 + 13 = 90'],
  ['6556183402A1015D', 'the same as seen, 0 spelled A'],
  ['1234181602000002', 'computed'],
  ['1234181301000006', 'computed'],
  ['123418130900000D', 'computed'],
  ['1234181384010072', 'computed'],
  ['1234567890BCDEFF', "computed from the DSP library's report {1234,56,7,890,BC,DEF}"],
];
const bad: readonly (readonly [string, string])[] = [
  ['1234181131010157', 'bad-checksum'],
  ['1234181131010', 'short'],
  // Account with hex A inside: the DSP library's own negative test.
  ['1A34181131010158', 'bad-digit'],
  ['12341811310101588', 'short'],
  ['1234181131o10158', 'bad-digit'],
];

describe('[SIG-1] Contact ID', () => {
  it.each(good)('%s is taken (%s)', (message) => expect(decodeContactId(message).ok).toBe(true));
  it.each(bad)('%s is refused: %s', (message, name) => expect(decodeContactId(message)).toMatchObject({ ok: false, error: { name } }));

  it('6556 18 3 402 A1 015 D reads as zone 015 of group 01', () => {
    expect(decodeContactId('6556 18 3402 A1 015 D')).toEqual(decodeContactId('655618340201015D'));
    expect(decodeContactId('655618340201015D')).toMatchObject({ ok: true, value: { code: '402', group: '01', zone: '015', qualifier: 'restore' } });
  });

  it('1234 56 7890 BC DEF F has the right checksum, and is described as no event', () => {
    expect(checksumDigit('1234567890BCDEF')).toBe('F');
    expect(decodeEvent('1234567890BCDEFF')).toMatchObject({ ok: false, error: { name: 'bad-message-type' } });
    // 58 + 2 = 60: qualifier 2 is none of DC-05's.
    expect(decodeEvent(`123418213101015${checksumDigit('123418213101015')}`)).toMatchObject({ ok: false, error: { name: 'bad-qualifier' } });
  });

  it('blanks between the fields are allowed', () => expect(decodeContactId('1234 18 1131 01 015 8').ok).toBe(true));

  it('[SIG-2] encodes back to the same sixteen digits', () => {
    for (const [message] of good.filter(([m]) => m !== '6556183402A1015D')) {
      const decoded = decodeContactId(message);
      expect(decoded.ok && encodeContactId(decoded.value)).toBe(message);
    }
  });

  it.each(good.map(([m]) => m))('%s: every single-bit flip and every truncation is refused', (message) => {
    for (let i = 0; i < message.length; i += 1) {
      for (let bit = 0; bit < 8; bit += 1) {
        const flipped = message.slice(0, i) + String.fromCharCode(message.charCodeAt(i) ^ (1 << bit)) + message.slice(i + 1);
        expect(decodeContactId(flipped), flipped).toMatchObject({ ok: false });
      }
      expect(decodeContactId(message.slice(0, i)).ok).toBe(false);
      expect(decodeContactId(message.slice(i + 1)).ok).toBe(false);
    }
  });

  it('[SIG-20] is described in our words', () => {
    expect(decodeEvent('1234181131010158')).toMatchObject({ ok: true, value: { account: '1234', zone: '015', area: '01', words: 'burglary, perimeter: new', kind: 'intrusion' } });
    expect(decodeEvent('1234183131010156')).toMatchObject({ ok: true, value: { words: 'burglary, perimeter: restored' } });
    expect(decodeEvent('1234181602000002')).toMatchObject({ ok: true, value: { periodic: true, zone: null } });
  });
});
