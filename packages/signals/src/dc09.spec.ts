import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ackOf, decodeContactId, decodeDc09, decodeEvent, duhOf, encodeContactId, encodeDc09, nakAt, type ContactId } from './index.js';

const hexText = (min: number, max: number) => fc.stringMatching(new RegExp(`^[0-9A-F]{${min},${max}}$`));
const instant = fc.integer({ min: Date.UTC(2000, 0, 1) / 1000, max: Date.UTC(2060, 0, 1) / 1000 }).map((s) => new Date(s * 1000).toISOString());
const account = hexText(3, 16);
const frame = fc.record({
  token: fc.constantFrom('SIA-DCS', 'ADM-CID', 'NULL', 'RSP'), sequence: fc.nat(9999), receiver: fc.option(hexText(1, 6)), line: hexText(1, 6), account,
  text: fc.stringMatching(/^[A-Za-z0-9 /|^.,-]{0,40}$/), extensions: fc.array(fc.record({ kind: fc.constantFrom('X', 'Y', 'M', 'V'), value: fc.stringMatching(/^[A-Z0-9.]{0,12}$/) }), { maxLength: 3 }), sentAt: instant,
}).map(({ text, ...rest }) => ({ ...rest, data: `#${rest.account}|${text}` }));

describe('[SIG-11] round trip of generated frames', () => {
  it('plain and encrypted with keys of 128, 192 and 256 bits', () => {
    let seen = 0;
    fc.assert(fc.property(frame, fc.constantFrom(0, 16, 24, 32), fc.nat(1e6), (out, bytes, padSeed) => {
      seen += 1;
      const keyHex = bytes === 0 ? undefined : (padSeed + 7).toString(16).toUpperCase().padStart(2 * bytes, '5A');
      const wire = encodeDc09(keyHex === undefined ? out : { ...out, keyHex, padSeed });
      const decoded = decodeDc09(wire, { now: out.sentAt, keys: keyHex === undefined ? {} : { [out.account]: keyHex } });
      expect(decoded).toEqual({ ok: true, value: { ...out, encrypted: keyHex !== undefined } });
    }), { seed: 909, numRuns: 1000 });
    expect(seen).toBe(1000);
  });
  it.each([[{ sequence: 10_000 }, 'Sequence'], [{ data: 'a]b' }, 'brackets'], [{ keyHex: '00' }, 'key']])('refuses to encode %j', (over, words) => {
    const base = { token: 'NULL', sequence: 1, receiver: null, line: '0', account: '1234', data: '', extensions: [], sentAt: '2027-03-01T08:00:00.000Z' };
    expect(() => encodeDc09({ ...base, ...over })).toThrow(words);
  });
});

describe('[SIG-12] replies', () => {
  const event = decodeDc09('A18D0027"ADM-CID"0001L0#7099[#7099|1131 01 003]', { now: null });
  it('ACK echoes sequence, line and account; NAK has the fixed address; DUH echoes', () => {
    if (!event.ok) throw new Error('published frame refused');
    expect(decodeDc09(ackOf(event.value, '2027-03-01T08:00:00Z'), { now: null })).toMatchObject({ ok: true, value: { token: 'ACK', sequence: 1, line: '0', account: '7099', data: '' } });
    // Published: 3C830025"NAK"0000R0L0A0[]_16:09:09,04-14-2015
    expect(nakAt('2015-04-14T16:09:09Z')).toBe('\n3C830025"NAK"0000R0L0A0[]_16:09:09,04-14-2015\r');
    expect(decodeDc09(duhOf(event.value), { now: null })).toMatchObject({ ok: true, value: { token: 'DUH', account: '7099' } });
  });
  it('an encrypted frame gets an encrypted ACK with its time', () => {
    const keyHex = '00112233445566778899AABBCCDDEEFF';
    const now = '2027-03-01T08:00:00.000Z';
    const wire = encodeDc09({ token: 'ADM-CID', sequence: 7, receiver: 'F3', line: '1', account: '7099', data: '#7099|1131 01 003', extensions: [], sentAt: now, keyHex });
    const decoded = decodeDc09(wire, { now, keys: { '7099': keyHex } });
    if (!decoded.ok) throw new Error(decoded.error.words);
    expect(decodeDc09(ackOf(decoded.value, now, keyHex), { now, keys: { '7099': keyHex } })).toMatchObject({ ok: true, value: { token: 'ACK', encrypted: true, sequence: 7, sentAt: now } });
    expect(decodeDc09(encodeDc09({ ...decoded.value }), { now, keys: { '7099': keyHex }, requireEncryption: true })).toMatchObject({ ok: false, error: { name: 'encryption-required' } });
  });
  it('address and data that name two accounts are refused', () => {
    const wire = encodeDc09({ token: 'ADM-CID', sequence: 7, receiver: null, line: '0', account: '7099', data: '#7098|1131 01 003', extensions: [], sentAt: null });
    expect(decodeDc09(wire, { now: null })).toMatchObject({ ok: false, error: { name: 'account-mismatch' } });
  });
});

describe('[SIG-3] random text', () => {
  it('never crashes a decoder and is never taken', () => {
    let seen = 0;
    // A cheap generator of its own: 200,000 strings in the unit run, a million in the benchmark.
    let state = 20270301;
    const next = () => (state = (Math.imul(state, 1_103_515_245) + 12_345) >>> 0) >>> 8;
    for (let n = 0; n < 1_000_000; n += 1) {
      let text = n % 3 === 0 ? '\n' : '';
      for (let i = next() % 60; i > 0; i -= 1) text += String.fromCharCode(next() & 0xff);
      const decoded = decodeEvent(n % 2 === 0 ? text : `${text}\r`);
      if (decoded.ok) throw new Error(`taken: ${JSON.stringify(text)}`);
      seen += 1;
    }
    expect(seen).toBe(1_000_000);
  });
  it('hostile shapes are refused at once', () => {
    for (const text of ['', '\n', '\n\r', '"', '['.repeat(100_000), '0'.repeat(100_000), ` ${' '.repeat(50_000)}`, '\u{1F514}'.repeat(16)]) expect(decodeEvent(text).ok).toBe(false);
  });
  it('mangled good frames are never taken as something else', () => {
    const good = encodeDc09({ token: 'SIA-DCS', sequence: 3, receiver: null, line: '0', account: '1234', data: '#1234|Nri1/BA12', extensions: [], sentAt: '2027-03-01T08:00:00.000Z' });
    fc.assert(fc.property(fc.nat(good.length - 1), fc.nat(good.length - 1), (a, b) => {
      const [from, to] = [Math.min(a, b), Math.max(a, b)];
      const cut = good.slice(0, from) + good.slice(to + 1);
      expect(decodeDc09(cut, { now: null }).ok).toBe(false);
    }), { seed: 3 });
  });
});

describe('[SIG-2] round trip of generated Contact ID reports', () => {
  it('encodes and decodes', () => {
    const digits = (n: number) => fc.stringMatching(new RegExp(`^[0-9B-F]{${n}}$`));
    const report: fc.Arbitrary<ContactId> = fc.record({ account: digits(4), messageType: fc.constantFrom('18', '98'), qualifierDigit: fc.constantFrom('1', '3', '6'), code: digits(3), group: digits(2), zone: digits(3) })
      .map((r) => ({ ...r, qualifier: r.qualifierDigit === '1' ? 'new' : r.qualifierDigit === '3' ? 'restore' : 'still' }));
    fc.assert(fc.property(report, (r) => {
      expect(decodeContactId(encodeContactId(r))).toEqual({ ok: true, value: r });
    }), { seed: 5, numRuns: 500 });
  });
});
