import { readFileSync } from 'node:fs';
import { decodeEvents, type SignalEvent } from '@bellround/signals';
import { Refusal } from '@bellround/contracts';
import { fileAt, text, WrongUse, type TerminalAct } from './act.js';

const told = (event: SignalEvent): string => [
  event.words, `account ${event.account ?? 'not told'}`, ...(event.zone === null ? [] : [`zone ${event.zone}`]), ...(event.user === null ? [] : [`user ${event.user}`]), ...(event.area === null ? [] : [`area ${event.area}`]),
  ...(event.text === null ? [] : [`text '${event.text}'`]), ...(event.sentAt === null ? [] : [`sent ${event.sentAt}`]), `${event.protocol} ${event.code}`,
].join(', ');

/** Nothing that was received may steer the terminal it is shown on. */
const shown = (line: string): string => line.replace(/[^\x20-\x7e]/g, '?').slice(0, 60);

export const decode: TerminalAct = {
  name: 'decode-event', usage: 'decode-event <text> | --file <path> [--key <hex>] [--clock <instant>]', words: 'Decodes a Contact ID message (SIA DC-05) or a SIA DC-09 frame and says what it reports; a file holds one on each line.', takes: [0, 1],
  options: {
    key: { type: 'string', words: 'AES key in hex (16, 24 or 32 bytes) for encrypted frames' }, file: { type: 'string', words: 'file with one message or frame on each line' },
    clock: { type: 'string', words: "receiver's clock; without it the age of an encrypted frame is not held" },
  },
  run: async ({ words, options }) => {
    const [key, clock, file] = [text(options['key']), text(options['clock']), text(options['file'])];
    if ((words.length === 1) === (file !== undefined)) throw new WrongUse('give one message, or --file with one on each line');
    if (clock !== undefined && Number.isNaN(Date.parse(clock))) throw new WrongUse(`--clock is '${clock}'; accepted is an instant such as 2027-03-01T08:00:00Z`);
    const reading = { now: clock ?? null, ...(key ? { anyKey: key } : {}) };
    if (file !== undefined) return decodeFile(file, reading);
    const decoded = decodeEvents(words[0]!, reading);
    if (!decoded.ok) throw new Refusal('BadInput', decoded.error.words, { data: { error: decoded.error.name } });
    const data = decoded.value.length === 1 ? decoded.value[0] : decoded.value;
    return { data, lines: decoded.value.map(told) };
  },
};

function decodeFile(file: string, reading: Parameters<typeof decodeEvents>[1]) {
  const lines = readFileSync(fileAt(file), 'latin1').split('\n').map((line) => line.replace(/\r$/, '')).filter((line) => line !== '');
  const all = lines.map((line, i) => ({ line: i + 1, text: line, decoded: decodeEvents(line, reading) }));
  const refused = all.flatMap(({ line, text: given, decoded }) => (decoded.ok ? [] : [{ line, error: decoded.error.name, words: decoded.error.words, text: shown(given) }]));
  const events = all.flatMap(({ line, decoded }) => (decoded.ok ? decoded.value.map((event) => ({ line, ...event })) : []));
  return {
    data: { events, refused }, failed: refused.length > 0,
    lines: [...events.map((event) => `${event.line}\t${told(event)}`), ...refused.map((one) => `${one.line}\trefused: ${one.words}`), `${events.length} events, ${refused.length} lines refused`],
  };
}
