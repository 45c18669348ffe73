import { describe, expect, it } from 'vitest';
import { crc16Arc, decodeDc09, decodeEvent, encodeDc09 } from '../src/index.js';
import { badFrames, encryptedFrames, goodFrames } from './frames.js';

const key = 'ABCDABCDABCDABCDABCDABCDABCDABCD';
const open = { now: null, keys: { '080027E62A64': key } };

describe('[SIG-10] published DC-09 frames', () => {
  // CRC-16/ARC check value (SEEN-R: dc09_spt and open text; CALC on all frames).
  it("the CRC of '123456789' is BB3D", () => expect(crc16Arc('123456789')).toBe(0xbb3d));

  it.each(goodFrames)('%s (%s)', (frame) => {
    expect(decodeDc09(frame, open)).toMatchObject({ ok: true });
    expect(decodeDc09(`\n${frame}\r`, open)).toEqual(decodeDc09(frame, open));
  });

  it('there are 20 of them, 2 encrypted', () => expect([goodFrames.length, encryptedFrames.length]).toEqual([20, 2]));

  it.each(badFrames)('%s is refused: %s', (frame, expected) => {
    const decoded = decodeDc09(frame, open);
    expect(decoded.ok).toBe(false);
    if (!decoded.ok) expect(expected).toContain(decoded.error.name === 'bad-length-field' ? 'not hex' : decoded.error.name.replace('-', ' ').replace('crc mismatch', 'crc mismatch'));
  });

  it('encrypted event: data, extension and time', () => {
    const frame = goodFrames.find(([f]) => f.startsWith('E88800a7'))![0];
    expect(decodeDc09(frame, open)).toMatchObject({
      ok: true,
      value: { token: 'SIA-DCS', encrypted: true, data: '#080027E62A64|NHB0003', extensions: [{ kind: 'E', value: '115000' }], sentAt: '2015-06-22T15:12:40.000Z' },
    });
  });
  it('encrypted reply: empty data and time', () => {
    const frame = goodFrames.find(([f]) => f.startsWith('E34C0062'))![0];
    expect(decodeDc09(frame, open)).toMatchObject({ ok: true, value: { token: 'ACK', data: '', sentAt: '2015-04-14T16:08:12.000Z' } });
  });
  it('the clear text of each matches the published one', () => {
    for (const { starts, clear } of encryptedFrames) {
      const decoded = decodeDc09(goodFrames.find(([f]) => f.startsWith(starts))![0], open);
      expect(decoded.ok).toBe(true);
      if (!decoded.ok) continue;
      const bare = encodeDc09(decoded.value);
      expect(bare.slice(bare.indexOf('[') + 1, -1)).toBe(clear);
    }
  });

  it.each([
    ['another key', { now: null, keys: { '080027E62A64': '00'.repeat(16) } }, 'not-decryptable'],
    ['no key', { now: null }, 'key-unknown'],
    ['a key of wrong length', { now: null, keys: { '080027E62A64': 'ABCD' } }, 'key-unknown'],
  ])('encrypted with %s is refused', (_, options, name) => {
    expect(decodeDc09(goodFrames.find(([f]) => f.startsWith('E88800a7'))![0], options)).toMatchObject({ ok: false, error: { name } });
  });

  // Window +20/-40 s of the receiver's clock, clause 5.5.1.9 (SEEN-R: code comment). The frame says 15:12:40.
  it.each([
    ['2015-06-22T15:12:20.000Z', true], ['2015-06-22T15:12:19.000Z', false], ['2015-06-22T15:13:20.000Z', true], ['2015-06-22T15:13:21.000Z', false],
  ])('receiver at %s: taken %s', (now, ok) => {
    const decoded = decodeDc09(goodFrames.find(([f]) => f.startsWith('E88800a7'))![0], { ...open, now });
    expect(decoded.ok).toBe(ok);
    if (!decoded.ok) expect(decoded.error.name).toBe('timestamp-outside');
  });

  it.each([
    ['68AF0025"SIA-DCS"0001L0#1234[#1234|Nri1/BA12]', { account: '1234', area: '1', code: 'BA', zone: '12', words: 'burglary: new' }],
    ['A18D0027"ADM-CID"0001L0#7099[#7099|1131 01 003]', { account: '7099', area: '01', code: '131', zone: '003' }],
    ['F4D20029"SIA-DCS"0001RF3L77#1234[#1234|NRR|Atest]', { code: 'RR', text: 'test' }],
    ['87CD0037"ADM-CID"9876R579BDFL789ABC#12345A[#12345A|1110 00 129]', { account: '12345A', kind: 'fire', zone: '129', area: null }],
    ['1D85002B"NULL"0001L0#00653210[]_09:17:32,05-18-2016', { kind: 'periodic', account: '00653210', sentAt: '2016-05-18T09:17:32.000Z' }],
  ])('[SIG-20] %s is described', (frame, expected) => expect(decodeEvent(frame)).toMatchObject({ ok: true, value: expected }));
});

describe('[SIG-10] corruption of published frames', () => {
  const wires = goodFrames.map(([frame]) => `\n${frame}\r`);
  it.each(wires)('%j: every single-bit flip is refused', (wire) => {
    let flips = 0;
    for (let i = 0; i < wire.length; i += 1) {
      for (let bit = 0; bit < 8; bit += 1) {
        const flipped = wire.slice(0, i) + String.fromCharCode(wire.charCodeAt(i) ^ (1 << bit)) + wire.slice(i + 1);
        // The case of a letter in CRC or length carries nothing: published frames have both. It is the same number.
        if (i >= 1 && i <= 8 && bit === 5 && /[A-Fa-f]/.test(wire[i]!)) {
          expect(decodeDc09(flipped, open)).toEqual(decodeDc09(wire, open));
        } else {
          flips += 1;
          expect(decodeDc09(flipped, open), JSON.stringify(flipped)).toMatchObject({ ok: false });
        }
      }
    }
    expect(flips).toBeGreaterThan(wire.length * 7);
  });
  it.each(wires)('%j: every truncation is refused, from either end', (wire) => {
    for (let i = 1; i < wire.length; i += 1) {
      expect(decodeDc09(wire.slice(0, i), open).ok, wire.slice(0, i)).toBe(false);
      expect(decodeDc09(wire.slice(i), open).ok).toBe(false);
      if (i < wire.length - 1) expect(decodeDc09(wire.slice(1, i), open).ok).toBe(false);
    }
  });
});
