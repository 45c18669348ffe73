import { loadReceivers, noteReceived, takeLiveSignals, type Perform, type ReceivedSoFar, type ReceiverToOpen, type Who } from '@bellround/operations';
import { openKey, type Received, type ReceiverSettings } from '@bellround/signals';
import { openListener, type Listener, type ListenerChange } from './listener.js';

export interface ReceiversSource {
  readonly houses: () => Promise<readonly Who[]>;
  readonly follow: (about: string, onChange: () => void) => Promise<() => Promise<void>>;
  readonly secret: () => string | null;
  readonly perform: Perform;
  readonly now: () => Date;
  readonly say: (line: string) => void;
}
export interface OpenReceivers {
  /** where each receiver listens now, by its id */
  ports(): ReadonlyMap<string, number>;
  /** reads the settings again and follows them; called by itself at each change and every few seconds */
  follow(): Promise<void>;
  close(): Promise<void>;
}

/** The settings are read again so often even without a notice: a key's end is no change that anybody makes. */
const LOOK_MS = 5000;
/** What came is said so often, and at least this often when nothing came. */
const QUIET_SAY_MS = 30_000;
/** A port that is taken: so many after it are tried. */
const NEXT_PORTS = 20;

interface Running {
  readonly who: Who;
  loaded: ReceiverToOpen;
  listener: Listener | null;
  trouble: string | null;
  saidAt: number;
  more: Tally;
  /** ids of the keys as they are open now, by account and key */
  keyIds: Map<string, string>;
}
interface Tally { good: number; again: number; refused: number; damaged: number; heldBack: number; lastGoodAt: string | null; lastRefusedAt: string | null; lastRefusal: string | null; keys: Map<string, { good: number; refused: number; lastGoodAt: string | null }> }
const nothing = (): Tally => ({ good: 0, again: 0, refused: 0, damaged: 0, heldBack: 0, lastGoodAt: null, lastRefusedAt: null, lastRefusal: null, keys: new Map() });

/**
 * Keeps the receivers of every company open as their settings say, whatever changes: keys, lines and limits under open connections,
 * address and port by opening anew. While the database is away everything stays as it is. SIG-OP-9.
 */
export async function openReceivers(source: ReceiversSource): Promise<OpenReceivers> {
  const running = new Map<string, Running>();
  let [isClosed, isAgain]: boolean[] = [false, false];
  let looking: Promise<void> | null = null;
  const look = (): Promise<void> => {
    isAgain = true;
    looking ??= (async () => {
      while (isAgain && !isClosed) {
        isAgain = false;
        await lookOnce(source, running).catch((error: Error) => source.say(`settings not read, receivers stay as they are: ${error.message}`));
      }
    })().finally(() => { looking = null; });
    return looking;
  };
  const unfollow = await source.follow('receiver', () => void look());
  await look();
  const timer = setInterval(() => void look(), LOOK_MS);
  return {
    ports: () => new Map([...running.values()].flatMap((one) => (one.listener ? [[one.loaded.id, one.listener.port] as const] : []))),
    follow: look,
    close: async () => {
      isClosed = true;
      clearInterval(timer);
      await unfollow();
      await looking;
      for (const one of running.values()) await shut(source, one, null);
    },
  };
}

async function lookOnce(source: ReceiversSource, running: Map<string, Running>): Promise<void> {
  const wanted = new Map<string, { who: Who; loaded: ReceiverToOpen }>();
  for (const who of await source.houses()) for (const loaded of await source.perform(loadReceivers, who, {})) wanted.set(`${who.companyId}/${loaded.id}`, { who, loaded });
  for (const [place, one] of running) if (!wanted.has(place)) {
    await shut(source, one, null);
    running.delete(place);
    source.say(`${one.loaded.setting.name}: closed`);
  }
  for (const [place, { who, loaded }] of wanted) {
    const one = running.get(place);
    if (one) await follow(source, one, loaded);
    else {
      const fresh: Running = { who, loaded, listener: null, trouble: null, saidAt: 0, more: nothing(), keyIds: new Map() };
      running.set(place, fresh);
      await open(source, fresh);
    }
  }
  for (const one of running.values()) await say(source, one);
}

async function follow(source: ReceiversSource, one: Running, loaded: ReceiverToOpen): Promise<void> {
  const address = ({ setting: { host, port, udp } }: ReceiverToOpen) => JSON.stringify([host, port, udp]);
  const isMoved = address(one.loaded) !== address(loaded);
  const isChanged = JSON.stringify(one.loaded) !== JSON.stringify(loaded);
  one.loaded = loaded;
  if (one.listener === null || isMoved) {
    await one.listener?.close();
    one.listener = null;
    await open(source, one);
  } else if (isChanged) {
    const keys = keysOf(source, one);
    one.listener.change(changeOf(one, keys));
    [one.trouble, one.saidAt] = [troubleOf(one, one.listener.port, keys), 0];
    source.say(`${loaded.setting.name}: its settings changed and are followed`);
  }
}

async function open(source: ReceiversSource, one: Running): Promise<void> {
  const { setting } = one.loaded;
  const keys = keysOf(source, one);
  const common = {
    host: setting.host, udp: setting.udp, ...changeOf(one, keys), now: source.now,
    store: (signals: Parameters<typeof takeLiveSignals>[1]['signals']) => source.perform(takeLiveSignals, one.who, { signals }),
    heard: (got: Received, now: string) => countHeard(one, got, now),
    kept: (account: string, openedBy: string | null, now: string) => countKept(one, account, openedBy, now),
  };
  const before = one.trouble;
  for (let port = setting.port; one.listener === null && port <= Math.min(65_535, setting.port + NEXT_PORTS); port += 1) {
    try {
      one.listener = await openListener({ ...common, port });
      one.trouble = troubleOf(one, port, keys);
      source.say(`${setting.name}: listening on ${setting.host}:${port} (TCP${setting.udp ? ' and UDP' : ''})${one.trouble ? `; ${one.trouble}` : ''}`);
    } catch (error) {
      one.trouble = `cannot listen on ${setting.host}:${setting.port}: ${(error as Error).message}`;
      if ((error as NodeJS.ErrnoException).code !== 'EADDRINUSE') break;
    }
  }
  if (one.listener === null && one.trouble !== before) source.say(`${setting.name}: ${one.trouble}`);
  one.saidAt = 0;
}

interface KeyOpened { readonly account: string; readonly id: string; readonly hex: string | null }
/** The keys in the clear, for the memory of this process only; null where one does not open under the house's secret. */
function keysOf(source: ReceiversSource, { who, loaded }: Running): KeyOpened[] {
  const secret = source.secret();
  return loaded.keys.map((key) => ({ account: key.account, id: key.id, hex: secret === null ? null : openKey(secret, `${who.companyId}/${key.id}`, key.sealed) }));
}

function troubleOf(one: Running, port: number, keys: readonly KeyOpened[]): string | null {
  const lost = keys.filter((key) => key.hex === null).map((key) => key.account);
  const parts = [
    ...(port === one.loaded.setting.port ? [] : [`port ${one.loaded.setting.port} is taken: listening on ${port} instead`]),
    ...(lost.length === 0 ? [] : [`the keys of ${lost.join(', ')} were sealed under another secret of the house and open nothing: set them anew`]),
  ];
  return parts.join('; ') || null;
}

function changeOf(one: Running, opened: readonly KeyOpened[]): ListenerChange {
  const { setting } = one.loaded;
  const keys: Record<string, string[]> = {};
  for (const { account, hex } of opened) (keys[account] ??= []).push(...(hex === null ? [] : [hex]));
  const { '*': any = [], ...own } = keys;
  one.keyIds = new Map(opened.flatMap(({ account, hex, id }) => (hex === null ? [] : [[`${account} ${hex}`, id] as const])));
  // An account whose key does not open must not fall back to the clear: its frames are refused until the key is set anew.
  const closed = Object.entries(own).map(([account, held]) => [account, held.length > 0 ? held : ['00']] as const);
  const receiver: ReceiverSettings = { keys: Object.fromEntries(closed), anyKeys: any, requireKey: setting.requireKey, perMinute: setting.perMinute, burst: Math.max(10, Math.ceil(setting.perMinute / 2)) };
  return { receiver, lines: Object.fromEntries(setting.lines.map(({ line, path }) => [line, path])), mostConnections: setting.mostConnections };
}

function countHeard({ more, loaded }: Running, got: Received, now: string): void {
  if (got.kind === 'again') more.again += 1;
  if (got.kind === 'silent') more.damaged += 1;
  if (got.kind === 'held-back') more.heldBack += 1;
  if (got.kind !== 'refused') return;
  more.refused += 1;
  [more.lastRefusedAt, more.lastRefusal] = [now, `${got.account ? `account ${got.account}: ` : ''}${got.error.words}`.slice(0, 300)];
  const key = loaded.keys.find((one) => one.account === got.account?.toUpperCase()) ?? loaded.keys.find((one) => one.account === '*');
  if (key) tallyOf(more, key.id).refused += 1;
}

function countKept({ more, keyIds }: Running, account: string, openedBy: string | null, now: string): void {
  more.good += 1;
  more.lastGoodAt = now;
  const keyId = openedBy === null ? undefined : keyIds.get(`${account} ${openedBy}`) ?? keyIds.get(`* ${openedBy}`);
  if (keyId === undefined) return;
  const tally = tallyOf(more, keyId);
  tally.good += 1;
  tally.lastGoodAt = now;
}

function tallyOf(more: Tally, keyId: string) {
  const found = more.keys.get(keyId) ?? { good: 0, refused: 0, lastGoodAt: null };
  more.keys.set(keyId, found);
  return found;
}

/** Tells the house what came since it was last told; what could not be told is told later. */
async function say(source: ReceiversSource, one: Running): Promise<void> {
  const now = source.now().getTime();
  const { more } = one;
  const isNews = more.good + more.again + more.refused + more.damaged + more.heldBack > 0;
  if (!isNews && now - one.saidAt < QUIET_SAY_MS) return;
  one.more = nothing();
  const { keys, lastGoodAt, lastRefusedAt, lastRefusal, ...counts } = more;
  const told: ReceivedSoFar = { receiverId: one.loaded.id, listeningPort: one.listener?.port ?? null, trouble: one.trouble, connections: one.listener?.counts.connections ?? 0, more: counts, lastGoodAt, lastRefusedAt, lastRefusal, keys: [...keys].map(([keyId, tally]) => ({ keyId, ...tally })) };
  try {
    await source.perform(noteReceived, one.who, told);
    one.saidAt = now;
  } catch {
    join(one.more, more);
  }
}

function join(into: Tally, from: Tally): void {
  for (const name of ['good', 'again', 'refused', 'damaged', 'heldBack'] as const) into[name] += from[name];
  into.lastGoodAt ??= from.lastGoodAt;
  if (into.lastRefusedAt === null) [into.lastRefusedAt, into.lastRefusal] = [from.lastRefusedAt, from.lastRefusal];
  for (const [keyId, tally] of from.keys) {
    const found = tallyOf(into, keyId);
    Object.assign(found, { good: found.good + tally.good, refused: found.refused + tally.refused, lastGoodAt: found.lastGoodAt ?? tally.lastGoodAt });
  }
}

async function shut(source: ReceiversSource, one: Running, trouble: string | null): Promise<void> {
  await one.listener?.close();
  one.listener = null;
  one.trouble = trouble;
  one.saidAt = 0;
  await say(source, one);
}
