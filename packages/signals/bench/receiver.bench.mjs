// The receiver behind a plain socket: frames a second through take() alone, then connections held and frames acknowledged over TCP
// while the store refuses for some seconds. The store is a set in memory: what a database costs is not measured here.
// Run after building the package: node packages/signals/bench/receiver.bench.mjs [connections 2000] [frames 100000] [outage ms 3000]
import { fork } from 'node:child_process';
import { connect, createServer } from 'node:net';
import { cutFrames, encodeDc09, openReceiver } from '../dist/index.js';

const [connections, total, outageMs] = [2000, 100_000, 3000].map((usual, i) => Number(process.argv[i + 2] ?? usual));
const accountOf = (n) => (0x100000 + n).toString(16).toUpperCase();
const frameOf = (n, sequence) => encodeDc09({ token: 'ADM-CID', sequence, receiver: null, line: '0', account: accountOf(n), data: `#${accountOf(n)}|1131 01 ${String(sequence % 1000).padStart(3, '0')}`, extensions: [], sentAt: null });

/** The senders: each holds one connection, sends one frame at a time, and sends it again after two seconds without an answer. */
function senders(port) {
  const each = Math.ceil(total / connections);
  let [acknowledged, resent, open, finished] = [0, 0, 0, 0];
  const begun = process.hrtime.bigint();
  for (let n = 0; n < connections; n += 1) {
    const frames = Array.from({ length: Math.min(each, total - n * each) }, (_, i) => frameOf(n, i + 1));
    let [at, rest, timer] = [0, '', null];
    const socket = connect(port, '127.0.0.1');
    socket.setEncoding('latin1').setNoDelay(true);
    const send = (again = false) => {
      if (again) resent += 1;
      socket.write(frames[at], 'latin1');
      timer = setTimeout(send, 2000, true);
    };
    socket.on('connect', () => {
      open += 1;
      if (open === connections) process.send({ open });
      if (frames.length > 0) send();
    });
    socket.on('error', (error) => { process.send({ error: error.message }); });
    socket.on('data', (piece) => {
      const cut = cutFrames(rest, piece);
      rest = cut.rest;
      for (const reply of cut.frames) {
        // An ACK of an earlier sending of the same frame may come late; only the one that is waited for counts.
        if (!reply.includes('"ACK"') || !reply.includes(`"ACK"${String(at + 1).padStart(4, '0')}`)) continue;
        clearTimeout(timer);
        acknowledged += 1;
        at += 1;
        if (at < frames.length) { send(); continue; }
        finished += 1;
        // The connection is held to the end, as a panel does.
        if (finished === connections) process.send({ acknowledged, resent, seconds: Number(process.hrtime.bigint() - begun) / 1e9 });
      }
    });
  }
}

if (process.send && process.argv[5]) senders(Number(process.argv[5]));
else await measure();

async function measure() {
  const now = '2027-03-01T08:00:00.000Z';
  const receiver = openReceiver({ perMinute: 1e9, burst: 1e9 });
  const frames = Array.from({ length: 20_000 }, (_, i) => frameOf(i % 500, 1 + Math.floor(i / 500)));
  const start = process.hrtime.bigint();
  let taken = 0;
  for (let round = 0; round < 4; round += 1) for (const frame of frames) {
    const got = receiver.take(frame, now);
    if (got.kind === 'store') { receiver.stored(got.key, now); taken += 1; }
  }
  const seconds = Number(process.hrtime.bigint() - start) / 1e9;
  console.log(`take and answer, one core: ${Math.round((4 * frames.length) / seconds)} frames per second (${taken} stored, ${4 * frames.length - taken} known again)`);
  await overTcp();
}

async function overTcp() {
  const receiver = openReceiver({ perMinute: 1e9, burst: 1e9, remembered: connections + 10 });
  const stored = new Map();
  let [isOut, outages, again, held, most] = [false, 0, 0, 0, 0];
  const server = createServer((socket) => {
    held += 1;
    most = Math.max(most, held);
    let rest = '';
    socket.setEncoding('latin1').setNoDelay(true);
    socket.on('error', () => undefined).on('close', () => { held -= 1; });
    socket.on('data', (piece) => {
      const cut = cutFrames(rest, piece);
      rest = cut.rest;
      const now = new Date().toISOString();
      for (const frame of cut.frames) {
        const got = receiver.take(frame, now);
        if (got.kind === 'store') {
          // The store is away: no answer, so the sender sends again.
          if (isOut) { outages += 1; continue; }
          stored.set(got.key, (stored.get(got.key) ?? 0) + 1);
          receiver.stored(got.key, now);
        } else if (got.kind === 'again') again += 1;
        if ('reply' in got) socket.write(got.reply, 'latin1');
      }
    });
  });
  await new Promise((resolve) => { server.listen({ port: 0, host: '127.0.0.1', backlog: 4096 }, resolve); });
  const child = fork(new URL(import.meta.url), [connections, total, outageMs, server.address().port].map(String));
  let outage;
  const done = await new Promise((resolve, reject) => {
    child.on('message', (message) => {
      if (message.error) reject(new Error(message.error));
      if (message.open) outage = setTimeout(() => { isOut = true; setTimeout(() => { isOut = false; }, outageMs); }, 500);
      if (message.acknowledged) resolve(message);
    });
    child.on('exit', (code) => reject(new Error(`the senders ended with ${code}`)));
  });
  clearTimeout(outage);
  const heldNow = held;
  child.removeAllListeners('exit');
  child.kill();
  server.close();
  const memory = Math.round(process.memoryUsage().rss / 1e6);
  console.log(`over TCP: ${connections} connections held (${heldNow} open at the end, ${most} at most), ${done.acknowledged} of ${total} frames acknowledged in ${done.seconds.toFixed(1)} s: ${Math.round(done.acknowledged / done.seconds)} per second`);
  console.log(`store away for ${outageMs} ms: ${outages} frames went unanswered, ${done.resent} sendings repeated, ${again} known again; ${stored.size} kept, ${[...stored.values()].filter((times) => times > 1).length} kept twice, ${total - stored.size} lost; receiver's process ${memory} MB`);
  process.exitCode = stored.size === total && done.acknowledged === total ? 0 : 1;
}
