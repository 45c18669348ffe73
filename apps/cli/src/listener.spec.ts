import { createSocket } from 'node:dgram';
import { connect, type Socket } from 'node:net';
import type { LiveSignal } from '@bellround/operations';
import { cutFrames, decodeDc09, encodeDc09 } from '@bellround/signals';
import { afterEach, describe, expect, it } from 'vitest';
import { openListener, type Listener, type ListenerSettings } from './listener.js';

const key = '00112233445566778899AABBCCDDEEFF';
type Out = Parameters<typeof encodeDc09>[0];
const frame = (over: Partial<Out> = {}) => encodeDc09({ token: 'ADM-CID', sequence: 7, receiver: null, line: '0', account: '7099', data: '#7099|1131 01 003', extensions: [], sentAt: null, ...over });
const opened: { listener?: Listener; sockets: Socket[] } = { sockets: [] };

afterEach(async () => {
  for (const socket of opened.sockets.splice(0)) socket.destroy();
  await opened.listener?.close();
  delete opened.listener;
});

function store() {
  const kept: LiveSignal[] = [];
  const state = { isAway: false };
  return { kept, state, store: async (signals: readonly LiveSignal[]) => {
    if (state.isAway) throw new Error('the store is away');
    const known = new Set(kept.map((signal) => signal.key));
    const fresh = signals.filter((signal) => !known.has(signal.key));
    kept.push(...fresh);
    return { stored: fresh.length, known: signals.length - fresh.length };
  } };
}

async function open(settings: Pick<ListenerSettings, 'store'> & Partial<ListenerSettings>) {
  opened.listener = await openListener({ host: '127.0.0.1', port: 0, udp: false, receiver: {}, lines: { '0': 'ethernet' }, mostConnections: 10, now: () => new Date('2027-03-01T08:00:00Z'), ...settings });
  return opened.listener;
}

/** A general-purpose client: sends text, and waits for a number of replies or the end of the connection. */
async function client(port: number) {
  const socket = connect(port, '127.0.0.1').setEncoding('latin1');
  opened.sockets.push(socket);
  const replies: string[] = [];
  let [rest, isClosed] = ['', false];
  const heard = new Set<() => void>();
  const tell = () => { for (const one of heard) one(); };
  socket.on('data', (piece: unknown) => {
    const cut = cutFrames(rest, piece as string);
    rest = cut.rest;
    replies.push(...cut.frames);
    tell();
  }).on('close', () => { isClosed = true; tell(); }).on('error', () => undefined);
  await new Promise<void>((resolve) => { socket.once('connect', () => resolve()); });
  const until = (is: () => boolean) => new Promise<void>((resolve) => {
    const look = () => { if (is()) { heard.delete(look); resolve(); } };
    heard.add(look);
    look();
  });
  return { send: (text: string) => socket.write(text, 'latin1'), replies, until: (n: number) => until(() => replies.length >= n || isClosed), closed: () => until(() => isClosed), socket };
}

const tokens = (replies: readonly string[]) => replies.map((reply) => {
  const decoded = decodeDc09(reply, { now: null, anyKey: key });
  return decoded.ok ? `${decoded.value.token} ${decoded.value.sequence}` : decoded.error.name;
});

describe('a session with a general-purpose client', () => {
  it('good frames are kept, then acknowledged; damaged ones get no answer; what is not understood gets DUH; two pieces make a frame', async () => {
    const { kept, store: keep } = store();
    const { port, counts } = await open({ store: keep });
    const panel = await client(port);
    panel.send(frame());
    await panel.until(1);
    panel.send(`noise${frame({ sequence: 8, data: '#7099|3131 01 003' }).slice(0, 20)}`);
    panel.send(`${frame({ sequence: 8, data: '#7099|3131 01 003' }).slice(20)}${frame({ sequence: 9 }).replace('003', '004')}${frame({ sequence: 10, token: 'SIA-PUD' })}${frame({ sequence: 11, token: 'NULL', data: '' })}`);
    await panel.until(4);
    expect(tokens(panel.replies).toSorted()).toEqual(['ACK 11', 'ACK 7', 'ACK 8', 'DUH 10']);
    expect(kept.map((signal) => [signal.code, signal.qualifier, signal.zone, signal.path])).toEqual([['131', 'new', '003', 'ethernet'], ['131', 'restore', '003', 'ethernet'], ['NULL', 'new', null, 'ethernet']]);
    expect(counts).toMatchObject({ stored: 3, damaged: 1, refused: 1 });
  });
  it('encrypted: NAK with our time for a wrong clock, an encrypted ACK for a right one, nothing in the clear', async () => {
    const { kept, store: keep } = store();
    const { port } = await open({ store: keep, receiver: { keys: { '7099': key } } });
    const panel = await client(port);
    panel.send(frame({ keyHex: key, sentAt: '2027-03-01T07:00:00.000Z' }));
    await panel.until(1);
    panel.send(frame());
    await panel.until(2);
    panel.send(frame({ keyHex: key, sentAt: '2027-03-01T07:59:50.000Z' }));
    await panel.until(3);
    expect(tokens(panel.replies)).toEqual(['NAK 0', 'DUH 0', 'ACK 7']);
    expect(panel.replies[2]).toContain('"*ACK"');
    expect(kept).toHaveLength(1);
  });
  it('while the store is away nothing is acknowledged; sent again it is kept once; a lost answer is given again', async () => {
    const { kept, state, store: keep } = store();
    const { port, counts } = await open({ store: keep });
    const panel = await client(port);
    state.isAway = true;
    panel.send(frame());
    panel.send(frame({ sequence: 8, token: 'SIA-PUD' }));
    await panel.until(1);
    expect(tokens(panel.replies)).toEqual(['DUH 8']);
    await comes(() => counts.unanswered === 1);
    expect(kept).toEqual([]);
    state.isAway = false;
    panel.send(frame());
    await panel.until(2);
    panel.send(frame());
    await panel.until(3);
    expect(tokens(panel.replies)).toEqual(['DUH 8', 'ACK 7', 'ACK 7']);
    expect(kept).toHaveLength(1);
    expect(counts).toMatchObject({ stored: 1, again: 1 });
  });
  it('a frame sent again while it is being kept is kept once and answered once, where it came last', async () => {
    let release: () => void = () => undefined;
    const asked: number[] = [];
    const { port } = await open({ store: (signals) => new Promise((resolve) => { asked.push(signals.length); release = () => resolve({ stored: signals.length, known: 0 }); }) });
    const first = await client(port);
    const second = await client(port);
    first.send(frame());
    await comes(() => asked.length === 1);
    second.send(frame());
    second.send(frame({ token: 'SIA-PUD', sequence: 8 }));
    await second.until(1);
    release();
    await second.until(2);
    expect(tokens(second.replies)).toEqual(['DUH 8', 'ACK 7']);
    expect([first.replies, asked]).toEqual([[], [1]]);
  });
  it('a client that sends only rubbish is cut off; more connections than allowed are turned away, those held stay', async () => {
    const { store: keep } = store();
    const { port, counts } = await open({ store: keep, mostConnections: 2 });
    const first = await client(port);
    const second = await client(port);
    const third = await client(port);
    await third.closed();
    expect(counts).toMatchObject({ mostConnections: 2, turnedAway: 1 });
    second.send('\nrubbish\r'.repeat(60));
    await second.closed();
    first.send(frame());
    await first.until(1);
    expect(tokens(first.replies)).toEqual(['ACK 7']);
  });
  it('an account that floods is held back', async () => {
    const { store: keep } = store();
    const { port, counts } = await open({ store: keep, receiver: { perMinute: 60, burst: 5 } });
    const panel = await client(port);
    panel.send(Array.from({ length: 8 }, (_, i) => frame({ sequence: i })).join('') + frame({ account: '8000', data: '#8000|1131 01 003' }));
    await panel.until(6);
    await comes(() => counts.heldBack === 3);
    expect(panel.replies).toHaveLength(6);
  });
  it('over UDP a datagram is answered to its sender', async () => {
    const { kept, store: keep } = store();
    const { port } = await open({ store: keep, udp: true });
    const socket = createSocket('udp4');
    const reply = await new Promise<string>((resolve) => {
      socket.once('message', (message) => resolve(message.toString('latin1')));
      socket.send(Buffer.from(frame(), 'latin1'), port, '127.0.0.1');
    });
    socket.close();
    expect(tokens([reply])).toEqual(['ACK 7']);
    expect(kept).toHaveLength(1);
  });
});

/** Waits for a state, looking at each turn of the loop. */
async function comes(is: () => boolean): Promise<void> {
  while (!is()) await new Promise((resolve) => { setImmediate(resolve); });
}
