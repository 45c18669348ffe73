import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cutFrames, decodeDc09, decodeEvents, encodeDc09, openReceiver } from './index.js';

const now = '2027-03-01T08:00:00.000Z';
const later = (s: number) => new Date(Date.parse(now) + s * 1000).toISOString();
const key = '00112233445566778899AABBCCDDEEFF';
type Out = Parameters<typeof encodeDc09>[0];
const frame = (over: Partial<Out> = {}) => encodeDc09({ token: 'ADM-CID', sequence: 7, receiver: null, line: '0', account: '7099', data: '#7099|1131 01 003', extensions: [], sentAt: null, ...over });
const replyOf = (received: ReturnType<ReturnType<typeof openReceiver>['take']>) => ('reply' in received ? decodeDc09(received.reply, { now: null, anyKey: key }) : null);

describe('[SIG-60] answering a sender', () => {
  it('a good frame is to be stored, its ACK echoes it; sent again before it was stored it is to be stored again, after it is only answered', () => {
    const receiver = openReceiver();
    const first = receiver.take(frame(), now);
    expect(first).toMatchObject({ kind: 'store', events: [{ account: '7099', zone: '003', kind: 'intrusion' }] });
    expect(replyOf(first)).toMatchObject({ ok: true, value: { token: 'ACK', sequence: 7, account: '7099' } });
    expect(receiver.take(frame(), later(5))).toMatchObject({ kind: 'store' });
    if (first.kind !== 'store') throw new Error('not taken');
    receiver.stored(first.key, later(6));
    const again = receiver.take(frame(), later(10));
    expect(again).toMatchObject({ kind: 'again', key: first.key });
    expect(replyOf(again)).toMatchObject({ value: { token: 'ACK' } });
    expect(receiver.take(frame(), later(400))).toMatchObject({ kind: 'store' });
  });
  it.each<[string, Partial<Out>]>([['another sequence', { sequence: 8 }], ['another zone', { data: '#7099|1131 01 004' }], ['another time', { sentAt: now }], ['another line', { line: '1' }]])('%s is another event', (_, over) => {
    const receiver = openReceiver();
    const first = receiver.take(frame(), now);
    if (first.kind !== 'store') throw new Error('not taken');
    receiver.stored(first.key, now);
    expect(receiver.take(frame(over), later(1))).toMatchObject({ kind: 'store' });
  });
  it('damaged frames get no answer at all, so that the sender repeats them', () => {
    const receiver = openReceiver();
    const good = frame();
    for (const bad of [good.slice(0, -1), good.replace('003', '004'), good.slice(1), `\nFFFF0010"NULL"0000L0[]\r`, '\nhello\r', '']) expect(receiver.take(bad, now)).toMatchObject({ kind: 'silent' });
  });
  it('a frame that reads but says nothing we know gets DUH', () => {
    const unread = openReceiver().take(frame({ token: 'SIA-PUD', data: '#7099|x' }), now);
    expect(unread).toMatchObject({ kind: 'refused', error: { name: 'bad-data' } });
    expect(replyOf(unread)).toMatchObject({ value: { token: 'DUH', sequence: 7, account: '7099' } });
  });
  it('encrypted: taken inside +20/-40 s, NAK with our time outside, replay inside the window no second event, in the clear refused', () => {
    const receiver = openReceiver({ keys: { '7099': key } });
    const secret = frame({ sentAt: now, keyHex: key });
    const first = receiver.take(secret, later(39));
    expect(first).toMatchObject({ kind: 'store', frame: { encrypted: true } });
    expect(replyOf(first)).toMatchObject({ value: { token: 'ACK', encrypted: true } });
    if (first.kind === 'store') receiver.stored(first.key, later(39));
    expect(receiver.take(secret, later(40))).toMatchObject({ kind: 'again' });
    const replayed = receiver.take(secret, later(41));
    expect(replayed).toMatchObject({ kind: 'refused', error: { name: 'timestamp-outside' } });
    expect(replyOf(replayed)).toMatchObject({ value: { token: 'NAK', sentAt: later(41) } });
    expect(receiver.take(secret, later(-21))).toMatchObject({ kind: 'refused', error: { name: 'timestamp-outside' } });
    expect(receiver.take(frame(), now)).toMatchObject({ kind: 'refused', error: { name: 'encryption-required' } });
    expect(openReceiver({ keys: { '7099': key }, requireEncryption: false }).take(frame(), now)).toMatchObject({ kind: 'store' });
    expect(receiver.take(frame({ account: '8000', data: '#8000|1131 01 003', sentAt: now, keyHex: key }), now)).toMatchObject({ kind: 'refused', error: { name: 'key-unknown' } });
  });
  it('a key that is being changed: the old one and the new one open, each ACK under the one that was used; the old one taken away opens nothing', () => {
    const next = 'FFEEDDCCBBAA99887766554433221100';
    const receiver = openReceiver({ keys: { '7099': [next, key], '7100': key } });
    const sent = (keyHex: string, account = '7099') => receiver.take(frame({ account, data: `#${account}|1131 01 003`, sentAt: now, keyHex }), now);
    for (const used of [next, key]) {
      const got = sent(used);
      expect(got).toMatchObject({ kind: 'store', openedBy: used });
      expect('reply' in got && decodeDc09(got.reply, { now: null, keys: { '7099': used } })).toMatchObject({ ok: true, value: { token: 'ACK', encrypted: true } });
    }
    expect(sent(key, '7100')).toMatchObject({ kind: 'store', openedBy: key });
    expect(openReceiver({ keys: { '7099': [next] } }).take(frame({ sentAt: now, keyHex: key }), now)).toMatchObject({ kind: 'refused', error: { name: 'not-decryptable' }, account: '7099' });
  });
  it('a key of the whole receiver is for accounts without one of their own; where a key is asked of everybody nothing is taken in the clear but link tests', () => {
    const own = 'FFEEDDCCBBAA99887766554433221100';
    const receiver = openReceiver({ keys: { '7099': own }, anyKeys: [key], requireKey: true });
    expect(receiver.take(frame({ account: '8000', data: '#8000|1131 01 003', sentAt: now, keyHex: key }), now)).toMatchObject({ kind: 'store', openedBy: key });
    expect(receiver.take(frame({ sentAt: now, keyHex: key }), now)).toMatchObject({ kind: 'refused', error: { name: 'not-decryptable' } });
    expect(receiver.take(frame({ account: '8000', data: '#8000|1131 01 003' }), now)).toMatchObject({ kind: 'refused', error: { name: 'encryption-required' } });
    const strict = openReceiver({ requireKey: true });
    expect(strict.take(frame(), now)).toMatchObject({ kind: 'refused', error: { name: 'encryption-required' }, account: '7099' });
    expect(strict.take(frame({ token: 'NULL', data: '' }), now)).toMatchObject({ kind: 'store', openedBy: null });
    expect(openReceiver().take(frame(), now)).toMatchObject({ kind: 'store', openedBy: null });
  });
  it('an account that floods is held back, others are not; it may send again later', () => {
    const receiver = openReceiver({ perMinute: 60, burst: 10 });
    const kinds = Array.from({ length: 12 }, (_, i) => receiver.take(frame({ sequence: i }), now).kind);
    expect(kinds).toEqual([...Array.from({ length: 10 }, () => 'store'), 'held-back', 'held-back']);
    expect(receiver.take(frame({ account: '8000', data: '#8000|1131 01 003' }), now).kind).toBe('store');
    expect(receiver.take(frame({ sequence: 12 }), later(1)).kind).toBe('store');
    expect(receiver.take(frame({ sequence: 13 }), later(1)).kind).toBe('held-back');
  });
  it('remembers a bounded number of accounts', () => {
    const receiver = openReceiver({ remembered: 3 });
    const keys = ['1000', '2000', '3000', '4000'].map((account) => {
      const taken = receiver.take(frame({ account, data: `#${account}|1131 01 003` }), now);
      if (taken.kind !== 'store') throw new Error('not taken');
      receiver.stored(taken.key, now);
      return taken.key;
    });
    expect(new Set(keys).size).toBe(4);
    expect(receiver.take(frame({ account: '4000', data: '#4000|1131 01 003' }), now).kind).toBe('again');
    expect(receiver.take(frame({ account: '1000', data: '#1000|1131 01 003' }), now).kind).toBe('store');
  });
  it('a clock that is none is an error of the caller', () => expect(() => openReceiver().take(frame(), 'soon')).toThrow(RangeError));
});

describe('[SIG-61] cutting a stream', () => {
  it('property: whatever the pieces, the same frames; noise between them is dropped and counted', () => {
    let seen = 0;
    const noise = fc.stringMatching(/^[A-Za-z"#[\]0-9]{0,12}$/);
    fc.assert(fc.property(fc.array(fc.tuple(noise, fc.nat(9999)), { minLength: 1, maxLength: 8 }), fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 1, maxLength: 30 }), (items, cuts) => {
      seen += 1;
      const frames = items.map(([, sequence]) => frame({ sequence }));
      const stream = items.map(([before], i) => before + frames[i]!).join('');
      let [rest, place, dropped] = ['', 0, 0];
      const got: string[] = [];
      for (let i = 0; place < stream.length; i += 1) {
        const size = cuts[i % cuts.length]!;
        const cut = cutFrames(rest, stream.slice(place, place + size));
        got.push(...cut.frames);
        [rest, dropped, place] = [cut.rest, dropped + cut.dropped, place + size];
      }
      expect(got).toEqual(frames);
      expect([rest, dropped]).toEqual(['', items.reduce((sum, [before]) => sum + before.length, 0)]);
    }), { seed: 61, numRuns: 300 });
    expect(seen).toBe(300);
  });
  it('a second LF begins anew; an endless beginning is dropped; a flood of LF or CR costs no more than its length', () => {
    expect(cutFrames('', `\nhalf${frame()}`)).toMatchObject({ frames: [frame()], rest: '', dropped: 5 });
    expect(cutFrames(`\n${'x'.repeat(5000)}`, 'y')).toMatchObject({ frames: [], rest: '', dropped: 5002 });
    expect(cutFrames('', '\n'.repeat(200_000))).toMatchObject({ frames: [], rest: '\n', dropped: 199_999 });
    expect(cutFrames('', '\r'.repeat(200_000))).toMatchObject({ frames: [], rest: '', dropped: 200_000 });
    expect(cutFrames('', '\n\r')).toMatchObject({ frames: ['\n\r'] });
  });
});

describe('[SIG-20] several events in one frame', () => {
  const letters = (data: string) => decodeEvents(encodeDc09({ token: 'SIA-DCS', sequence: 1, receiver: null, line: '0', account: '1234', data: `#1234|${data}`, extensions: [], sentAt: null }));
  it('two zones, two areas, texts', () => {
    expect(letters('Nri1/BA12/BA13')).toMatchObject({ ok: true, value: [{ zone: '12', area: '1', kind: 'intrusion' }, { zone: '13', area: '1' }] });
    expect(letters('Nri1/BA12/ri2/FA3')).toMatchObject({ ok: true, value: [{ zone: '12', area: '1' }, { zone: '3', area: '2', kind: 'fire' }] });
    expect(letters('Nti10:23/id5/BA12^hall / stairs^')).toMatchObject({ ok: true, value: [{ zone: '12', area: null, text: 'hall / stairs' }] });
  });
  it('users and areas are no zones', () => {
    expect(letters('Nri1/OP003')).toMatchObject({ value: [{ code: 'OP', zone: null, user: '003', area: '1' }] });
    expect(letters('NCG2')).toMatchObject({ value: [{ code: 'CG', zone: null, user: null, area: '2' }] });
    expect(decodeEvents('A18D0027"ADM-CID"0001L0#7099[#7099|1131 01 003]')).toMatchObject({ value: [{ zone: '003', user: null }] });
  });
  it.each(['N', 'Nri1/', 'Xri1/BA1', 'Nri1/BA12/?', 'Nri1/BA12345678', 'NB1'])('%s is refused', (data) => expect(letters(data)).toMatchObject({ ok: false, error: { name: 'bad-data' } }));
});
