import { createServer, connect, type Server, type Socket } from 'node:net';
import { loadReceivers, noteReceived, type LiveSignal, type ReceivedSoFar, type ReceiverToOpen, type Perform } from '@bellround/operations';
import { cutFrames, decodeDc09, encodeDc09, sealKey } from '@bellround/signals';
import { afterEach, describe, expect, it } from 'vitest';
import { openReceivers, type OpenReceivers } from './open-receivers.js';

const SECRET = 'ab'.repeat(32);
const [OLD, NEW] = ['00112233445566778899AABBCCDDEEFF', 'FFEEDDCCBBAA99887766554433221100'];
const NOW = '2027-03-01T08:00:00.000Z';
const who = { companyId: 'c1', userId: null, name: 'listener', role: 'house' as const, technicianId: null };
const sealed = (id: string, hex: string, account = '7099', secret = SECRET) => ({ id, account, endsAt: null, sealed: sealKey(secret, `c1/${id}`, hex, Uint8Array.from({ length: 12 }, () => 7)) });
const ends: (() => unknown)[] = [];
afterEach(async () => { for (const end of ends.splice(0).toReversed()) await end(); });

/** A house whose settings a test changes at will, and what the listener told it. */
async function house(receivers: ReceiverToOpen[]) {
  const state = { receivers, isAway: false, kept: [] as LiveSignal[], said: [] as ReceivedSoFar[], lines: [] as string[], now: NOW };
  const perform = (async (act: unknown, _: unknown, input: { signals: LiveSignal[] }) => {
    if (state.isAway) throw new Error('the database is away');
    if (act === loadReceivers) return state.receivers;
    if (act === noteReceived) return void state.said.push(input as unknown as ReceivedSoFar);
    state.kept.push(...input.signals);
    return { stored: input.signals.length, known: 0, unknownAccounts: [] };
  }) as unknown as Perform;
  const open: OpenReceivers = await openReceivers({ houses: async () => [who], follow: async () => async () => undefined, secret: () => SECRET, perform, now: () => new Date(state.now), say: (line) => { state.lines.push(line); } });
  let isEnded = false;
  ends.push(async () => { if (!isEnded) await open.close(); });
  return { state, open, end: async () => { isEnded = true; await open.close(); } };
}
const free = async (): Promise<number> => { const server = createServer(); const port = await listen(server); await new Promise((done) => { server.close(done); }); return port; };
const listen = (server: Server, port = 0) => new Promise<number>((resolve) => { server.listen(port, '127.0.0.1', () => resolve((server.address() as { port: number }).port)); });
const receiver = (port: number, over: Partial<ReceiverToOpen['setting']> = {}, keys: ReceiverToOpen['keys'] = []): ReceiverToOpen => ({ id: 'r1', keys, setting: { name: 'Test signals', host: '127.0.0.1', port, udp: false, lines: [{ line: '0', path: 'Ethernet' }], requireKey: false, perMinute: 600, mostConnections: 10, isOn: true, ...over } });

async function panel(port: number) {
  const socket: Socket = connect(port, '127.0.0.1').setEncoding('latin1');
  ends.push(() => socket.destroy());
  await new Promise<void>((resolve, reject) => { socket.once('connect', resolve).once('error', reject); });
  let sequence = 0;
  return { socket, send: (keyHex?: string, account = '7099') => new Promise<string>((resolve) => {
    let rest = '';
    const hear = (piece: unknown) => { const cut = cutFrames(rest, piece as string); rest = cut.rest; if (!cut.frames[0]) return; socket.off('data', hear); const read = decodeDc09(cut.frames[0], { now: null, anyKey: keyHex ?? OLD }); resolve(read.ok ? read.value.token : read.error.name); };
    socket.on('data', hear);
    socket.write(encodeDc09({ token: 'ADM-CID', sequence: ++sequence, receiver: null, line: '0', account, data: `#${account}|1131 01 003`, extensions: [], sentAt: NOW, ...(keyHex ? { keyHex } : {}) }), 'latin1');
  }) };
}

describe('[SIG-OP-9] receivers as the companies set them', () => {
  it('opens what is set, keeps what comes with its path, and tells what came, by key', async () => {
    const port = await free();
    const { state, open } = await house([receiver(port, {}, [sealed('k1', OLD)])]);
    expect([...open.ports()]).toEqual([['r1', port]]);
    const one = await panel(port);
    expect([await one.send(OLD), await one.send(), await one.send(NEW), await one.send(undefined, '8000')]).toEqual(['ACK', 'DUH', 'DUH', 'ACK']);
    expect(state.kept.map((signal) => [signal.account, signal.path])).toEqual([['7099', 'Ethernet'], ['8000', 'Ethernet']]);
    await open.follow();
    expect(state.said.at(-1)).toMatchObject({ receiverId: 'r1', listeningPort: port, trouble: null, connections: 1, more: { good: 2, refused: 2 }, lastGoodAt: NOW, lastRefusal: 'account 7099: The key does not open this frame.', keys: [{ keyId: 'k1', good: 1, refused: 2, lastGoodAt: NOW }] });
  });

  it('follows a new key and a new limit under open connections; the old key opens while it is set and not a moment longer', async () => {
    const port = await free();
    const { state, open } = await house([receiver(port, {}, [sealed('k1', OLD)])]);
    const one = await panel(port);
    state.receivers = [receiver(port, {}, [sealed('k2', NEW), sealed('k1', OLD)])];
    await open.follow();
    expect([await one.send(OLD), await one.send(NEW)]).toEqual(['ACK', 'ACK']);
    state.receivers = [receiver(port, { requireKey: true }, [sealed('k2', NEW)])];
    await open.follow();
    expect([await one.send(OLD), await one.send(NEW), await one.send(undefined, '8000')]).toEqual(['DUH', 'ACK', 'DUH']);
    expect(one.socket.destroyed).toBe(false);
    await open.follow();
    expect(state.said.flatMap((told) => told.keys).map((key) => [key.keyId, key.good])).toEqual(expect.arrayContaining([['k1', 1], ['k2', 1], ['k2', 1]]));
  });

  it('opens anew where the address changed, closes what was switched off, and says so', async () => {
    const [first, second] = [await free(), await free()];
    const { state, open } = await house([receiver(first)]);
    state.receivers = [receiver(second)];
    await open.follow();
    expect([...open.ports().values()]).toEqual([second]);
    await expect(panel(first)).rejects.toThrow(/ECONNREFUSED/);
    expect(await (await panel(second)).send()).toBe('ACK');
    state.receivers = [];
    await open.follow();
    expect(state.said.at(-1)).toMatchObject({ listeningPort: null });
    expect(state.lines.at(-1)).toBe('Test signals: closed');
    await expect(panel(second)).rejects.toThrow(/ECONNREFUSED/);
  });

  it('a port that is taken: the next free one is used, and it says so; an address that is none is told and no other receiver suffers', async () => {
    const blocker = createServer();
    const port = await listen(blocker);
    ends.push(() => new Promise((done) => { blocker.close(done); }));
    const { state, open } = await house([receiver(port), { ...receiver(await free(), { host: '203.0.113.1' }), id: 'r2' }]);
    const taken = open.ports().get('r1')!;
    expect(taken).toBeGreaterThan(port);
    const told = (id: string) => state.said.findLast((one) => one.receiverId === id)!;
    expect(told('r1')).toMatchObject({ listeningPort: taken, trouble: `port ${port} is taken: listening on ${taken} instead` });
    expect(told('r2').listeningPort).toBeNull();
    expect(told('r2').trouble).toMatch(/cannot listen on 203\.0\.113\.1/);
    expect(await (await panel(taken)).send()).toBe('ACK');
  });

  it('a key that the house’s secret does not open leaves its account refused, never in the clear', async () => {
    const port = await free();
    const { state } = await house([receiver(port, {}, [sealed('k1', OLD, '7099', 'cd'.repeat(32))])]);
    const one = await panel(port);
    expect([await one.send(), await one.send(OLD), await one.send(undefined, '8000')]).toEqual(['DUH', 'DUH', 'ACK']);
    expect(state.said.at(-1)!.trouble).toMatch(/the keys of 7099 were sealed under another secret/);
  });

  it('while the database is away receivers stay open as they are and acknowledge nothing; the counts are told when it is back, and at the end', async () => {
    const port = await free();
    const { state, open, end } = await house([receiver(port)]);
    const one = await panel(port);
    expect(await one.send()).toBe('ACK');
    state.isAway = true;
    await open.follow();
    expect([...open.ports().values()]).toEqual([port]);
    state.isAway = false;
    expect(await one.send()).toBe('ACK');
    await end();
    expect(state.said.reduce((sum, told) => sum + told.more.good, 0)).toBe(2);
    expect(state.said.at(-1)).toMatchObject({ listeningPort: null });
  });
});
