// Frames decoded per second on one core, and a million random byte strings against the decoder.
// Run after building the package: node packages/signals/bench/decode.bench.mjs [random strings, default 1000000]
import { decodeEvent, encodeDc09 } from '../dist/index.js';

const key = '00112233445566778899AABBCCDDEEFF';
const now = '2027-03-01T08:00:00.000Z';
const frames = (keyHex) => Array.from({ length: 5000 }, (_, i) => encodeDc09({
  token: 'ADM-CID', sequence: i, receiver: null, line: '0', account: '7099', data: `#7099|1131 01 ${String(i % 1000).padStart(3, '0')}`, extensions: [], sentAt: now, ...(keyHex ? { keyHex, padSeed: i } : {}),
}));
for (const [name, list] of [['plain', frames()], ['AES-128', frames(key)]]) {
  const options = { now, keys: { 7099: key } };
  let taken = 0;
  const start = process.hrtime.bigint();
  const used = process.cpuUsage();
  for (let round = 0; round < 24; round += 1) for (const frame of list) if (decodeEvent(frame, options).ok) taken += 1;
  const seconds = Number(process.hrtime.bigint() - start) / 1e9;
  const { user, system } = process.cpuUsage(used);
  // On a machine with other work the processor's own seconds say what one core decodes.
  console.log(`${name}: ${taken} frames taken, ${Math.round(taken / ((user + system) / 1e6))} per second of one core (${Math.round(taken / seconds)} per second of the clock)`);
}

const total = Number(process.argv[2] ?? 1_000_000);
let state = 1;
const next = () => (state = (Math.imul(state, 1_103_515_245) + 12_345) >>> 0) >>> 8;
let taken = 0;
const start = process.hrtime.bigint();
for (let n = 0; n < total; n += 1) {
  let text = n % 2 === 0 ? '\n' : '';
  for (let i = next() % 80; i > 0; i -= 1) text += String.fromCharCode(next() & 0xff);
  if (decodeEvent(n % 2 === 0 ? `${text}\r` : text).ok) taken += 1;
}
console.log(`random: ${total} strings, ${taken} taken, none crashed, ${(Number(process.hrtime.bigint() - start) / 1e9).toFixed(1)} s`);
