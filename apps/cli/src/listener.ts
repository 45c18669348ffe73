import { createSocket, type Socket as UdpSocket } from 'node:dgram';
import { createServer, type Server, type Socket } from 'node:net';
import type { LiveSignal } from '@bellround/operations';
import { cutFrames, openReceiver, type Received, type ReceiverSettings, type SignalEvent } from '@bellround/signals';

export interface ListenerSettings {
  readonly host: string;
  readonly port: number;
  readonly udp: boolean;
  readonly receiver: ReceiverSettings;
  /** path label by the line number that a frame carries; a line not named has no path */
  readonly lines: Readonly<Record<string, string>>;
  readonly mostConnections: number;
  readonly now: () => Date;
  /** keeps the events; rejects while the store is away */
  readonly store: (signals: readonly LiveSignal[]) => Promise<{ readonly stored: number; readonly known: number }>;
  /** told of each frame when it was judged, and of each account's kept ones with the key (hex; null: in the clear) that opened it */
  readonly heard?: (got: Received, now: string) => void;
  readonly kept?: (account: string, openedBy: string | null, now: string) => void;
}

/** What may change while connections stay open. */
export type ListenerChange = Pick<ListenerSettings, 'receiver' | 'lines' | 'mostConnections'>;

export interface ListenerCounts { stored: number; known: number; again: number; refused: number; damaged: number; heldBack: number; unanswered: number; connections: number; mostConnections: number; turnedAway: number }
export interface Listener { readonly port: number; readonly counts: Readonly<ListenerCounts>; change(next: ListenerChange): void; close(): Promise<void> }

/** Frames that wait for the store at once; more are left unanswered, and their senders send them again. */
const MOST_WAITING = 20_000;
/** Kept in one transaction at most. */
const BATCH = 500;
/** After the store refused, so long until it is asked again. */
const PAUSE_MS = 250;
/** Damaged frames of one connection before it is closed: a panel does not do that. */
const MOST_DAMAGED = 50;
/** A connection on which nothing came for so long is closed. */
const IDLE_MS = 2 * 3_600_000;

interface Waiting { readonly signals: readonly LiveSignal[]; readonly key: string; readonly openedBy: string | null; reply: () => void }

/**
 * Listens for DC-09 frames on TCP, and UDP where asked. A frame is answered with ACK only after its events are kept: whatever dies
 * in between, its sender sends it again and it is kept once. It confirms arrival and dispatches nobody.
 */
export async function openListener(given: ListenerSettings): Promise<Listener> {
  // Keys, lines and limits change under open connections; what a receiver remembers of resends the store remembers too.
  const settings = { ...given };
  let receiver = openReceiver(settings.receiver);
  const counts: ListenerCounts = { stored: 0, known: 0, again: 0, refused: 0, damaged: 0, heldBack: 0, unanswered: 0, connections: 0, mostConnections: 0, turnedAway: 0 };
  const keeper = openKeeper(settings, counts, (key) => receiver.stored(key, settings.now().toISOString()));
  const take = (frame: string, answer: (reply: string) => void): boolean => {
    const now = settings.now().toISOString();
    const got = receiver.take(frame, now);
    count(counts, got);
    settings.heard?.(got, now);
    if (got.kind === 'store') keeper.add({ key: got.key, openedBy: got.openedBy, signals: signalsOf(got, now, settings.lines), reply: () => answer(got.reply) });
    else if ('reply' in got) answer(got.reply);
    return got.kind !== 'silent';
  };
  const sockets = new Set<Socket>();
  const server = createServer((socket) => serve(socket, sockets, settings, counts, take));
  const port = await listening(server, settings);
  const udp = settings.udp ? await openUdp(settings.host, port, take) : null;
  return {
    port, counts,
    change: (next) => {
      Object.assign(settings, next);
      receiver = openReceiver(settings.receiver);
    },
    close: async () => {
      await keeper.close();
      for (const socket of sockets) socket.destroy();
      udp?.close();
      await new Promise<void>((resolve) => { server.close(() => resolve()); });
    },
  };
}

function count(counts: ListenerCounts, got: Received): void {
  if (got.kind === 'again') counts.again += 1;
  if (got.kind === 'refused') counts.refused += 1;
  if (got.kind === 'silent') counts.damaged += 1;
  if (got.kind === 'held-back') counts.heldBack += 1;
}

function signalsOf(got: Received & { kind: 'store' }, receivedAt: string, lines: Readonly<Record<string, string>>): LiveSignal[] {
  const path = lines[got.frame.line] ?? null;
  const restored = (event: SignalEvent) => (event.qualifier === 'restore' ? 'restore' as const : 'new' as const);
  return got.events.map((event, i) => ({ key: `${got.key}#${i}`, receivedAt, account: event.account ?? '', code: event.code, kind: event.kind, qualifier: restored(event), zone: event.zone, text: event.text, path }));
}

/** One connection: cut into frames, each judged; closed when it sends rubbish or nothing at all. */
function serve(socket: Socket, sockets: Set<Socket>, settings: ListenerSettings, counts: ListenerCounts, take: (frame: string, answer: (reply: string) => void) => boolean): void {
  socket.on('error', () => undefined);
  if (sockets.size >= settings.mostConnections) {
    counts.turnedAway += 1;
    socket.destroy();
    return;
  }
  sockets.add(socket);
  counts.connections = sockets.size;
  counts.mostConnections = Math.max(counts.mostConnections, sockets.size);
  let [rest, damaged] = ['', 0];
  socket.setEncoding('latin1').setNoDelay(true).setKeepAlive(true).setTimeout(IDLE_MS, () => socket.destroy());
  socket.on('close', () => {
    sockets.delete(socket);
    counts.connections = sockets.size;
  });
  socket.on('data', (piece: string) => {
    const cut = cutFrames(rest, piece);
    rest = cut.rest;
    // Noise between frames counts as one damage: a line check may send a stray character.
    if (cut.dropped > 0) damaged += 1;
    for (const frame of cut.frames) if (!take(frame, (reply) => { if (!socket.destroyed) socket.write(reply, 'latin1'); })) damaged += 1;
    if (damaged > MOST_DAMAGED) socket.destroy();
  });
}

function listening(server: Server, { host, port }: ListenerSettings): Promise<number> {
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen({ host, port, backlog: 4096 }, () => {
      server.off('error', reject);
      resolve((server.address() as { port: number }).port);
    });
  });
}

function openUdp(host: string, port: number, take: (frame: string, answer: (reply: string) => void) => boolean): Promise<UdpSocket> {
  const socket = createSocket(host.includes(':') ? 'udp6' : 'udp4');
  socket.on('message', (message, from) => {
    for (const frame of cutFrames('', message.toString('latin1')).frames) take(frame, (reply) => { socket.send(Buffer.from(reply, 'latin1'), from.port, from.address, () => undefined); });
  });
  return new Promise((resolve, reject) => {
    socket.once('error', reject);
    socket.bind(port, host, () => {
      socket.off('error', reject);
      socket.on('error', () => undefined);
      resolve(socket);
    });
  });
}

/** Keeps what waits in batches, one after another, and answers after each; while the store is away nothing is answered. */
function openKeeper(settings: ListenerSettings, counts: ListenerCounts, stored: (key: string) => void) {
  let waiting: Waiting[] = [];
  // What waits or is being kept, by frame: one that is sent again meanwhile costs nothing and is answered once, where it came last.
  const pending = new Map<string, Waiting>();
  let running: Promise<void> | null = null;
  let isClosed = false;
  const run = async (): Promise<void> => {
    while (waiting.length > 0) {
      const batch = waiting.splice(0, BATCH);
      const settle = () => { for (const one of batch) pending.delete(one.key); };
      try {
        const kept = await settings.store([...new Map(batch.flatMap((one) => one.signals).map((signal) => [signal.key, signal])).values()]);
        counts.stored += kept.stored;
        counts.known += kept.known;
        settle();
        for (const one of batch) {
          stored(one.key);
          settings.kept?.(one.key.slice(0, one.key.indexOf('|')), one.openedBy, settings.now().toISOString());
          one.reply();
        }
      } catch {
        settle();
        counts.unanswered += batch.length;
        if (isClosed) return;
        await new Promise((resolve) => { setTimeout(resolve, PAUSE_MS); });
      }
    }
  };
  const start = (): void => {
    running ??= Promise.resolve().then(run).finally(() => {
      running = null;
      if (waiting.length > 0 && !isClosed) start();
    });
  };
  return {
    add(one: Waiting): void {
      const same = pending.get(one.key);
      if (same) {
        same.reply = one.reply;
        return;
      }
      if (isClosed || waiting.length >= MOST_WAITING) {
        counts.unanswered += 1;
        return;
      }
      waiting.push(one);
      pending.set(one.key, one);
      // The tick that follows gathers what the same piece of the stream brought.
      start();
    },
    async close(): Promise<void> {
      isClosed = true;
      await running;
      waiting = [];
    },
  };
}
