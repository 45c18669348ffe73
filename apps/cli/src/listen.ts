import { readFileSync } from 'node:fs';
import { takeLiveSignals } from '@bellround/operations';
import { fileAt, text, wholeNumber, WrongUse, type TerminalAct } from './act.js';
import { openListener, type ListenerCounts } from './listener.js';

const KEY = /^([0-9A-Fa-f]{32}|[0-9A-Fa-f]{48}|[0-9A-Fa-f]{64})$/;

export const listen: TerminalAct = {
  name: 'listen', usage: 'listen [--port 12009] [--host 127.0.0.1] [--udp] [--company slug] [--keys keys.json] [--line 0=label]...',
  words: 'Receives SIA DC-09 frames (ADM-CID, SIA-DCS and NULL, encrypted or not) and keeps what they report; answers only after it is kept. It confirms arrival and dispatches nobody. Ends at Ctrl-C.', takes: [0, 0],
  options: {
    port: { type: 'string', words: 'port to listen on (12009)' }, host: { type: 'string', words: 'address to listen on (127.0.0.1; 0.0.0.0 for everybody)' }, udp: { type: 'boolean', words: 'listen on UDP too' }, company: { type: 'string', words: 'short name of the company, when there are several' },
    keys: { type: 'string', words: 'JSON file of AES keys in hex by account; an account with a key must use it' }, line: { type: 'string', several: true, words: 'path label of a line number, such as 0=ethernet' },
    'per-minute': { type: 'string', words: 'frames an account may send in a minute (120)' }, 'most-connections': { type: 'string', words: 'connections held at most (4000)' },
  },
  run: async ({ options }, terminal) => {
    const keysFile = text(options['keys']);
    const perMinute = wholeNumber('per-minute', options['per-minute'], 120, 1, 100_000);
    const settings = {
      host: text(options['host']) ?? '127.0.0.1', port: wholeNumber('port', options['port'], 12_009, 0, 65_535), udp: options['udp'] === true, mostConnections: wholeNumber('most-connections', options['most-connections'], 4000, 1, 50_000), now: terminal.now,
      receiver: { perMinute, burst: Math.max(10, Math.ceil(perMinute / 2)), ...(keysFile === undefined ? {} : { keys: keysOf(keysFile) }) }, lines: linesOf(text(options['line'])),
    };
    const who = await terminal.house(text(options['company']));
    const listener = await openListener({ ...settings, store: (signals) => terminal.perform(takeLiveSignals, who, { signals }) }).catch((error: Error) => { throw new WrongUse(`cannot listen on ${settings.host}:${settings.port}: ${error.message}`); });
    process.stdout.write(`listening on ${settings.host}:${listener.port} (TCP${settings.udp ? ' and UDP' : ''}); arrival is confirmed, nobody is dispatched\n`);
    await new Promise<void>((resolve) => { for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => resolve()); });
    await listener.close();
    return { data: listener.counts, lines: [countsLine(listener.counts)] };
  },
};

const countsLine = (counts: ListenerCounts): string => `kept ${counts.stored}, known again ${counts.again + counts.known}, refused ${counts.refused}, damaged ${counts.damaged}, held back ${counts.heldBack}, left unanswered ${counts.unanswered}, connections at most ${counts.mostConnections}, turned away ${counts.turnedAway}`;

function keysOf(path: string): Record<string, string> {
  let keys: unknown;
  try {
    keys = JSON.parse(readFileSync(fileAt(path), 'utf8'));
  } catch (error) {
    throw new WrongUse(`${path} does not read as JSON: ${(error as Error).message}`);
  }
  const wrong = Object.entries(keys as Record<string, unknown>).filter(([account, key]) => !/^[0-9A-Fa-f]{3,16}$/.test(account) || typeof key !== 'string' || !KEY.test(key)).map(([account]) => account);
  if (wrong.length > 0) throw new WrongUse(`${path}: the keys of ${wrong.join(', ')} do not read; accepted are accounts of 3 to 16 hex digits, each with 32, 48 or 64 hex digits`);
  return keys as Record<string, string>;
}

function linesOf(given: string | undefined): Record<string, string> {
  return Object.fromEntries((given ?? '').split(',').filter((part) => part !== '').map((part) => {
    const match = /^([0-9A-Fa-f]{1,6})=(.+)$/.exec(part.trim());
    if (match === null) throw new WrongUse(`--line is '${part}'; accepted is a line number and a label, such as 0=ethernet`);
    return [match[1]!, match[2]!.trim()];
  }));
}
